package articles

import (
	"fmt"
	"strconv"
	"strings"
)

// Problem is something wrong with a list of articles.
type Problem struct {
	Row     int    // position of the article in the list, from 0; -1 for the list as a whole
	Line    int    // in the file, from 1; 0 where there is none
	Article string // its number, where it has one
	Field   string // one of [Fields], or empty
	What    string // a sentence about the value
	Fix     string
	Taken   bool // it can be read, and is not possible
}

// Sentence says where and what.
func (p *Problem) Sentence() string {
	var at []string
	if p.Line > 0 {
		at = append(at, "line "+strconv.Itoa(p.Line))
	} else if p.Row >= 0 {
		at = append(at, "article "+strconv.Itoa(p.Row+1)+" of the list")
	}
	if p.Article != "" {
		at = append(at, "article "+strconv.Quote(p.Article))
	}
	if len(at) == 0 {
		return p.What
	}
	text := strings.Join(at, ", ") + ": " + p.What
	return strings.ToUpper(text[:1]) + text[1:]
}

// MaxProblems is how many problems are told of one list.
const MaxProblems = 50

// ListError tells all that is wrong with a list, as far as it is told of; nothing of it is used.
type ListError struct{ Problems []Problem }

func (e *ListError) Error() string {
	said := make([]string, len(e.Problems))
	for i := range e.Problems {
		said[i] = e.Problems[i].Sentence()
	}
	return fmt.Sprintf("articles: %s", strings.Join(said, " "))
}

// inspector gathers problems.
type inspector struct{ found []Problem }

func (in *inspector) full() bool { return len(in.found) >= MaxProblems }

func (in *inspector) add(p Problem) {
	if !in.full() {
		in.found = append(in.found, p)
	}
}

func (in *inspector) err() error {
	if len(in.found) == 0 {
		return nil
	}
	return &ListError{in.found}
}
