package packed_test

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/packed"
	"commensal/internal/species/synthetic"
)

// Whatever stands in a catalogue comes back, also a field that somebody adds tomorrow: all fields
// of all types get a value.
func TestEveryFieldComesBack(t *testing.T) {
	t.Parallel()
	var want species.Catalogue
	fill(reflect.ValueOf(&want).Elem(), new(int))
	got, err := packed.Decode(string(packed.Encode(want)))
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%v\ngot  %+v\nwant %+v", err, got, want)
	}
}

// fill gives everything in a value another value.
func fill(v reflect.Value, n *int) {
	*n++
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), n)
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), n)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			fill(v.Index(i), n)
		}
	case reflect.String:
		v.SetString("text " + string(rune('a'+*n%26)) + string(rune('a'+*n/26%26)))
	case reflect.Float64:
		v.SetFloat(float64(*n) / 7)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Uint8:
		v.SetUint(uint64(1 + *n%2))
	default:
		panic("a catalogue has a " + v.Kind().String() + ", and this test gives it no value")
	}
}

func TestEveryNumberComesBackToTheLastBit(t *testing.T) {
	t.Parallel()
	for _, x := range []float64{0, math.Copysign(0, -1), 0.001, 0.1 + 0.2, 1.0 / 3, -5, 5.6, 1e12, 1e300, math.SmallestNonzeroFloat64, math.Inf(1), 123456.789} {
		c := species.Catalogue{Species: []*species.Species{{Zones: species.ZoneUse{Share: [species.NumZones]float64{x}}}}}
		got, err := packed.Decode(string(packed.Encode(c)))
		if err != nil || math.Float64bits(got.Species[0].Zones.Share[0]) != math.Float64bits(x) {
			t.Errorf("%v: %v, %v", x, got, err)
		}
	}
}

func TestEveryCutIsSeen(t *testing.T) {
	t.Parallel()
	whole := string(packed.Encode(synthetic.Catalogue(1, 3)))
	for n := range len(whole) {
		if _, err := packed.Decode(whole[:n]); !errors.Is(err, packed.ErrDamaged) {
			t.Fatalf("%d of %d bytes: %v", n, len(whole), err)
		}
	}
	if _, err := packed.Decode(whole + "x"); !errors.Is(err, packed.ErrDamaged) {
		t.Errorf("a byte more: %v", err)
	}
}

// FuzzDecode holds that no bytes do worse than to be refused, and that what is taken can be written.
func FuzzDecode(f *testing.F) {
	f.Add(string(packed.Encode(synthetic.Catalogue(1, 2))))
	f.Add("\xff\xff\xff\xff\xff\xff\xff\xff\xff\x7f")
	f.Fuzz(func(t *testing.T, data string) {
		c, err := packed.Decode(data)
		if err != nil {
			return
		}
		again, err := packed.Decode(string(packed.Encode(c)))
		if err != nil || len(again.Species) != len(c.Species) {
			t.Errorf("%q: %v", data, err)
		}
	})
}
