package catalogue

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"commensal/db"
	"commensal/internal/species/catalogue/entry"
	"go.yaml.in/yaml/v3"
)

// tree writes all of a node that the reader looks at.
func tree(b *strings.Builder, n *yaml.Node, indent string) {
	if n == nil {
		fmt.Fprintf(b, "%snothing\n", indent)
		return
	}
	fmt.Fprintf(b, "%s%d %s %q line %d style %d anchor %q\n", indent, n.Kind, n.ShortTag(), n.Value, n.Line, n.Style, n.Anchor)
	for _, inner := range n.Content {
		tree(b, inner, indent+" ")
	}
}

func treeOf(n *yaml.Node) string {
	var b strings.Builder
	tree(&b, n, "")
	return b.String()
}

// checkPlain compares the nodes of a text with those of the YAML reader, where the
// text is plain.
func checkPlain(t *testing.T, text string) (odd int) {
	t.Helper()
	root, odd := readPlain(text)
	if odd > 0 {
		return odd
	}
	var errs entry.Errors
	want := anyDocument(&entry.Reader{File: "f", Errs: &errs}, []byte(text))
	if len(errs) > 0 {
		t.Fatalf("taken for plain, but %v\n%s", errs, text)
	}
	if got := treeOf(root); got != treeOf(want) {
		t.Fatalf("%s\nreads as\n%s\nand in YAML as\n%s", text, got, treeOf(want))
	}
	return 0
}

// A file that is not plain is still read, but slowly: offline commands would pay for
// it each time they start.
func TestTheBuiltInFilesAreInPlainForm(t *testing.T) {
	names, err := fs.Glob(db.CatalogueFS(), "species/*.yaml")
	if err != nil || len(names) == 0 {
		t.Fatalf("files %v, %v", names, err)
	}
	for _, name := range append(names, "words.yaml") {
		data, err := fs.ReadFile(db.CatalogueFS(), name)
		if err != nil {
			t.Fatal(err)
		}
		if odd := checkPlain(t, string(data)); odd > 0 {
			t.Errorf("db/catalogue/%s:%d: write this line as the others are: one line, plain words, quotes without escapes", name, odd)
		}
	}
}

func TestReadPlainTellsWhichLineIsNotPlain(t *testing.T) {
	for _, tt := range []struct {
		text string
		odd  int
	}{
		{"a: b\nc: d\n", 0}, {"", 1}, {"# nothing\n", 1}, {"a: b\nc: [d,\n e]\nf: g\n", 2}, {"a: b\nc:\nd: e\n", 2},
		{"- a: b\n  c: \"\\n\"\n- d: e\n", 2}, {"a: b\n\nc: d\u00a0e\n", 3}, {"a: b\n  c: d\n", 2}, {"- a: b\nc: d\n", 2},
	} {
		if _, odd := readPlain(tt.text); odd != tt.odd {
			t.Errorf("%q: line %d, want %d", tt.text, odd, tt.odd)
		}
	}
}

// plainSeeds are texts at the border of the plain form, on both sides of it.
var plainSeeds = []string{
	"a: b\n", "a: b # c\n", "a: b#c\n", "a: b\n c\n", "a: b\n  # c\nd: e", "- a: b\n  c: d\n- e: f\n", "- a: b\n c: d\n", "-  a: b\n   c: d\n",
	"a:\n  b: 1 2 3 cm memory\n", "a:\n- b\n", "a:\n", "a: \n b: c\n d: e\nf: g\n", "a: [b, c]\n", "a: [b, \"c, d\"] # e\n", "a: [b,\n c]\n", "a: []\n",
	"a: [b, ]\n", "a: [b]c\n", "a: [b] c\n", "a: [b: c]\n", "a: [b?]\n", "a: 'b'\n", "a: 'b''c'\n", "a: \"b\\n\"\n", "a: \"b\": c\n", "a: \"b \\\"c\\\" d\"\n", "a: [\"\\\"b\"]\n", "a: \"b\\\\\"\n", "a: \"b\\\"\n", "a: 'b\\\"'\n", "a: \"b\"#c\n",
	"a: true\n", "a: True\n", "a: null\n", "a: no\n", "no: b\n", "true: b\n", "a: 1 2\n", "a: 1 x\n", "a: 1_0 x\n", "a: 2001-01-01 x\n", "a: 1 2:3 x\n",
	"a: b: c\n", "a: b:\n", "a: b:c\n", "a b: c\n", "a:b\n", "a: &b c\n", "a: *b\n", "a: !b c\n", "a: |\n b\n", "a: >\n", "a: @b\n", "a: b\r\n",
	"a: b\tc\n", "\ta: b\n", "a: b\u2028c\n", "a: b\u0085c\n", "a: \ufeffb\n", "\ufeffa: b\n", "a: b\n---\nc: d\n", "a: b\n...\n", "%YAML 1.1\n---\na: b\n",
	"? a\n: b\n", "a: b\na: c\n", "- a\n", "- - a: b\n", "- a: b\nc: d\n", "a: b\n- c: d\n", "a:\n    b: c\n  d: e\n", "a: e5 x\n", "a: b  \n", "# a\n\nb: c", "",
	"a: [\"b\" , 'c' ]\n", "a: [ b , c ]   \n", "a: [b #c\n", "a: b [c] {d}\n", "a: [b [c]]\n", "a: ~\n", "a: b, c; (d) \"e\"\n", "a: 0x1 x\n", "a: . x\n", "É: é\n",
	"a #b: c\n", "A : A\n", "a: #b\n  c: d\n", "a: # b\n", "a: b ]\n", "a: 'b' c\n", "a: - b\n", "a: -b\n", "a: inf\n", "a: [inf, NaN]\n", "a: [true, b]\n", "a: b\x00c\n",
}

func FuzzReadPlain(f *testing.F) {
	for _, seed := range plainSeeds {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) < 1<<12 && strings.ToValidUTF8(text, "") == text {
			checkPlain(t, text)
		}
	})
}
