package stocking

import (
	"slices"
	"strings"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/law"
)

// lawOf is what the published rules say of a kind where the seller is.
func (j *Assessment) lawOf(sp *species.Species) law.Answer {
	return law.Of(j.Book.Law, law.PlaceOf(j.Region), sp)
}

// law holds what may not be sold or kept where the seller is, or only with a permit, and what is
// forbidden in many places until somebody has said that it may be kept here. What is restricted in
// some is in the cautions.
func (f *finder) law(first int) {
	sp := f.Lines[first].Species
	switch hands := f.lawOf(sp).Hands(); {
	case hands == law.Forbidden:
		f.add(Stop, LawForbids, f.kindLines(first), nil)
	case hands == law.Permit:
		f.add(Stop, LawPermit, f.kindLines(first), nil)
	case slices.Contains(sp.Cautions, species.Prohibited):
		f.add(Stop, LawUnknown, f.kindLines(first), nil)
	}
}

// lawNote is the caution with the rules that touch a kind where the seller is; ok is false where none
// names it, and the general cautions stay.
func (j *Assessment) lawNote(sp *species.Species) (note conflict.CautionNote, ok bool) {
	answer := j.lawOf(sp)
	if !answer.Specific() {
		return note, false
	}
	note = CautionNote(species.Regulated, sp)
	note.Text = strings.Join(answer.Sentences(sp), " ")
	return note, true
}
