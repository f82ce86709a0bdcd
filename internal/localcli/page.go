package localcli

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"strings"

	"commensal/api/gen"
	"commensal/internal/terminal"
)

// BuiltInRevision is the catalogue revision that offline answers name: no database numbered it.
const BuiltInRevision = 0

// Layout says how answers are laid out for people.
type Layout struct {
	US      bool   // US units stand in brackets
	Program string // the version of the program, for the last line
	Columns int    // how wide lines are, in characters; 0 is as wide as a plain terminal
	// TableColumns is how wide tables are at most, in characters; 0 is no limit.
	TableColumns int
}

// wrap breaks a text into lines of the layout's width, see [wrapTo].
func (l Layout) wrap(lead, indent, text string) string {
	return wrapTo(cmp.Or(l.Columns, terminal.Customary), lead, indent, text)
}

// page lays an answer out as plain text.
type page struct {
	Layout
	b bytes.Buffer
}

func (o *page) line(format string, args ...any) { fmt.Fprintf(&o.b, format+"\n", args...) }

func (o *page) title(text string) { o.line("\n%s", text) }

// item writes a point of a list.
func (o *page) item(text string) { o.line("%s", o.wrap("  - ", "    ", text)) }

// field writes a named value.
func (o *page) field(name, text string) {
	lead := pad(name, 13)
	if runes(name) >= 13 {
		lead = name + "  "
	}
	o.line("%s", o.wrap(lead, strings.Repeat(" ", 13), text))
}

// foot ends a page with what the answer was computed by.
func (o *page) foot(model string, revision int64) {
	o.line("Model %s, %s, commensal %s", model, catalogueOf(revision), o.Program)
}

// catalogueOf says which catalogue an answer is from.
func catalogueOf(revision int64) string {
	if revision == BuiltInRevision {
		return "built-in catalogue"
	}
	return fmt.Sprintf("catalogue revision %d", revision)
}

// cautions lists what to be careful about; one about a single kind begins with its name.
func (o *page) cautions(names map[string]string, list []gen.Caution) {
	o.title("Cautions")
	for _, c := range list {
		if c.Species != nil && names[*c.Species] != "" {
			o.item(names[*c.Species] + ": " + c.Text)
			continue
		}
		o.item(c.Text)
	}
}

// writeTo writes the page out.
func (o *page) writeTo(w io.Writer) error {
	_, err := o.b.WriteTo(w)
	return err
}

// spaced is a key of the contract as words.
func spaced(key string) string { return strings.ReplaceAll(key, "_", " ") }
