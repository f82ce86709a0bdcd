package localcli

import (
	"io"
	"strings"

	"commensal/api/gen"
)

// WriteSpecies writes an entry of the catalogue for people: its names, every value with its range and what it rests on,
// and the publications that are named there.
func (l Layout) WriteSpecies(w io.Writer, s *gen.Species) error {
	o := &page{Layout: l}
	o.line("%s\n", o.wrap("", "  ", s.VernacularName+" ("+s.ScientificName+"), "+s.Family))
	for _, n := range s.Names {
		o.field(n.Language, strings.Join(n.Names, ", "))
	}
	if len(s.Synonyms) > 0 {
		o.field("Also", strings.Join(s.Synonyms, ", "))
	}
	if s.Note != nil {
		o.field("Note", *s.Note)
	}
	o.title("Values, with their range and what they rest on")
	for i := range s.Traits {
		v := &s.Traits[i]
		name := spaced(v.Trait)
		if v.Sex != nil {
			name = string(*v.Sex) + " " + name
		}
		o.value(name, number(v.Typical)+" "+v.Unit+" ("+number(v.Low)+" to "+number(v.High)+")", v.Basis, v.AgreesWith)
	}
	o.title("Water: preferred, and tolerated for the long term")
	for i := range s.Water {
		v := &s.Water[i]
		o.value(waterName[v.Parameter], number(v.Preferred.Low)+" to "+number(v.Preferred.High)+" "+v.Unit+
			" ("+number(v.Tolerated.Low)+" to "+number(v.Tolerated.High)+")", v.Basis, v.AgreesWith)
	}
	if len(s.Cautions) > 0 {
		o.cautions(nil, s.Cautions)
	}
	if len(s.Sources) > 0 {
		o.title("Sources")
		for _, source := range s.Sources {
			o.item(source.Key + ": " + source.Citation)
		}
	}
	o.line("\nFrom: %s, commensal %s", catalogueOf(s.CatalogueRevision), o.Program)
	return o.writeTo(w)
}

// waterName are the parameters without their unit.
var waterName = map[gen.WaterParameter]string{gen.TemperatureC: "temperature", gen.Ph: "pH", gen.GhDh: "hardness", gen.SalinityPpt: "salinity"}

// value writes a value with what it rests on and the sources that agree with it.
func (o *page) value(name, text, basis string, agrees *gen.AgreesWith) {
	if basis == "memory" {
		basis = "from memory"
	}
	if agrees != nil {
		basis += ", agrees with " + strings.Join(*agrees, ", ")
	}
	o.line("%s", o.wrap("  "+pad(name, 18)+" ", strings.Repeat(" ", 21), text+": "+basis))
}
