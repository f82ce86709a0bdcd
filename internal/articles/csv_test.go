package articles_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"commensal/internal/articles"

	"pgregory.net/rapid"
)

func TestFilesAsTillsWriteThem(t *testing.T) {
	const want = `[1001 "Neon tetra" "" "A" 80 ""] [1002 "Betta, red" "Betta splendens" "" true "from Thailand"] [1003 "Koi" "" "C" 0 ""]`
	for name, text := range map[string]string{
		"commas":            "article,name,species,price class,in stock,note\n1001,Neon tetra,,A,80,\n1002,\"Betta, red\",Betta splendens,,,from Thailand\n1003,Koi,,C,0,\n",
		"semicolons, a BOM": "\ufeffArtikel-Nr.;Bezeichnung;Fischart;Preisgruppe;Bestand;Bemerkung\r\n1001;Neon tetra;;A;80,00;\r\n\r\n1002;Betta, red;Betta splendens;;ja;from  Thailand\r\n1003;Koi;;C;nein;;;\r\n",
		"tabs, other order": "NOTE\tQty\tNom\tSKU\tspecies_or_form\tPrix\n\t80\tNeon tetra\t1001\t\tA\nfrom Thailand\tyes\tBetta, red\t1002\tBetta splendens\t\n\t-\tKoi\t1003\t\tC",
		"Excel's own":       "\ufeffsep=;\r\narticle;name;species;price;stock;note, if any;note\r\n1001;Neon tetra;;A;80;;\r\n1002;Betta, red;Betta splendens;;;;from Thailand\r\n1003;Koi;;C;0;;\r\n",
		"old Macintosh":     "article,name,species,price class,in stock,note\r1001,Neon tetra,,A,80,\r1002,\"Betta, red\",Betta splendens,,,from Thailand\r1003,Koi,,C,0,",
		"columns between":   "weight;Artículo;nombre;especie;Precio;existencias;notas;ean\n1;1001;Neon tetra;;A;80;;\n2;1002;Betta, red;Betta splendens;;sí;from Thailand;x\n3;1003;Koi;;C;0;;\n",
	} {
		f, err := articles.ReadCSV([]byte(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var got []string
		for _, a := range f.Articles {
			stock := "true"
			if a.InStock != nil {
				stock = fmt.Sprint(*a.InStock)
			}
			got = append(got, fmt.Sprintf("[%s %q %q %q %s %q]", a.Number, a.Name, a.Species, a.PriceClass, stock, a.Note))
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: %s", name, strings.Join(got, " "))
		}
	}
}

// The line for Excel is no article, and faults are still told by the lines of the file.
func TestALineThatNamesTheSeparatorIsCounted(t *testing.T) {
	for _, first := range []string{"sep=;", "SEP=;", `"sep=;"`} {
		_, err := articles.ReadCSV([]byte(first + "\r\narticle;name, trade;stock;name\r\nA;x;1;guppy\r\nB;y;-1;oscar\r\n"))
		var wrong *articles.ListError
		if !errors.As(err, &wrong) || len(wrong.Problems) != 1 || wrong.Problems[0].Line != 4 || wrong.Problems[0].Article != "B" {
			t.Errorf("%s: %v", first, err)
		}
	}
	if _, err := articles.ReadCSV([]byte("sep=;\r\n\r\nfoo;bar\r\n1;2\r\n")); err == nil || !strings.Contains(err.Error(), "Line 3") {
		t.Errorf("the header on line 3: %v", err)
	}
	if _, err := articles.ReadCSV([]byte("sep=;\r\n")); err == nil || !strings.Contains(err.Error(), "empty") {
		t.Errorf("nothing but the separator: %v", err)
	}
	if _, err := articles.ReadCSV([]byte("sep=|\narticle|name\n1|guppy\n")); err == nil {
		t.Error("a separator that is not known is taken")
	}
}

func TestEveryHeaderWordIsOfOneColumn(t *testing.T) {
	of := map[string]string{}
	for _, field := range articles.Fields {
		words := articles.HeaderWords(field)
		if len(words) < 10 {
			t.Errorf("%s has only %v", field, words)
		}
		for _, w := range words {
			var wrong *articles.ListError
			if _, err := articles.ReadCSV([]byte(w + ";" + strings.ToUpper(w) + "\nx;y\n")); !errors.As(err, &wrong) || !strings.Contains(err.Error(), "both say the same") {
				t.Errorf("%q is not known: %v", w, err)
			}
			if other, twice := of[w]; twice && other != field {
				t.Errorf("%q is %s and %s", w, other, field)
			}
			of[w] = field
		}
	}
	f, err := articles.ReadCSV([]byte("Número de artículo;Stück;DESCRIPCIÓN\n1;2;guppy\n"))
	if err != nil || len(f.Columns) != 3 || *f.Articles[0].InStock != 2 {
		t.Errorf("%+v %v", f, err)
	}
}

// TestAnyFileIsReadOrRefused draws files and looks that none ends the program, and that what is read is within bounds.
func TestAnyFileIsReadOrRefused(t *testing.T) {
	read := 0
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.SampledFrom([]string{"guppy", "1", "2", "3", "yes", "", `"`, `"a;b"`, `""`, "ä", "-3", "\xff", "\x00", " ", "article"})
		by := rapid.SampledFrom([]string{";", ",", "\t"}).Draw(t, "by")
		var text strings.Builder
		text.WriteString(rapid.SampledFrom([]string{"article" + by + "name\n", "name" + by + "article\r\n", "article\n", ""}).Draw(t, "header"))
		for range rapid.IntRange(0, 4).Draw(t, "lines") {
			width := rapid.SampledFrom([]int{2, 2, 2, 0, 1, 3}).Draw(t, "width")
			text.WriteString(strings.Join(rapid.SliceOfN(cell, width, width).Draw(t, "line"), by))
			text.WriteString(rapid.SampledFrom([]string{"\n", "\r\n", ""}).Draw(t, "end"))
		}
		f, err := articles.ReadCSV([]byte(text.String()))
		var wrong *articles.ListError
		switch {
		case err != nil && (!errors.As(err, &wrong) || len(wrong.Problems) == 0 || len(wrong.Problems) > articles.MaxProblems):
			t.Fatalf("%q: %v", text.String(), err)
		case err == nil:
			read++
			if err := articles.Inspect(f.Articles); err != nil || len(f.Articles) == 0 {
				t.Fatalf("%q: %v", text.String(), err)
			}
		}
	})
	if read == 0 {
		t.Error("no file was read")
	}
}

func TestAllThatIsWrongWithAFileIsToldAtOnceInTheOrderOfItsLines(t *testing.T) {
	_, err := articles.ReadCSV([]byte("article,name,stock\nA,guppy,-1\nB,x\nA,oscar,2\n,betta,zz\n"))
	var wrong *articles.ListError
	if !errors.As(err, &wrong) {
		t.Fatal(err)
	}
	var got []string
	for _, p := range wrong.Problems {
		got = append(got, fmt.Sprintf("%d %s", p.Line, p.Field))
	}
	if want := []string{"2 in_stock", "3 ", "4 article", "5 in_stock", "5 article"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
