package cataloguerows

import (
	"crypto/sha256"
	"encoding/binary"
	"hash"
	"math"

	"commensal/internal/species"
)

// Hash is the SHA-256 of a catalogue's canonical form. Equal catalogues
// have equal hashes, in this build and in later ones: values are written under
// their trait's key, absent ones not at all, so that a trait added to the program
// changes no hash until somebody knows its value. Empty and nil lists are equal.
// Order counts: it is part of the content. What was reviewed counts where there is
// any, so that the hash of an entry without reviews is what it was before they came.
func Hash(c species.Catalogue) [sha256.Size]byte {
	h := &hasher{hash: sha256.New()}
	h.text("commensal catalogue 1")
	h.count(len(c.Species))
	for _, s := range c.Species {
		h.species(s)
		h.flush()
	}
	h.count(len(c.Words))
	for _, w := range c.Words {
		h.text(w.Word)
		texts(h, w.Candidates)
	}
	h.count(len(c.Sources))
	for _, s := range c.Sources {
		h.text(s.Key)
		h.text(s.Citation)
	}
	h.flush()
	return [sha256.Size]byte(h.hash.Sum(nil))
}

// EntryHash is the SHA-256 of the canonical form of one entry.
func EntryHash(s *species.Species) [sha256.Size]byte {
	h := &hasher{}
	h.species(s)
	return sha256.Sum256(h.buf)
}

// hasher writes every item with its length or in a fixed width, so that no two
// different catalogues can have the same canonical form.
type hasher struct {
	hash hash.Hash
	buf  []byte // not yet hashed
}

func (h *hasher) flush() {
	h.hash.Write(h.buf) // a hash never fails
	h.buf = h.buf[:0]
}

func (h *hasher) count(n int) {
	h.buf = binary.BigEndian.AppendUint64(h.buf, uint64(n))
}

func (h *hasher) text(s string) {
	h.count(len(s))
	h.buf = append(h.buf, s...)
}

func texts[T ~string](h *hasher, list []T) {
	h.count(len(list))
	for _, s := range list {
		h.text(string(s))
	}
}

func (h *hasher) numbers(list ...float64) {
	for _, f := range list {
		if f == 0 {
			f = 0 // minus zero equals zero
		}
		h.buf = binary.BigEndian.AppendUint64(h.buf, math.Float64bits(f))
	}
}

func (h *hasher) species(s *species.Species) {
	for _, word := range []string{string(s.ID), s.ScientificName, s.Family, string(s.FormOf), s.Form, string(s.BodyForm), string(s.Guild),
		string(s.Social), s.Shape, sexKey(s.SoldAs), s.LegalNote, s.Note, string(s.Basis)} {
		h.text(word)
	}
	if s.SexedTrade {
		h.text("sexed")
	} else {
		h.text("")
	}
	h.count(len(s.Names))
	for _, n := range s.Names {
		h.text(n.Language)
		h.text(n.Text)
	}
	texts(h, s.Synonyms)
	texts(h, s.Colours)
	texts(h, s.Hybridises)
	texts(h, s.Needs)
	texts(h, s.Cautions)
	h.habits(s)
	h.values(s)
}

// habits writes what entries did not have at first; without it they hash as they did.
func (h *hasher) habits(s *species.Species) {
	for _, habit := range []struct{ key, word string }{
		{"feeds_by", string(s.FeedsBy)}, {"active", string(s.Active)}, {"availability", string(s.Available)},
	} {
		if habit.word != "" {
			h.text(habit.key)
			h.text(habit.word)
		}
	}
}

// values writes the numbers; the empty text ends each group.
func (h *hasher) values(s *species.Species) {
	for _, set := range traitSets(s) {
		for t, v := range set.traits {
			if v.Known() {
				h.text(species.Trait(t).String())
				h.numbers(v.Low, v.Typical, v.High)
				h.text(string(v.Basis))
			}
		}
		h.text("")
	}
	for p, w := range s.Water {
		if w.Known() {
			h.text(species.Parameter(p).String())
			h.numbers(w.Tolerated.Low, w.Preferred.Low, w.Preferred.High, w.Tolerated.High)
			h.text(string(w.Basis))
		}
	}
	h.text("")
	for _, z := range zoneUses(s) {
		if z.use.Known() {
			h.text(z.activity)
			h.numbers(z.use.Share[:]...)
			h.text(string(z.use.Basis))
		}
	}
	h.text("")
	h.reviews(s)
	h.marks(s)
}

// reviews writes nothing where there are none. The mark in front is no id, and too
// large for a count, so that it cannot be taken for what follows an entry.
func (h *hasher) reviews(s *species.Species) {
	if len(s.Reviewed) == 0 {
		return
	}
	h.text("\x00reviewed")
	h.count(len(s.Reviewed))
	for _, v := range s.Reviewed {
		h.text(v.Field)
		h.text(v.Reason)
	}
}

// marks writes nothing where there are none, as reviews does.
func (h *hasher) marks(s *species.Species) {
	if len(s.Checked) == 0 {
		return
	}
	h.text("\x00checked")
	h.count(len(s.Checked))
	for _, m := range s.Checked {
		h.text(m.String())
	}
}
