package law

import "strings"

// Place is where somebody is, as far as rules are known of it.
type Place struct {
	Text    string   // as it was given
	Regions []Region // whose rules hold there; empty where none are known
	// Part is true of a state, a province or a country with rules of its own beside those known.
	Part bool
}

// Known reports whether the rules of the place are known at all.
func (p Place) Known() bool { return len(p.Regions) > 0 }

// PlaceOf understands a region, a country or a state, by name or by code (ISO 3166), as in "EU", "de",
// "Germany", "Deutschland", "US-TX", "Texas". What it does not know is a place without regions.
func PlaceOf(text string) Place {
	p := Place{Text: text}
	key := strings.ToLower(strings.Join(strings.Fields(text), " "))
	if regions, ok := places[key]; ok {
		p.Regions = regions.of
		p.Part = regions.part
		return p
	}
	country, part, isPart := strings.Cut(key, "-")
	if regions, ok := places[country]; ok && isPart && len(country) == 2 && isSubdivision(part) {
		p.Regions, p.Part = regions.of, true
		if key == "gb-nir" {
			p.Regions = northernIreland
		}
	}
	return p
}

// isSubdivision reports whether text has the shape of the second part of an ISO 3166-2 code.
func isSubdivision(text string) bool {
	for _, c := range text {
		if !('a' <= c && c <= 'z' || '0' <= c && c <= '9') {
			return false
		}
	}
	return len(text) >= 1 && len(text) <= 3
}

type placeEntry struct {
	of   []Region
	part bool
}

// northernIreland keeps the rules of the Union for much of what is traded there.
var northernIreland = []Region{GreatBritain, EuropeanUnion}

// places are the names of regions, by name in small letters.
var places = func() map[string]placeEntry {
	out := make(map[string]placeEntry)
	add := func(part bool, names string, regions ...Region) {
		for name := range strings.SplitSeq(names, ",") {
			out[strings.TrimSpace(name)] = placeEntry{regions, part}
		}
	}
	add(false, "eu, european union, europe (eu), europäische union, union européenne, unión europea, união europeia", EuropeanUnion)
	add(true, memberStates, EuropeanUnion)
	add(false, "gb, uk, great britain, united kingdom, britain", GreatBritain)
	add(true, "england, scotland, wales", GreatBritain)
	add(true, "northern ireland", northernIreland...)
	add(false, "us, usa, u.s., u.s.a., united states, united states of america", UnitedStates)
	add(true, unitedStates, UnitedStates)
	add(false, "au, australia", Australia)
	add(true, "new south wales, queensland, victoria, tasmania, south australia, western australia, northern territory, australian capital territory", Australia)
	add(false, "nz, new zealand, aotearoa", NewZealand)
	add(false, "ca, canada", Canada)
	add(true, "ontario, quebec, québec, british columbia, alberta, manitoba, saskatchewan, nova scotia, new brunswick, newfoundland and labrador, prince edward island, yukon, nunavut, northwest territories", Canada)
	add(false, "jp, japan, 日本, nippon", Japan)
	return out
}()

// memberStates of the European Union by code, English name and own name.
const memberStates = `at, austria, österreich, be, belgium, belgië, belgique, belgien, bg, bulgaria, българия, hr, croatia, hrvatska, cy, cyprus, cz, czechia,
	czech republic, česko, dk, denmark, danmark, ee, estonia, eesti, fi, finland, suomi, fr, france, de, germany, deutschland, gr, el, greece, ελλάδα,
	hu, hungary, magyarország, ie, ireland, éire, it, italy, italia, lv, latvia, latvija, lt, lithuania, lietuva, lu, luxembourg, luxemburg, mt, malta,
	nl, netherlands, the netherlands, nederland, pl, poland, polska, pt, portugal, ro, romania, românia, sk, slovakia, slovensko, si, slovenia, slovenija,
	es, spain, españa, se, sweden, sverige`

// unitedStates are the states by name. Georgia is a country too and is left out; their codes are codes of
// other countries and are understood with the country in front: us-tx.
const unitedStates = `alabama, alaska, arizona, arkansas, california, colorado, connecticut, delaware, district of columbia, florida, hawaii, idaho, illinois,
	indiana, iowa, kansas, kentucky, louisiana, maine, maryland, massachusetts, michigan, minnesota, mississippi, missouri, montana, nebraska, nevada,
	new hampshire, new jersey, new mexico, new york, north carolina, north dakota, ohio, oklahoma, oregon, pennsylvania, puerto rico, rhode island,
	south carolina, south dakota, tennessee, texas, utah, vermont, virginia, washington, west virginia, wisconsin, wyoming`
