package articles

import (
	"commensal/internal/species"
)

// Report is what a list of articles comes to.
type Report struct {
	Articles  int
	Of        map[Match]int
	NotJudged map[species.GoodKind]int // what is no fish of the catalogue, by what it is
	// Told are the articles that somebody should look at, in the order of the list: those that may mean several kinds and
	// those that are unknown. Further is how many more of them there are.
	Told    []Told
	Further int
}

// Told is an article that is told of.
type Told struct {
	Article    *Article
	Match      Match
	Candidates []*species.Species // what it may mean, or the nearest names, the likeliest first
	Broader    int                // how many more kinds it may mean
}

// ReportOn reports on a list and its meanings, at most most articles of it. Near names are looked for only where they are told.
func ReportOn(s *species.Snapshot, list []Article, meanings []Meaning, most int) Report {
	r := Report{Articles: len(list), Of: map[Match]int{}, NotJudged: map[species.GoodKind]int{}}
	for i := range list {
		m := &meanings[i]
		r.Of[m.Match]++
		switch {
		case m.Match == NotJudged:
			r.NotJudged[m.Good]++
		case m.Match == Matched:
		case len(r.Told) == most:
			r.Further++
		default:
			r.Told = append(r.Told, Told{Article: &list[i], Match: m.Match, Candidates: Candidates(s, &list[i], m), Broader: m.Broader})
		}
	}
	return r
}
