package answers

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Scale is one water parameter: what each kind tolerates and prefers, what they share,
// and what the tank reads.
type Scale struct {
	Parameter species.Parameter
	Bars      []Bar
	Shared    *species.Range // what all tolerate; nil where nothing suits all
	Preferred *species.Range // what all prefer, inside Shared
	Best      float64        // where the worst-off is least stressed; with Shared
	Reading   *float64
}

// Bar is what one kind tolerates and, inside it, prefers.
type Bar struct {
	Kind                 Kind
	Tolerated, Preferred species.Range
}

// Key is the parameter's key.
func (s *Scale) Key() string { return s.Parameter.String() }

// scales are the parameters on record for any of the kinds.
func scales(list []*species.Species, shared []conflict.Window, readings [species.NumParameters]conflict.Reading) []Scale {
	var out []Scale
	for p := range species.Parameter(species.NumParameters) {
		s := Scale{Parameter: p}
		for _, sp := range list {
			if w := sp.Water[p]; w.Known() {
				s.Bars = append(s.Bars, Bar{kindOf(sp), w.Tolerated, w.Preferred})
			}
		}
		if r := readings[p]; r.Known {
			s.Reading = &r.Value
		}
		s.share(shared)
		if len(s.Bars) > 0 {
			out = append(out, s)
		}
	}
	return out
}

// share takes over the common window of the parameter, if there is one.
func (s *Scale) share(shared []conflict.Window) {
	for _, w := range shared {
		if w.Parameter != s.Parameter || w.Tolerated.Low > w.Tolerated.High {
			continue
		}
		tolerated := w.Tolerated
		s.Shared, s.Best = &tolerated, w.Best
		if w.PreferredOK {
			preferred := w.Preferred
			s.Preferred = &preferred
		}
	}
}

// windows are the common windows of two kinds. Where one parameter rules the pair out
// the core names only that one, so the others are found here one by one.
func windows(a, b *species.Species, p *conflict.Pairing) []conflict.Window {
	if p.SharedOK {
		return p.Shared
	}
	var out []conflict.Window
	for w := range species.Parameter(species.NumParameters) {
		x, y := a.Water[w], b.Water[w]
		if !x.Known() || !y.Known() {
			continue
		}
		if common, ok := x.Tolerated.Intersect(y.Tolerated); ok {
			preferred, both := x.Preferred.Intersect(y.Preferred)
			out = append(out, conflict.Window{Parameter: w, Tolerated: common, Preferred: preferred, PreferredOK: both,
				Best: (common.Low + common.High) / 2})
		}
	}
	return out
}
