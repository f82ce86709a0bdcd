package links

import (
	"math"
	"strings"

	"commensal/internal/species"
	"commensal/internal/units"
)

// The sides and volumes that a tank may have, in cm and L: beyond them a value is a slip.
const (
	minSide, maxSide     = 5.0, 1000.0
	minVolume, maxVolume = 0.5, 1e6
)

// Tank is what a question says of a tank. Parts that are not known are zero, nil or
// empty.
type Tank struct {
	Size    units.TankSize // inside, in cm
	VolumeL float64        // where the sides are not known
	Water   Water
	Cover   *float64 // 0 bare to 1 densely broken sight lines
	Lid     *bool
	Mature  *bool
	Planted *bool
	Floor   string // "sand", "gravel", "bare" or ""
}

// Sized reports whether the sides are known.
func (t *Tank) Sized() bool { return t.Size.Length > 0 }

// Empty reports whether nothing at all is known.
func (t *Tank) Empty() bool { return *t == Tank{} }

// ReadTank reads a tank as people write it in one field: three sides ("60x30x36cm",
// "24x12x16in", bare numbers are cm) or a volume ("54", "54 L", "20 gal"). A word such
// as "about" may stand before it.
func ReadTank(text string) (size units.TankSize, litres float64, fault *Fault) {
	text = exactly(strings.TrimSpace(text))
	var err error
	switch {
	case text == "":
		return
	case strings.ContainsAny(strings.ToLower(text), "x×"):
		size, err = units.ParseTank(text, units.Centimetre)
		if err == nil && !possibleSides(size) {
			err = &units.ParseError{What: "a side is not possible", Fix: "give each side from 5 to 1000 cm, as in 60x30x36cm"}
		}
	default:
		litres, err = units.ParseVolume(text, units.Litre)
		if err == nil && (litres < minVolume || litres > maxVolume) {
			err = &units.ParseError{What: "the volume is not possible", Fix: "give litres, as in 54, or the sides, as in 60x30x36cm"}
		}
	}
	if err != nil {
		f := faultOf("tank", text, err)
		return units.TankSize{}, 0, &f
	}
	return size, litres, nil
}

// exactly is a size without a word before it that says that it is not exact.
func exactly(text string) string {
	for _, word := range [...]string{"about ", "approximately ", "approx. ", "approx ", "around ", "roughly ", "circa ", "ca. ", "~"} {
		if len(text) >= len(word) && strings.EqualFold(text[:len(word)], word) {
			return strings.TrimSpace(text[len(word):])
		}
	}
	return text
}

func possibleSides(s units.TankSize) bool {
	for _, side := range [...]float64{s.Length, s.Width, s.Height} {
		if !(side >= minSide && side <= maxSide) {
			return false
		}
	}
	return true
}

// Extent is the tank as one field writes it: its sides, else its volume, else nothing.
func (t *Tank) Extent() string {
	switch {
	case t.Sized():
		return number(t.Size.Length) + "x" + number(t.Size.Width) + "x" + number(t.Size.Height) + "cm"
	case t.VolumeL > 0:
		return number(t.VolumeL) + "L"
	}
	return ""
}

// append writes the items of the tank, each behind a comma but the first.
func (t *Tank) append(b []byte) []byte {
	first := true
	item := func(text string) {
		if !first {
			b = append(b, ',')
		}
		b, first = append(b, text...), false
	}
	if e := t.Extent(); e != "" {
		item(e)
	}
	for p, r := range t.Water {
		if r.Known {
			item(parameters[p].before + number(r.Value) + parameters[p].behind)
		}
	}
	if t.Cover != nil {
		item("cover" + number(*t.Cover))
	}
	for _, s := range switches {
		if v := *s.of(t); v != nil && *v {
			item(s.yes)
		} else if v != nil {
			item(s.no)
		}
	}
	if t.Floor != "" {
		item(t.Floor)
	}
	return b
}

// switches are the questions about a tank that yes and no answer.
var switches = [...]struct {
	yes, no string
	of      func(*Tank) **bool
}{
	{"lid", "open", func(t *Tank) **bool { return &t.Lid }},
	{"mature", "new", func(t *Tank) **bool { return &t.Mature }},
	{"planted", "unplanted", func(t *Tank) **bool { return &t.Planted }},
}

// readItem reads one item of a tank in a link.
func (t *Tank) readItem(item string) *Fault {
	for _, s := range switches {
		if item == s.yes || item == s.no {
			v := item == s.yes
			*s.of(t) = &v
			return nil
		}
	}
	switch item {
	case "sand", "gravel", "bare":
		t.Floor = item
		return nil
	}
	if rest, ok := strings.CutPrefix(item, "cover"); ok {
		return t.readCover(rest)
	}
	for p := range parameters {
		if parameters[p].owns(item) {
			return t.readReading(species.Parameter(p), item)
		}
	}
	var fault *Fault
	t.Size, t.VolumeL, fault = ReadTank(item)
	return fault
}

// owns reports whether an item of a link carries the marks of the parameter.
func (q *parameter) owns(item string) bool {
	if q.before != "" {
		return strings.HasPrefix(item, q.before)
	}
	body, ok := strings.CutSuffix(item, q.behind)
	return ok && body != "" && strings.Trim(body, "0123456789.") == ""
}

func (t *Tank) readReading(p species.Parameter, item string) *Fault {
	q := &parameters[p]
	r, fault := readWater(p, strings.TrimSuffix(strings.TrimPrefix(item, q.before), q.behind))
	t.Water[p] = r
	return fault
}

func (t *Tank) readCover(text string) *Fault {
	cover, fault := readShare("cover", text)
	t.Cover = cover
	return fault
}

// readShare reads a share from 0 to 1, or in per cent with its sign; empty is nil.
func readShare(field, text string) (*float64, *Fault) {
	text = strings.TrimSpace(text)
	if text == "" {
		return nil, nil
	}
	body, percent := strings.CutSuffix(text, "%")
	x, ok := plainNumber(body)
	if percent {
		x /= 100
	}
	if !ok || !(x >= 0 && x <= 1) {
		return nil, &Fault{field, Printable(text, 40), "it is not a share", "write a number from 0 to 1, as in 0.5"}
	}
	x = math.Round(x*100)/100 + 0
	return &x, nil
}
