package curation

import (
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/species"
	catalogueentry "commensal/internal/species/catalogue/entry"
)

// entryReader reads an entry of the catalogue from a body. It refuses what the text of the
// catalogue could not hold, and remembers where each value stands for what verification
// finds.
type entryReader struct {
	species *species.Species
	sources []species.Source
	spots   map[string]string   // JSON Pointers by the names that verification has for fields
	items   map[string][]string // JSON Pointers by the text that stands there in a list
	found   respond.Faults
}

func readEntry(in *gen.SpeciesWrite) *entryReader {
	r := &entryReader{species: &species.Species{}, spots: map[string]string{}, items: map[string][]string{}, found: respond.Faults{Malformed: respond.MalformedBody}}
	r.words(in)
	r.names(in.Names)
	r.lists(in)
	for i, t := range in.Traits {
		r.trait("/traits/"+strconv.Itoa(i), t)
	}
	for i, w := range in.Water {
		r.water("/water/"+strconv.Itoa(i), w)
	}
	r.species.Zones = r.zones("/zones", in.Zones)
	r.species.FeedingZones = r.zones("/feeding_zones", in.FeedingZones)
	return r
}

func (r *entryReader) refuse(pointer, detail, fix string) {
	r.found.Impossible = append(r.found.Impossible, respond.AtField(gen.Body, pointer, detail, fix))
}

// text reads a text, which is one line without blanks at its ends.
func (r *entryReader) text(pointer, text string) string {
	if what := catalogueentry.TextFault(text); what != "" {
		r.refuse(pointer, pointer+": "+what+".", "write one line of plain text")
	}
	return text
}

// words reads the texts of which there is one each.
func (r *entryReader) words(in *gen.SpeciesWrite) {
	s := r.species
	s.ScientificName = r.text("/scientific_name", in.ScientificName)
	s.Family = r.text("/family", in.Family)
	s.Form = r.text("/form", wire.Value(in.Form))
	s.FormOf = species.ID(r.text("/form_of", wire.Value(in.FormOf)))
	s.BodyForm = species.BodyForm(r.text("/body_form", in.BodyForm))
	s.Guild = species.Guild(r.text("/feeding_guild", in.FeedingGuild))
	s.FeedsBy = species.Feeding(wire.Value(in.FeedsBy))
	s.Active = species.Hours(wire.Value(in.Active))
	s.Available = species.Availability(wire.Value(in.Availability))
	s.Social = species.Social(r.text("/social", in.Social))
	s.Shape = r.text("/shape", wire.Value(in.Shape))
	s.LegalNote = r.text("/legal_note", wire.Value(in.LegalNote))
	s.Note = r.text("/note", wire.Value(in.Note))
	s.Basis = species.Basis(r.text("/basis", in.Basis))
	s.SexedTrade = wire.Value(in.SexedInTrade)
	s.SoldAs = wire.Sex(wire.Value(in.SoldAs))
	s.ID = species.MakeID(s.ScientificName, s.Form)
}

// list reads a list of texts, none of them twice.
func (r *entryReader) list(pointer string, in []string) []string {
	seen := make(map[string]bool, len(in))
	for i, text := range in {
		at := pointer + "/" + strconv.Itoa(i)
		if r.text(at, text); seen[text] {
			r.refuse(at, strconv.Quote(validate.Printable(text))+" is listed twice.", "list it once")
		}
		seen[text], r.items[text] = true, append(r.items[text], at)
	}
	if len(in) == 0 {
		return nil
	}
	return in
}

func (r *entryReader) lists(in *gen.SpeciesWrite) {
	s := r.species
	s.Synonyms = r.list("/synonyms", wire.Value(in.Synonyms))
	s.Colours = r.list("/colours", wire.Value(in.Colours))
	s.Hybridises = r.list("/hybridises_with", wire.Value(in.HybridisesWith))
	s.Needs = r.list("/needs", wire.Value(in.Needs))
	for _, code := range r.list("/cautions", wire.Mapped(wire.Value(in.Cautions), func(c gen.CautionWrite) string { return c.Code })) {
		s.Cautions = append(s.Cautions, species.Caution(code))
	}
	fields := wire.Mapped(wire.Value(in.Reviewed), func(v gen.Review) string { return v.Field })
	r.list("/reviewed", fields)
	for i, v := range wire.Value(in.Reviewed) {
		at := "/reviewed/" + strconv.Itoa(i)
		r.spots["reviewed "+v.Field] = at
		s.Reviewed = append(s.Reviewed, species.Review{Field: v.Field, Reason: r.text(at+"/reason", v.Reason)})
	}
	r.list("/sources", wire.Mapped(wire.Value(in.Sources), func(s gen.SourceWrite) string { return s.Key }))
	for i, source := range wire.Value(in.Sources) {
		at := "/sources/" + strconv.Itoa(i)
		r.spots["sources "+source.Key] = at
		r.sources = append(r.sources, species.Source{Key: source.Key, Citation: r.text(at+"/citation", source.Citation)})
	}
}

func (r *entryReader) names(in []gen.NamesWrite) {
	r.list("/names", wire.Mapped(in, func(n gen.NamesWrite) string { return n.Language }))
	for i, n := range in {
		at := "/names/" + strconv.Itoa(i)
		r.spots["names "+n.Language] = at
		for _, text := range r.list(at+"/names", n.Names) {
			r.species.Names = append(r.species.Names, species.Name{Language: n.Language, Text: text})
		}
	}
}
