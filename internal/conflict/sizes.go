package conflict

// TankSize is one customary tank, inside dimensions in cm.
type TankSize struct{ LengthCM, WidthCM, HeightCM float64 }

// StandardTanks are the tank sizes that remedies are chosen from, smallest
// footprint first: sizes commonly sold, common practice, no source. Above 240 cm
// tanks are built to order.
var StandardTanks = []TankSize{
	{40, 25, 25}, {60, 30, 30}, {80, 35, 40}, {100, 40, 40}, {100, 50, 50}, {120, 50, 50},
	{120, 60, 60}, {150, 50, 50}, {150, 60, 60}, {180, 60, 60}, {200, 70, 60}, {240, 80, 70},
	{300, 100, 70}, {400, 150, 100},
}

// FootprintCM2 is the floor area in cm².
func (t TankSize) FootprintCM2() float64 { return t.LengthCM * t.WidthCM }
