package articles

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// File is a list of articles as it was read.
type File struct {
	Articles []Article
	Columns  map[string]string // the header's word of each column that was used, by field
	Ignored  []string          // the header's words of columns that were not
}

// ReadCSV reads a list of articles: a header, then one article on each line, with commas, semicolons or tabs between the
// cells, whichever the header has most of. A byte order mark, Windows line ends or those of old Macintoshes, a first
// line sep=; as Excel takes it, blank lines, cells in quotes and empty cells at the end of a line are welcome. The
// columns may come in any order, and others are ignored.
//
// What is wrong is a [*ListError], which tells of everything at once.
func ReadCSV(text []byte) (*File, error) {
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if err := readable(text); err != nil {
		return nil, err
	}
	if bytes.IndexByte(text, '\n') < 0 {
		text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	}
	comma, text := separated(text)
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.ReuseRecord = comma, -1, true
	r.TrimLeadingSpace = r.Comma != '\t' // which is white space itself
	header, err := r.Read()
	if errors.Is(err, io.EOF) {
		return nil, errEmpty
	}
	if err != nil {
		return nil, unreadable(err)
	}
	f := &File{Columns: map[string]string{}}
	first, _ := r.FieldPos(0)
	at, err := f.readHeader(header, first)
	if err != nil {
		return nil, err
	}
	t := &table{reader: r, at: at, first: first, width: len(header), cut: map[int]bool{}}
	if err := t.read(); err != nil {
		return nil, err
	}
	f.Articles = t.list
	return f, nil
}

var errEmpty = &ListError{[]Problem{{Row: -1, What: "The file is empty.", Fix: "begin with a header, as in article;name;in stock"}}}

// readable wants UTF-8 without NUL, and something in it.
func readable(text []byte) error {
	if len(bytes.TrimSpace(text)) == 0 {
		return errEmpty
	}
	if utf8.Valid(text) && bytes.IndexByte(text, 0) < 0 {
		return nil
	}
	no := func(line int, what string) error {
		return &ListError{[]Problem{{Row: -1, Line: line, What: what, Fix: "save the file as CSV UTF-8"}}}
	}
	number := 1
	for line := range bytes.Lines(text) {
		if !utf8.Valid(line) {
			return no(number, "This is not UTF-8.")
		}
		if bytes.IndexByte(line, 0) >= 0 {
			return no(number, "A NUL character stands here: this is no text.")
		}
		number++
	}
	return nil
}

// separated is what stands between the cells. Where a first line says it for Excel, as in sep=; or "sep=;", that line
// becomes a blank one, which the lines below are still counted from.
func separated(text []byte) (comma rune, rest []byte) {
	end := bytes.IndexByte(text, '\n')
	if end < 0 {
		return separator(text), text
	}
	said := strings.ToLower(strings.Trim(strings.TrimRight(string(text[:end]), "\r"), `"`))
	if by, ok := strings.CutPrefix(said, "sep="); ok && (by == ";" || by == "," || by == "\t") {
		return rune(by[0]), text[end:]
	}
	return separator(text), text
}

// separator is what stands between the cells of the first line that is not blank.
func separator(text []byte) rune {
	for line := range bytes.Lines(text) {
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		best, most := ',', 0
		for _, c := range ";,\t" {
			if n := strings.Count(outsideQuotes(string(line)), string(c)); n > most {
				best, most = c, n
			}
		}
		return best
	}
	return ','
}

// outsideQuotes is a line without what stands in quotes.
func outsideQuotes(line string) string {
	var b strings.Builder
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 0 {
			b.WriteString(part)
		}
	}
	return b.String()
}

// readHeader finds the columns, by the header on a line.
func (f *File) readHeader(header []string, line int) (at [numColumns]int, err error) {
	var in inspector
	for c := range at {
		at[c] = -1
	}
	for i, word := range header {
		word = squeeze(word)
		c, known := headerWords[foldHeader(word)]
		switch {
		case word == "":
		case !known:
			f.Ignored = append(f.Ignored, clip(word))
		case at[c] >= 0:
			in.add(Problem{Row: -1, Line: line, Field: Fields[c], What: "The columns " + strconv.Quote(f.Columns[Fields[c]]) + " and " + strconv.Quote(printable(word)) +
				" both say the same: " + spoken[c] + ".", Fix: "rename one of them or leave it out"})
		default:
			at[c], f.Columns[Fields[c]] = i, clip(word)
		}
	}
	missing := func(what, fix string) {
		in.add(Problem{Row: -1, Line: line, What: "The header " + shownHeader(header) + " has no column for " + what + ".", Fix: fix})
	}
	if at[colNumber] < 0 {
		missing(spoken[colNumber], "call it "+few(colNumber))
	}
	if at[colName] < 0 && at[colSpecies] < 0 {
		missing("the name or the species", "call it "+few(colName)+", or "+few(colSpecies))
	}
	return at, in.err()
}

