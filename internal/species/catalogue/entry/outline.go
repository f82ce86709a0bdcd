package entry

import (
	"bytes"
	"encoding/json"
	"strings"

	"commensal/internal/species"
)

// Object is a mapping whose keys keep their order. Its values are string, bool,
// []string, Object, and the three kinds of value lines below.
type Object []Member

// Member is a key of an [Object] and what stands under it.
type Member struct {
	Key   string
	Value any
}

// MarshalJSON writes the members in order.
func (o Object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		key, err := marshal(m.Key)
		if err != nil {
			return nil, err
		}
		value, err := marshal(m.Value)
		if err != nil {
			return nil, err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// marshal is json.Marshal without the escapes meant for HTML.
func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

// bandLine is a trait, with its JSON names and its line in the text.
type bandLine struct {
	Low     float64       `json:"low"`
	Typical float64       `json:"typical"`
	High    float64       `json:"high"`
	Unit    species.Unit  `json:"unit"`
	Basis   species.Basis `json:"basis"`
}

func (l bandLine) Line() string {
	return valueLine([]float64{l.Low, l.Typical, l.High}, string(l.Unit), l.Basis)
}

// waterLine is a range of one water parameter.
type waterLine struct {
	ToleratedLow  float64       `json:"tolerated_low"`
	PreferredLow  float64       `json:"preferred_low"`
	PreferredHigh float64       `json:"preferred_high"`
	ToleratedHigh float64       `json:"tolerated_high"`
	Unit          string        `json:"unit"`
	Basis         species.Basis `json:"basis"`
}

func (l waterLine) Line() string {
	return valueLine([]float64{l.ToleratedLow, l.PreferredLow, l.PreferredHigh, l.ToleratedHigh}, l.Unit, l.Basis)
}

// zoneLine is the shares at the three levels.
type zoneLine struct {
	Surface float64       `json:"surface"`
	Middle  float64       `json:"middle"`
	Bottom  float64       `json:"bottom"`
	Basis   species.Basis `json:"basis"`
}

func (l zoneLine) Line() string {
	return valueLine([]float64{l.Surface, l.Middle, l.Bottom}, "", l.Basis)
}

func valueLine(numbers []float64, unit string, basis species.Basis) string {
	parts := make([]string, 0, len(numbers)+2)
	for _, x := range numbers {
		parts = append(parts, FormatNumber(x))
	}
	if unit != "" {
		parts = append(parts, unit)
	}
	return strings.Join(append(parts, string(basis)), " ")
}

// Outline is the content of an entry in the order of the text, without what is
// absent. It is what both the text and the JSON are written from.
func Outline(s *species.Species) Object {
	var o Object
	o.text("scientific_name", s.ScientificName)
	o.text("form", s.Form)
	o.text("form_of", string(s.FormOf))
	o.text("family", s.Family)
	o.list("synonyms", s.Synonyms)
	o.object("names", OutlineNames(s.Names))
	o.text("body_form", string(s.BodyForm))
	o.text("guild", string(s.Guild))
	o.text("feeds_by", string(s.FeedsBy))
	o.text("active", string(s.Active))
	o.text("social", string(s.Social))
	o.text("shape", s.Shape)
	o.list("colours", s.Colours)
	o.list("hybridises", s.Hybridises)
	o = append(o, Member{"sexed_in_trade", s.SexedTrade})
	o.text("sold_as", s.SoldAs.String())
	o.text("availability", string(s.Available))
	o.list("needs", s.Needs)
	o.list("cautions", Strings(s.Cautions))
	o.text("legal_note", s.LegalNote)
	o.text("note", s.Note)
	o.text("basis", string(s.Basis))
	o.list("checked", outlineChecked(s.Checked))
	o.object("reviewed", outlineReviewed(s.Reviewed))
	o.object("traits", outlineTraits(&s.Traits))
	o.object("male", outlineTraits(&s.MaleTraits))
	o.object("female", outlineTraits(&s.FemaleTraits))
	o.object("water", outlineWater(s))
	o.zones("zones", s.Zones)
	o.zones("feeding_zones", s.FeedingZones)
	return o
}

func (o *Object) text(key, value string) {
	if value != "" {
		*o = append(*o, Member{key, value})
	}
}

func (o *Object) list(key string, value []string) {
	if len(value) > 0 {
		*o = append(*o, Member{key, value})
	}
}

func (o *Object) object(key string, value Object) {
	if len(value) > 0 {
		*o = append(*o, Member{key, value})
	}
}

func (o *Object) zones(key string, z species.ZoneUse) {
	if z.Known() {
		s := z.Share
		*o = append(*o, Member{key, zoneLine{s[species.Surface], s[species.Middle], s[species.Bottom], z.Basis}})
	}
}

// OutlineNames gathers the names by language, in the order in which the languages
// first appear.
func OutlineNames(names []species.Name) Object {
	var o Object
	place := make(map[string]int, 8)
	for _, n := range names {
		i, ok := place[n.Language]
		if !ok {
			i = len(o)
			place[n.Language] = i
			o = append(o, Member{n.Language, []string(nil)})
		}
		o[i].Value = append(o[i].Value.([]string), n.Text)
	}
	return o
}

func outlineReviewed(list []species.Review) Object {
	var o Object
	for _, v := range list {
		o = append(o, Member{v.Field, v.Reason})
	}
	return o
}

func outlineTraits(set *species.TraitSet) Object {
	var o Object
	for i, v := range set {
		if t := species.Trait(i); v.Known() {
			o = append(o, Member{t.String(), bandLine{v.Low, v.Typical, v.High, t.Info().Unit, v.Basis}})
		}
	}
	return o
}

func outlineWater(s *species.Species) Object {
	var o Object
	for i, w := range s.Water {
		if p := species.Parameter(i); w.Known() {
			o = append(o, Member{p.String(), waterLine{
				w.Tolerated.Low, w.Preferred.Low, w.Preferred.High, w.Tolerated.High, p.Info().Unit, w.Basis,
			}})
		}
	}
	return o
}

func Strings[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, t := range list {
		out[i] = string(t)
	}
	return out
}
