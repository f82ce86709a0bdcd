package wire

import (
	"bytes"
	"encoding/json"
	"errors"
	"strconv"
	"strings"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/internal/species"
)

// Body reads the values of a body and gathers everything that is wrong with them, so that
// one answer tells all.
type Body struct {
	Snap       *species.Snapshot
	Found      respond.Faults
	Unresolved BadNames
	known      map[string]int // names that were resolved before, to what
}

// NewBody reads names against a snapshot, which may be nil where there are none.
func NewBody(snap *species.Snapshot) *Body {
	return &Body{Snap: snap, Found: respond.Faults{Malformed: respond.MalformedBody}}
}

// Err is the problem of all that was gathered. Values decide its type before names do.
func (r *Body) Err() error {
	values, names := r.Found.Err(), r.Unresolved.err()
	if values == nil || names == nil {
		return errors.Join(values, names)
	}
	f := values.(*respond.Fault)
	f.Entries = respond.First(append(f.Entries, r.Unresolved.Fields...))
	f.Detail = respond.Sentence(f.Entries)
	return f
}

// Impossible notes a value that can be read and is not possible.
func (r *Body) Impossible(pointer, detail, fix string) {
	if !r.Found.Full() {
		r.Found.Impossible = append(r.Found.Impossible, respond.AtField(gen.Body, pointer, detail, fix))
	}
}

// Species resolves a name, also one with words beside it as labels have them; index is -1 where it
// does not mean one species. A name that comes again is not looked up again, and after as many faults
// as are told of none is.
func (r *Body) Species(pointer, name string) (index int) { return r.SpeciesOf(InBody(pointer, name)) }

// SpeciesOf is [Body.Species] for a name that may be that of an article.
func (r *Body) SpeciesOf(n Named) (index int) {
	name := n.Name
	if index, ok := r.known[name]; ok {
		return index
	}
	if r.Unresolved.full() || r.Found.Full() {
		return -1
	}
	m, err := r.Snap.Resolve(name)
	if err == nil {
		return r.remember(name, m.Index)
	}
	label, labelled := r.Snap.ReadLabel(name)
	if labelled == nil && label.Clear() {
		return r.remember(name, label.Meanings[0].Index)
	}
	if labelled == nil && label.Other == nil && errors.As(err, new(*species.UnknownNameError)) { // several kinds, as "assorted mbuna"
		err = severalKinds(&label)
	}
	r.Unknown(n, err)
	return -1
}

// severalKinds says that a label means several kinds.
func severalKinds(l *species.Label) error {
	out := &species.AmbiguousNameError{Name: l.Input}
	for _, m := range l.Meanings {
		out.Candidates = append(out.Candidates, species.Candidate{ID: m.Species.ID, ScientificName: m.Species.ScientificName, VernacularName: m.Species.VernacularName("en"), Score: 1, Matched: m.Matched})
	}
	return out
}

// remember notes what a name means.
func (r *Body) remember(name string, index int) int {
	if r.known == nil {
		r.known = map[string]int{}
	}
	r.known[name] = index
	return index
}

// Unnamed tells of a name that does not resolve.
func (r *Body) Unnamed(pointer, name string, err error) { r.Unresolved.add(InBody(pointer, name), err) }

// Unknown is [Body.Unnamed] for a name that may be that of an article.
func (r *Body) Unknown(n Named, err error) { r.Unresolved.add(n, err) }

// SpeciesList resolves a list of names.
func (r *Body) SpeciesList(pointer string, names *[]string) (list []int) {
	if names == nil {
		return nil
	}
	for i, name := range *names {
		list = append(list, r.Species(pointer+"/"+strconv.Itoa(i), name))
	}
	return list
}

// Quantity reads a quantity that is a number or text with a unit; 0 where it is absent
// or wrong.
func (r *Body) Quantity(at, name string, raw *gen.Quantity, q Quantity) float64 {
	if raw == nil {
		return 0
	}
	x, _ := q.ReadAt(BodySpot(at, name), quantityText(*raw), &r.Found)
	return x
}

// quantityText is a quantity as text. The contract has let only numbers and texts pass.
func quantityText(raw json.RawMessage) string {
	if len(raw) > 1 && raw[0] == '"' {
		if inside := raw[1 : len(raw)-1]; bytes.IndexByte(inside, '\\') < 0 && utf8.Valid(inside) {
			return string(inside)
		}
	}
	var text string
	if (len(raw) == 0 || raw[0] != '-' && (raw[0] < '0' || raw[0] > '9')) && json.Unmarshal(raw, &text) == nil {
		return text
	}
	x, err := strconv.ParseFloat(string(raw), 64)
	if err != nil {
		return string(raw)
	}
	return Plain(x)
}

// OneLine refuses a text of more than one line, and one of nothing but blanks.
func (r *Body) OneLine(pointer string, text *string) {
	if text != nil && !IsLine(*text) {
		r.Impossible(pointer, pointer+" is blank, or has a control character in it.", "write one line of text")
	}
}

// IsLine reports whether a text is one line with something in it.
func IsLine(text string) bool { return strings.TrimSpace(text) != "" && validate.NotText(text) == "" }

// NotALabel refuses a text that is blank or of more than one line.
func NotALabel(pointer string) error {
	detail := pointer + " is blank, or has a control character in it."
	return &respond.Fault{Slug: respond.ImpossibleValue, Detail: detail, Entries: respond.Fields(respond.AtField(gen.Body, pointer, detail, "write one line of text"))}
}