// spoken are the columns in words.
var spoken = [numColumns]string{"the article number", "the name", "the species", "the price class", "what is in stock", "the note"}

// few are some words by which a column is known.
func few(c column) string {
	words := HeaderWords(Fields[c])
	return strings.Join(words[:3], ", ") + " or " + words[3]
}

// maxShown is how many columns of a header a problem repeats, and how many characters of each.
const maxShown, maxWord = 12, 60

func shownHeader(header []string) string {
	out := make([]string, 0, maxShown)
	for _, w := range header[:min(len(header), maxShown)] {
		out = append(out, strconv.Quote(printable(squeeze(w))))
	}
	if len(header) > maxShown {
		out = append(out, "…")
	}
	return strings.Join(out, ", ")
}

// clip is a header's word, not too long.
func clip(word string) string {
	if r := []rune(word); len(r) > maxWord {
		return string(r[:maxWord-1]) + "…"
	}
	return word
}

// squeeze is a cell with single spaces between its words.
func squeeze(cell string) string { return strings.Join(strings.Fields(cell), " ") }

// table reads the lines below the header.
type table struct {
	reader *csv.Reader
	at     [numColumns]int
	first  int // the header's line
	width  int
	list   []Article
	cut    map[int]bool // rows that do not have the header's cells
	in     inspector
}

func (t *table) read() error {
	for !t.in.full() {
		record, err := t.reader.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return unreadable(err)
		}
		line, _ := t.reader.FieldPos(0)
		t.row(record, line)
		if len(t.list) > MaxRows {
			return &ListError{[]Problem{{Row: -1, What: "The file has more than " + strconv.Itoa(MaxRows) + " articles.", Fix: "give at most " + strconv.Itoa(MaxRows), Taken: true}}}
		}
	}
	if len(t.list) == 0 && len(t.in.found) == 0 {
		t.in.add(Problem{Row: -1, Line: t.first, What: "The file has a header and no article below it.", Fix: "give at least one article", Taken: true})
	}
	t.in.list(t.list, t.cut)
	slices.SortStableFunc(t.in.found, func(a, b Problem) int { return cmp.Compare(a.Line, b.Line) })
	return t.in.err()
}

// row reads one line; a line of nothing but blanks is none.
func (t *table) row(record []string, line int) {
	cell := func(c column) string {
		if i := t.at[c]; i >= 0 && i < len(record) {
			return squeeze(record[i])
		}
		return ""
	}
	blank := true
	for _, v := range record {
		blank = blank && strings.TrimSpace(v) == ""
	}
	if blank {
		return
	}
	a := Article{Number: cell(colNumber), Name: cell(colName), Species: cell(colSpecies), PriceClass: cell(colPrice), Note: cell(colNote), Line: line}
	problem := Problem{Row: len(t.list), Line: line, Article: printable(a.Number)}
	t.list = append(t.list, a)
	if n := len(record); n < t.width || strings.TrimSpace(strings.Join(record[t.width:], "")) != "" {
		problem.What = "There are " + strconv.Itoa(n) + " cells, and " + strconv.Itoa(t.width) + " in the header: is the line cut off, or does a cell need quotes?"
		problem.Fix = "give every line as many cells as the header, and put a cell that has a separator in it in quotes"
		t.in.add(problem)
		t.cut[problem.Row] = true
		return
	}
	stock, ok := readStock(cell(colStock))
	if !ok {
		problem.Field, problem.Taken = "in_stock", true
		problem.What = strconv.Quote(printable(cell(colStock))) + " cannot be what is in stock."
		problem.Fix = "write a whole number from 0 to " + strconv.Itoa(MaxInStock) + ", yes or no; nothing means yes"
		t.in.add(problem)
		return
	}
	t.list[len(t.list)-1].InStock = stock
}

// unreadable is the problem behind an error of the CSV reader.
func unreadable(err error) error {
	p := Problem{Row: -1, What: "The file cannot be read as CSV.", Fix: "save it as CSV UTF-8"}
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		p.Line = parse.StartLine
		switch {
		case errors.Is(err, csv.ErrQuote):
			p.What, p.Fix = "A quote is opened here and not closed where the cell ends: is the file cut off?", `close it, or write a quote inside a cell twice, as in "3"" fish"`
		case errors.Is(err, csv.ErrBareQuote):
			p.What, p.Fix = "A quote stands inside a cell that does not begin with one.", `put the whole cell in quotes and write the quote twice, as in "3"" fish"`
		}
	}
	return &ListError{[]Problem{p}}
}
