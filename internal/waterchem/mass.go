package waterchem

// The tanks the relations accept: volumes in L and lengths in cm.
const (
	minVolume = 0.1
	maxVolume = 1e7
	minEdge   = 0.1
	maxEdge   = 1e4
)

// Gravity is the standard acceleration of free fall in m/s² (definition).
const Gravity = 9.80665

// glassKgPerM2PerMM is the mass of float glass, 2500 kg/m³ (EN 572-1).
const glassKgPerM2PerMM = 2.5

// Box is a rectangular tank, its edges in cm (0.1-1e4).
type Box struct {
	Length, Width, Height float64
}

// Litres is the volume of the box in L. With outer edges and a full tank it is
// the upper bound of the water in it: glass, ground and free height take room.
//
// Source: geometry.
func (b Box) Litres() (float64, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	return b.Length * b.Width * b.Height / 1000, nil
}

// GlassArea is the area in m² of the bottom and the four sides, without a lid.
// Source: geometry.
func (b Box) GlassArea() (float64, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	return (b.Length*b.Width + 2*(b.Length+b.Width)*b.Height) / 1e4, nil
}

// GlassMass is the mass in kg of a tank of float glass 1-100 mm thick, without lid,
// braces and frame. It rises with every edge and with thickness.
//
// Source: [GlassArealMass] and geometry.
func (b Box) GlassMass(millimetres float64) (float64, error) {
	area, err := b.GlassArea()
	if err != nil {
		return 0, err
	}
	perM2, err := GlassArealMass(millimetres)
	return area * perM2, err
}

// GlassArealMass is the mass in kg/m² of float glass 1-100 mm thick: 2.5 for each mm.
//
// Source: float glass of 2500 kg/m³ (EN 572-1).
func GlassArealMass(millimetres float64) (float64, error) {
	if err := within(Thickness, millimetres, 1, 100); err != nil {
		return 0, err
	}
	return glassKgPerM2PerMM * millimetres, nil
}

// WaterMass is the mass in kg of 0.1-1e7 L of water at 0-40 °C and a salinity of 0-40
// PSU. It rises with volume and salinity.
//
// Source: [WaterDensity].
func WaterMass(litres, celsius, salinity float64) (float64, error) {
	if err := within(Volume, litres, minVolume, maxVolume); err != nil {
		return 0, err
	}
	density, err := WaterDensity(celsius, salinity)
	return litres / 1000 * density, err
}

func (b Box) check() error {
	return firstError(
		within(Edge, b.Length, minEdge, maxEdge),
		within(Edge, b.Width, minEdge, maxEdge),
		within(Edge, b.Height, minEdge, maxEdge),
	)
}
