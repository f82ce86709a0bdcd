package stocking

import (
	"slices"
	"strings"

	"commensal/internal/species"
)

// unionConcern are the kinds that may not be kept, sold or moved in the European Union: the list of
// Regulation (EU) No 1143/2014 on invasive alien species as amended, and the genus Pomacea under
// Commission Implementing Decision 2012/697/EU.
var unionConcern = []string{
	"Ameiurus melas", "Channa argus", "Gambusia affinis", "Gambusia holbrooki", "Lepomis gibbosus", "Plotosus lineatus",
	"Procambarus clarkii", "Procambarus virginalis", "Pseudorasbora parva", "Pomacea",
}

// unionStates are the words by which a region is known to lie in the European Union.
var unionStates = strings.Fields(`eu europe european-union at austria be belgium bg bulgaria hr croatia cy cyprus cz czechia czech-republic
	dk denmark ee estonia fi finland fr france de germany gr greece hu hungary ie ireland it italy lv latvia lt lithuania
	lu luxembourg mt malta nl netherlands pl poland pt portugal ro romania sk slovakia si slovenia es spain se sweden
	deutschland österreich españa italia nederland polska sverige danmark suomi`)

// inUnion reports whether a region is the European Union or a state of it.
func inUnion(region string) bool {
	return slices.Contains(unionStates, strings.ReplaceAll(strings.ToLower(strings.TrimSpace(region)), " ", "-"))
}

// forbiddenIn reports whether a kind is known to be forbidden in a region.
func forbiddenIn(sp *species.Species, region string) bool {
	return inUnion(region) && slices.ContainsFunc(unionConcern, func(name string) bool {
		return name == sp.ScientificName || name == sp.Genus()
	})
}

// law holds what is forbidden where the seller is, and what is forbidden in many places until
// somebody has said that it may be kept here. What is restricted in some is in the cautions.
func (f *finder) law(first int) {
	sp := f.Lines[first].Species
	switch {
	case f.Region != "" && forbiddenIn(sp, f.Region):
		f.add(Stop, LawForbids, f.kindLines(first), nil)
	case slices.Contains(sp.Cautions, species.Prohibited):
		f.add(Stop, LawUnknown, f.kindLines(first), nil)
	}
}
