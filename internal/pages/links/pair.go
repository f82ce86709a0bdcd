package links

import (
	"strconv"
	"strings"

	"commensal/internal/species"
)

// Fish is what a question about a pairing says of one of the two.
type Fish struct {
	Count    int
	Sex      species.Sex
	LengthCM float64
}

// Query gives the fields of a form by name, as url.Values does.
type Query interface{ Get(name string) string }

// Pair is a question about two kinds, with all its conditions.
type Pair struct {
	First, Second string // names, or ids once resolved
	Fish          [2]Fish
	Tank          Tank // its sides, volume, water and cover
	US            bool // words also in US units
}

// sides are the two, as their fields are called.
var sides = [2]string{"first", "second"}

// ReadPair reads the conditions of a pairing from a query. Fields it does not know are
// passed over; what is wrong comes as a fault for each field.
func ReadPair(first, second string, q Query) (Pair, []Fault) {
	p := Pair{First: first, Second: second, US: q.Get("units") == "us"}
	faults := p.Tank.ReadFields(q)
	for i, side := range sides {
		f := &p.Fish[i]
		var fault *Fault
		if f.LengthCM, fault = readFishLength(side+"_length_cm", q.Get(side+"_length_cm")); fault != nil {
			faults = append(faults, *fault)
		}
		if f.Count, fault = readCount(side+"_count", q.Get(side+"_count")); fault != nil {
			faults = append(faults, *fault)
		}
		f.Sex = ReadSex(q.Get(side + "_sex"))
	}
	return p, faults
}

// ReadFields reads the fields of a tank in a form: its extent, water and cover, and what
// [Tank.ReadHabits] reads.
func (t *Tank) ReadFields(q Query) (faults []Fault) {
	add := func(f *Fault) {
		if f != nil {
			faults = append(faults, *f)
		}
	}
	var fault *Fault
	t.Size, t.VolumeL, fault = ReadTank(q.Get("tank"))
	add(fault)
	for p := range parameters {
		t.Water[p], fault = readWater(species.Parameter(p), q.Get(parameters[p].field))
		add(fault)
	}
	t.Cover, fault = readShare("cover", q.Get("cover"))
	add(fault)
	return faults
}

// ReadHabits reads what a form asks with yes and no, and the floor: fields named after
// the first word of each pair ("lid", "mature", "planted") and "floor".
func (t *Tank) ReadHabits(q Query) {
	for _, s := range switches {
		switch q.Get(s.yes) {
		case "yes":
			*s.of(t) = new(bool)
			**s.of(t) = true
		case "no":
			*s.of(t) = new(bool)
		}
	}
	switch floor := q.Get("floor"); floor {
	case "sand", "gravel", "bare":
		t.Floor = floor
	}
}

// ReadSex reads a sex; anything but "male" and "female" is not told.
func ReadSex(s string) species.Sex {
	switch s {
	case "male":
		return species.Male
	case "female":
		return species.Female
	}
	return species.Unsexed
}

func readCount(field, text string) (int, *Fault) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > MaxCount {
		return 0, &Fault{field, Printable(text, 40), "it is not a number of fish", "write a whole number from 1 to 1000"}
	}
	return n, nil
}

// Path is the address of the pairing's page: ids, SI units, fields in a fixed order,
// and none that says the default. Names must be ids by then.
func (p *Pair) Path() string { return "/pairings/" + p.Rest() }

// Bare is [Pair.Path] without its query, as pictures add their ending to it.
func (p *Pair) Bare() string { return "/pairings/" + p.First + "/" + p.Second }

// Rest is [Pair.Path] behind "/pairings/", as pictures and embeds need it.
func (p *Pair) Rest() string {
	path, query := p.First+"/"+p.Second, p.Query()
	if query == "" {
		return path
	}
	return path + "?" + query
}

// Query is the conditions as a query, empty where there are none.
func (p *Pair) Query() string {
	var b strings.Builder
	put := func(name, value string) {
		if value == "" {
			return
		}
		if b.Len() > 0 {
			b.WriteByte('&')
		}
		b.WriteString(name + "=" + value)
	}
	put("tank", p.Tank.Extent())
	for i, r := range p.Tank.Water {
		if r.Known {
			put(parameters[i].field, number(r.Value))
		}
	}
	if p.Tank.Cover != nil {
		put("cover", number(*p.Tank.Cover))
	}
	p.putFish(put)
	if p.US {
		put("units", "us")
	}
	return b.String()
}

func (p *Pair) putFish(put func(name, value string)) {
	for i, f := range p.Fish {
		if f.Count > 0 {
			put(sides[i]+"_count", strconv.Itoa(f.Count))
		}
	}
	for i, f := range p.Fish {
		put(sides[i]+"_sex", f.Sex.String())
	}
	for i, f := range p.Fish {
		if f.LengthCM > 0 {
			put(sides[i]+"_length_cm", number(f.LengthCM))
		}
	}
}

// OneGroup lets one count stand for both where both are the same kind: they are one
// group.
func (p *Pair) OneGroup() {
	if p.First == p.Second {
		n := max(p.Fish[0].Count, p.Fish[1].Count)
		p.Fish[0].Count, p.Fish[1].Count = n, n
	}
}
