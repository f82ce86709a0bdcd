package answers

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// Species is one catalogue entry for a page.
type Species struct {
	Kind     Kind
	Family   string
	Parent   *Kind // of a trade form
	Synonyms []string
	Names    []Name
	Body     Body
	Social   string
	Guild    string
	Needs    []string
	Cautions []Caution
	Note     string
	Group    species.Band // customary group; zero where it is not on record
	Length   species.Band
	Life     species.Band // years
	Tank     [3]float64   // customary minimum, cm; a zero height is not on record
	Temper   string       // word for its temper towards others; empty where not on record
	Nips     bool
	Jumps    bool
	Scales   []Scale
	Traits   []TraitRow
	Waters   []WaterRow
	Sources  []species.Source // that its values rest on or agree with
	Zones    [species.NumZones]float64
	Basis    string
}

// Name is one vernacular name in one language.
type Name struct{ Language, Text string }

// TraitRow is one trait with its band, unit and basis.
type TraitRow struct {
	Key, Meaning, Unit string
	Sex                species.Sex
	Low, Typical, High float64
	Basis, Citation    string
	Agrees             []string // keys of the sources that agree with it
}

// WaterRow is what it bears of one parameter, with its basis.
type WaterRow struct {
	Parameter            species.Parameter
	Preferred, Tolerated species.Range
	Basis, Citation      string
	Agrees               []string // keys of the sources that agree with it
}

// nipsFrom is the grade from which that a kind nips is worth a word at a glance: common practice, no source.
const nipsFrom = 0.5

// Species is the entry with the id.
func (d *Desk) Species(id string) (Species, bool) {
	i, ok := d.book.Snapshot.Index(species.ID(id))
	if !ok {
		return Species{}, false
	}
	p := d.book.Profile(i)
	sp := p.Species
	out := Species{Kind: kindOf(sp), Family: sp.Family, Synonyms: sp.Synonyms, Body: bodyOf(p), Social: string(sp.Social),
		Guild: string(sp.Guild), Needs: sp.Needs, Note: sp.Note, Zones: sp.Zones.Share, Basis: string(sp.Basis)}
	if sp.FormOf != "" {
		parent := d.kind(sp.FormOf)
		out.Parent = &parent
	}
	for _, n := range sp.Names {
		out.Names = append(out.Names, Name{n.Language, n.Text})
	}
	for _, code := range sp.Cautions {
		c := Caution{Code: string(code), Text: conflict.CautionText(code)}
		if code == species.Regulated && sp.LegalNote != "" {
			c.Text = sp.LegalNote
		}
		out.Cautions = append(out.Cautions, c)
	}
	out.glance(p)
	out.Scales = scales([]*species.Species{sp}, nil, [species.NumParameters]conflict.Reading{})
	cited := map[string]string{}
	for _, s := range d.book.Snapshot.Sources() {
		cited["source:"+s.Key] = s.Citation
		if sp.Cites(s.Key) {
			out.Sources = append(out.Sources, s)
		}
	}
	out.Traits, out.Waters = traits(sp, cited), waters(sp, cited)
	return out, true
}

// glance is what care looks at first.
func (s *Species) glance(p *conflict.Profile) {
	s.Group, _ = p.Band(species.GroupMin)
	s.Length, _ = p.Band(species.Length)
	s.Life, _ = p.Band(species.Lifespan)
	for i, t := range [...]species.Trait{species.TankLength, species.TankWidth, species.TankHeight} {
		s.Tank[i] = typical(p, t, 0)
	}
	if grade, ok := p.Band(species.AggressionOthers); ok {
		s.Temper = string(conflict.AggressionWord(grade.Typical))
	}
	s.Nips = typical(p, species.FinNipping, 0) >= nipsFrom
	s.Jumps = stocking.Jumps(p.Species)
}

// traits lists every trait on record, those of the sexes behind the species' own.
func traits(sp *species.Species, cited map[string]string) (out []TraitRow) {
	for t := range species.Trait(species.NumTraits) {
		for sex, set := range []*species.TraitSet{&sp.Traits, &sp.MaleTraits, &sp.FemaleTraits} {
			v := set[t]
			if !v.Known() {
				continue
			}
			info := t.Info()
			row := TraitRow{Key: info.Key, Meaning: info.Meaning, Unit: string(info.Unit), Sex: species.Sex(sex),
				Low: v.Low, Typical: v.Typical, High: v.High, Basis: string(v.Basis), Citation: cited[string(v.Basis)]}
			if row.Sex == species.Unsexed { // sources are held against the kind as a whole
				row.Agrees = sp.AgreesWith(info.Key)
			}
			out = append(out, row)
		}
	}
	return out
}

// waters lists what it bears of every parameter on record.
func waters(sp *species.Species, cited map[string]string) (out []WaterRow) {
	for i, w := range sp.Water {
		if w.Known() {
			p := species.Parameter(i)
			out = append(out, WaterRow{Parameter: p, Preferred: w.Preferred, Tolerated: w.Tolerated, Basis: string(w.Basis),
				Citation: cited[string(w.Basis)], Agrees: sp.AgreesWith("water " + p.Info().Key)})
		}
	}
	return out
}
