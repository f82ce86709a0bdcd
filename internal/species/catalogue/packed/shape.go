package packed

import "commensal/internal/species"

// What a catalogue is made of, in the order of its types.

func (c *coder) catalogue(x *species.Catalogue) {
	list(c, &x.Species, (*coder).entry)
	list(c, &x.Words, (*coder).word)
	list(c, &x.Sources, (*coder).source)
}

func (c *coder) word(x *species.GroupWord) {
	text(c, &x.Word)
	list(c, &x.Candidates, text[species.ID])
}

func (c *coder) source(x *species.Source) {
	text(c, &x.Key)
	text(c, &x.Citation)
}

func (c *coder) entry(of **species.Species) {
	if c.reading {
		*of = new(species.Species)
	}
	x := *of
	text(c, &x.ID)
	text(c, &x.ScientificName)
	text(c, &x.Family)
	text(c, &x.FormOf)
	text(c, &x.Form)
	list(c, &x.Names, (*coder).name)
	list(c, &x.Synonyms, text[string])
	c.habits(x)
	text(c, &x.Basis)
	list(c, &x.Reviewed, (*coder).review)
	list(c, &x.Checked, (*coder).mark)
	c.traits(&x.Traits)
	c.traits(&x.MaleTraits)
	c.traits(&x.FemaleTraits)
	for i := range x.Water {
		c.water(&x.Water[i])
	}
	c.zones(&x.Zones)
	c.zones(&x.FeedingZones)
}

// habits goes through what is known in words.
func (c *coder) habits(x *species.Species) {
	text(c, &x.BodyForm)
	text(c, &x.Guild)
	text(c, &x.FeedsBy)
	text(c, &x.Active)
	text(c, &x.Social)
	text(c, &x.Shape)
	list(c, &x.Colours, text[string])
	list(c, &x.Hybridises, text[string])
	c.flag(&x.SexedTrade)
	small(c, &x.SoldAs)
	text(c, &x.Available)
	list(c, &x.Needs, text[string])
	list(c, &x.Cautions, text[species.Caution])
	text(c, &x.LegalNote)
	text(c, &x.Note)
}

func (c *coder) name(x *species.Name) {
	text(c, &x.Language)
	text(c, &x.Text)
}

func (c *coder) review(x *species.Review) {
	text(c, &x.Field)
	text(c, &x.Reason)
}

func (c *coder) mark(x *species.Mark) {
	text(c, &x.Source)
	text(c, &x.Field)
	text(c, &x.Value)
}

// traits goes through the values that are known, each behind the distance to it.
func (c *coder) traits(set *species.TraitSet) {
	const end = len(set)
	for i := 0; i < end; i++ {
		gap := 0
		if !c.reading {
			for i+gap < end && set[i+gap] == (species.Value{}) {
				gap++
			}
		}
		if i += c.count(gap); i >= end || i < 0 {
			return
		}
		c.value(&set[i])
	}
}

func (c *coder) value(x *species.Value) {
	c.number(&x.Low)
	c.number(&x.Typical)
	c.number(&x.High)
	text(c, &x.Basis)
}

func (c *coder) water(x *species.WaterRange) {
	text(c, &x.Basis)
	for _, r := range [...]*species.Range{&x.Tolerated, &x.Preferred} {
		c.number(&r.Low)
		c.number(&r.High)
	}
}

func (c *coder) zones(x *species.ZoneUse) {
	text(c, &x.Basis)
	for i := range x.Share {
		c.number(&x.Share[i])
	}
}
