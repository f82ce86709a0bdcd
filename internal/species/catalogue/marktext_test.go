package catalogue_test

import (
	"errors"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/entry"
)

const twoBlocks = `# A comment that stays.
- scientific_name: Danio rerio
  basis: memory
  checked: [old length 1 2 3]
  traits:
    length: 4 4.5 5 cm memory # beside a value

- scientific_name: Danio kerri
  basis: memory
  traits:
    length: 4 4.5 5 cm memory
`

func TestWriteMarksChangesOneLine(t *testing.T) {
	mark := species.Mark{Source: "book", Field: "length", Value: "4 4.5 5"}
	got, err := catalogue.WriteMarks("f.yaml", []byte(twoBlocks), []*species.Species{
		{ID: "danio-rerio", Checked: []species.Mark{mark}}, {ID: "danio-kerri", Checked: []species.Mark{mark}}, {ID: "not-here"},
	})
	if err != nil {
		t.Fatal(err)
	}
	line := "  checked: [book length 4 4.5 5]\n"
	want := strings.Replace(twoBlocks, "  checked: [old length 1 2 3]\n", line, 1)
	want = strings.Replace(want, "kerri\n  basis: memory\n", "kerri\n  basis: memory\n"+line, 1)
	if string(got) != want {
		t.Errorf("got\n%s", got)
	}
	bare, err := catalogue.WriteMarks("f.yaml", got, []*species.Species{{ID: "danio-rerio"}, {ID: "danio-kerri"}})
	if err != nil || strings.Contains(string(bare), "checked") || !strings.HasPrefix(string(bare), "# A comment") {
		t.Errorf("without marks %v\n%s", err, bare)
	}
}

func TestWriteMarksLeavesWhatItCannotWriteAlone(t *testing.T) {
	text := strings.Replace(twoBlocks, "[old length 1 2 3]", "\n    - old length 1 2 3", 1)
	_, err := catalogue.WriteMarks("f.yaml", []byte(text), []*species.Species{{ID: "danio-rerio"}})
	if !errors.Is(err, entry.ErrNotText) {
		t.Errorf("got %v", err)
	}
}
