package articles

import (
	"strconv"
	"unicode"
	"unicode/utf8"
)

// Inspect reports, as a [*ListError], every value of a list that is out of bounds, and numbers that stand on it twice.
func Inspect(list []Article) error {
	var in inspector
	in.list(list, nil)
	return in.err()
}

// list looks at a list, but at those articles that were not read whole.
func (in *inspector) list(list []Article, cut map[int]bool) {
	in.length(len(list))
	seen := make(map[string]int, len(list))
	for i := range list {
		if in.full() {
			break
		}
		if !cut[i] {
			in.article(i, &list[i])
			in.twice(i, list, seen)
		}
	}
}

func (in *inspector) length(n int) {
	if n > MaxRows {
		in.add(Problem{Row: -1, What: "There are " + strconv.Itoa(n) + " articles, which is too many.", Fix: "give at most " + strconv.Itoa(MaxRows), Taken: true})
	}
}

// article looks at one article.
func (in *inspector) article(i int, a *Article) {
	of := func(field, what, fix string) {
		in.add(Problem{Row: i, Line: a.Line, Article: printable(a.Number), Field: field, What: what, Fix: fix, Taken: true})
	}
	text := func(field, value, called string, most int) {
		switch n := utf8.RuneCountInString(value); {
		case !utf8.ValidString(value):
			of(field, called+" is not UTF-8.", "save the file as UTF-8")
		case n > most:
			of(field, called+" has "+strconv.Itoa(n)+" characters, which is too many.", "write at most "+strconv.Itoa(most))
		case hasControl(value):
			of(field, called+" has a control character in it.", "write one line of text")
		}
	}
	if a.Number == "" {
		of("article", "The article number is missing.", "give every article a number of its own")
	}
	if a.Name == "" && a.Species == "" {
		of("name", "The article has neither a name nor a species.", "give one of them")
	}
	text("article", a.Number, "The article number", MaxNumber)
	text("name", a.Name, "The name", MaxName)
	text("species", a.Species, "The species", MaxName)
	text("price_class", a.PriceClass, "The price class", MaxPriceClass)
	text("note", a.Note, "The note", MaxNote)
	if n := a.InStock; n != nil && (*n < 0 || *n > MaxInStock) {
		of("in_stock", strconv.Itoa(*n)+" cannot be in stock.", "write a whole number from 0 to "+strconv.Itoa(MaxInStock)+", yes or no")
	}
}

// twice looks whether the number has come before.
func (in *inspector) twice(i int, list []Article, seen map[string]int) {
	a := &list[i]
	if a.Number == "" {
		return
	}
	first, again := seen[a.Number]
	if !again {
		seen[a.Number] = i
		return
	}
	before := Problem{Row: first, Line: list[first].Line}
	where := "as article " + strconv.Itoa(first+1) + " of the list"
	if before.Line > 0 {
		where = "on line " + strconv.Itoa(before.Line)
	}
	in.add(Problem{Row: i, Line: a.Line, Article: printable(a.Number), Field: "article", What: "The number stands " + where + " too.",
		Fix: "give every article a number of its own", Taken: true})
}

func hasControl(s string) bool {
	for _, r := range s {
		if unicode.IsControl(r) {
			return true
		}
	}
	return false
}

// maxEcho is the most characters of a bad value that a problem repeats.
const maxEcho = 40

// printable is the beginning of a text as it can be shown.
func printable(s string) string {
	out, n := []rune{}, 0
	for _, r := range s {
		if n == maxEcho {
			return string(out) + "…"
		}
		if !unicode.IsGraphic(r) {
			r = utf8.RuneError
		}
		out, n = append(out, r), n+1
	}
	return string(out)
}
