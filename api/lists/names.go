package lists

import (
	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/stocking"
	"commensal/internal/stocking/meanings"
)

// LineAsked is the caller's line at a position, residents first.
func LineAsked(in *gen.CheckRequest, at int) *gen.LineInput {
	if at < len(in.Residents) {
		return &in.Residents[at]
	}
	return &(*in.Incoming)[at-len(in.Residents)]
}

// refOf is how the caller speaks of a line: by his own number, else by its place in the request.
func (w *listWire) refOf(at int) string {
	if w.asked != nil {
		if ref := LineAsked(w.asked, at).Ref; ref != nil {
			return *ref
		}
	}
	return w.pointer(at)
}

// refsOf are the caller's lines that a finding is about.
func (w *listWire) refsOf(f *stocking.Finding) []string {
	out := w.refsOfLines(f.Lines)
	if f.Other != nil {
		out = append(out, w.refOf(f.Other.Ref))
	}
	return out
}

func (w *listWire) refsOfLines(lines []int) []string {
	out := make([]string, 0, len(lines))
	for _, l := range lines {
		for _, at := range w.lines[l].Refs {
			out = append(out, w.refOf(at))
		}
	}
	return out
}

// questions are what to ask.
func (w *listWire) questions(list []stocking.Question) []gen.AskedQuestion {
	out := make([]gen.AskedQuestion, len(list))
	for i := range list {
		q := &list[i]
		out[i] = gen.AskedQuestion{Code: gen.AskedQuestionCode(q.Code()[len("ask."):]), Summary: w.words.Sentence(q.Statement), Refs: w.refsOfLines(q.Lines)}
	}
	return out
}

// notJudged are the lines that were set aside.
func (w *listWire) notJudged(told []stocking.Finding) []gen.NotJudged {
	out := []gen.NotJudged{}
	for i := range told {
		f := &told[i]
		if f.Other == nil {
			continue
		}
		n := gen.NotJudged{Ref: w.refOf(f.Other.Ref), Pointer: w.pointer(f.Other.Ref), Name: f.Other.Word,
			Kind: gen.Unknown, Summary: w.words.Finding(f)}
		if f.Other.Good != "" {
			n.Kind = gen.NotJudgedKind(f.Other.Good)
		}
		out = append(out, n)
	}
	return out
}

// setAside are the words of a line's names that tell no kind from another; nil for none.
func (w *listWire) setAside(l *stocking.Line) *[]string {
	if w.asked == nil {
		return nil
	}
	var out []string
	for _, at := range l.Refs {
		label, err := w.book.Snapshot.ReadLabel(LineAsked(w.asked, at).Species)
		if err == nil {
			out = append(out, label.SetAside...)
		}
	}
	if out == nil {
		return nil
	}
	return &out
}

// unclear tells of the names with several meanings, at their lines, and asks where they differ.
func (w *listWire) unclear(out *gen.Check, names []meanings.Unclear) {
	for i := range names {
		u := &names[i]
		told := w.unclearName(u)
		for k := range out.Lines {
			if sharesRef(w.lines[k].Refs, u.Refs) {
				out.Lines[k].Unclear = &told
			}
		}
	}
	out.Ask = askedFirst(w.unclearAsked(names), out.Ask)
}

// unclearAsked are the names with several meanings that differ, to be asked about.
func (w *listWire) unclearAsked(names []meanings.Unclear) []gen.AskedQuestion {
	asked := []gen.AskedQuestion{}
	for i := range names {
		u := &names[i]
		if u.Agree {
			continue
		}
		refs := make([]string, len(u.Refs))
		for k, at := range u.Refs {
			refs[k] = w.refOf(at)
		}
		asked = append(asked, gen.AskedQuestion{Code: gen.AskedQuestionCodeWhichKind, Summary: w.words.Which(w.book.Snapshot, u), Refs: refs})
	}
	return asked
}

// askedFirst puts some questions before others, as many as an answer may ask.
func askedFirst(first, then []gen.AskedQuestion) []gen.AskedQuestion {
	all := append(first, then...)
	return all[:min(len(all), maxAsked)]
}

// maxAsked is how many questions the contract lets an answer ask.
const maxAsked = 2

func sharesRef(a, b []int) bool {
	for _, x := range a {
		for _, y := range b {
			if x == y {
				return true
			}
		}
	}
	return false
}

func (w *listWire) unclearName(u *meanings.Unclear) gen.UnclearName {
	out := gen.UnclearName{Name: u.Word, Agree: u.Agree, Untried: u.Untried + u.Broader, Summary: w.words.WhicheverOrWhich(w.book.Snapshot, u),
		Meanings: make([]gen.NameMeaning, len(u.Meanings))}
	for i, m := range u.Meanings {
		out.Meanings[i] = gen.NameMeaning{Species: wire.SpeciesRef(w.book.Snapshot.At(m.Index)), Decision: gen.Decision(m.Decision.String())}
		if m.Main != "" && m.Decision > stocking.Proceed {
			out.Meanings[i].MainReason = wire.Optional(string(m.Main))
		}
	}
	return out
}
