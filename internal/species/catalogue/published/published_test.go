package published_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/published"
)

func snapshot(t *testing.T) *species.Snapshot {
	t.Helper()
	c, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	s, err := species.NewSnapshot(0, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func compare(t *testing.T, text string) *published.Report {
	t.Helper()
	table, err := published.Read("t.csv", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := published.Compare("t.csv", "book", table, snapshot(t))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The zebra danio of the catalogue is 4 to 5 cm long; an oscar about 30 cm and short-deep.
func TestOutcomes(t *testing.T) {
	for _, c := range []struct {
		name, table string
		outcome     published.Outcome
		side        string
	}{
		{"total length", "scientificName,maximum total length [cm]\nDanio rerio,6\n", published.Agrees, ""},
		{"in inches", "scientificName,maximum total length [in]\nDanio rerio,2.4\n", published.Agrees, ""},
		{"synonym", "scientificName,maximum total length [cm]\nBrachydanio rerio,6\n", published.Agrees, ""},
		{"far too small", "scientificName,maximum total length [cm]\nDanio rerio,2\n", published.Differs, "above"},
		{"far too large", "scientificName,maximum total length [cm]\nDanio rerio,30\n", published.Differs, "below"},
		{"standard length is converted", "scientificName,max_length_cm,length_type\nDanio rerio,3.8,SL\n", published.Agrees, ""},
		{"kind not said", "scientificName,max_length_cm,length_type\nDanio rerio,3.8,\n", published.NotComparable, ""},
		{"width of a disc", "scientificName,maximum disc width [cm]\nPotamotrygon motoro,50\n", published.NotComparable, ""},
		{"pH", "scientificName,ph_low,ph_high\nDanio rerio,6.5,7.5\n", published.Agrees, ""},
		{"pH elsewhere", "scientificName,ph low,ph high\nDanio rerio,9.2,9.6\n", published.Differs, "below"},
		{"temperature in °F", "scientificName,temperature low [°F],temperature high [°F]\nDanio rerio,68,77\n", published.Agrees, ""},
		{"hardness in ppm", "scientificName,hardness low [ppm],hardness high [ppm]\nDanio rerio,90,200\n", published.Agrees, ""},
		{"age in months", "scientificName,maximum age [month]\nDanio rerio,66\n", published.Agrees, ""},
		{"age", "scientificName,max_age_years\nDanio rerio,1\n", published.Differs, "above"},
		{"depth of standard length", "scientificName,depth over standard length [%]\nDanio rerio,27\n", published.Agrees, ""},
		{"trade form", "scientificName,taxonID,maximum total length [cm]\nCarassius auratus,carassius-auratus-fancy,20\n", published.NotComparable, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := compare(t, c.table)
			if len(r.Findings) != 1 || r.Findings[0].Outcome != c.outcome || r.Findings[0].Side != c.side {
				t.Errorf("got %+v, want %s %s", r.Findings, c.outcome, c.side)
			}
			if c.outcome == published.Differs && !(r.Findings[0].By > 0) {
				t.Errorf("it differs by %v", r.Findings[0].By)
			}
		})
	}
}

func TestVernacularNamesAreNotFound(t *testing.T) {
	r := compare(t, "scientificName,maximum total length [cm],remarks\nZebra danio,6,x\nNomen nudum,3,\n")
	if len(r.Findings) != 0 || len(r.NotFound) != 2 || r.NotFound[1].Line != 3 {
		t.Errorf("findings %v, not found %v", r.Findings, r.NotFound)
	}
	if len(r.SetAside) != 1 || r.SetAside[0] != "remarks" {
		t.Errorf("set aside %v", r.SetAside)
	}
}

func TestFaultsNameTheirLine(t *testing.T) {
	const head = "scientificName,maximum length [cm],length kind,ph low,ph high\n"
	for _, c := range []struct {
		name, table string
		line        int
		says        string
	}{
		{"unknown unit", "scientificName,maximum length [furlong]\nDanio rerio,1\n", 1, "is no unit"},
		{"no unit", "scientificName,maximum length\nDanio rerio,1\n", 1, "unit is missing"},
		{"unknown measurement", "scientificName,weight [g]\nDanio rerio,1\n", 1, "unknown measurement"},
		{"no measurement", "scientificName,remarks\nDanio rerio,1\n", 1, "no column holds a measurement"},
		{"no name column", "maximum age [year]\n1\n", 1, "the column is missing"},
		{"half a range", "scientificName,ph low\nDanio rerio,6\n", 1, "one of them is missing"},
		{"twice", "scientificName,ph low,ph_low,ph high\nDanio rerio,6,6,7\n", 1, "says the same"},
		{"semicolons", "scientificName;ph low\n", 1, "not separated by commas"},
		{"empty", "", 1, "no row"},
		{"unknown kind", head + "Danio rerio,5,XL,,\n", 2, "no kind of length"},
		{"header and row at odds", "scientificName,maximum standard length [cm],length kind\nDanio rerio,5,TL\n", 2, "mixed"},
		{"two kinds in a row", "scientificName,maximum standard length [cm],maximum total length [cm]\nDanio rerio,4,5\n", 2, "different kinds"},
		{"upside down", head + "\nDanio rerio,5,TL,8,6\n", 3, "upside down"},
		{"one end", head + "Danio rerio,5,TL,8,\n", 2, "one end"},
		{"same name", head + "Danio rerio,5,TL,,\ndanio  rerio,5,TL,,\n", 3, "stands on line 2"},
		{"no name", head + ",5,TL,,\n", 2, "no name"},
		{"no number", head + "Danio rerio,\"5,2\",TL,,\n", 2, "with a point"},
		{"zero", head + "Danio rerio,0,TL,,\n", 2, "above zero"},
		{"too few cells", head + "Danio rerio,5\n", 2, "2 cells"},
		{"Latin-1", head + "Danio rerio,5,TL,,\nM\xfcller,5,TL,,\n", 3, "not UTF-8"},
		{"open quote", head + "\"Danio rerio,5,TL,,\n", 2, "not CSV"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := published.Read("t.csv", []byte(c.table))
			var errs entry.Errors
			if !errors.As(err, &errs) {
				t.Fatalf("got %v", err)
			}
			if errs[0].Line != c.line || !strings.Contains(errs[0].Detail, c.says) {
				t.Errorf("got %v, want line %d with %q", errs[0], c.line, c.says)
			}
		})
	}
}

func TestTwoNamesOfOneKindAreAFault(t *testing.T) {
	table, err := published.Read("t.csv", []byte("scientificName,max_age_years\nDanio rerio,5\nBrachydanio rerio,5\n"))
	if err != nil {
		t.Fatal(err)
	}
	_, err = published.Compare("t.csv", "book", table, snapshot(t))
	if err == nil || !strings.HasPrefix(err.Error(), "t.csv:3: ") {
		t.Errorf("got %v", err)
	}
}

func TestMarksFollowTheValue(t *testing.T) {
	s, _ := snapshot(t).ByID("danio-rerio")
	zebra := *s
	zebra.Checked = []species.Mark{
		{Source: "book", Field: "lifespan", Value: "1 2 3"},   // compared again, and agrees
		{Source: "old", Field: "length", Value: "1 2 3"},      // the value has changed
		{Source: "book", Field: "water ph", Value: "6 6 7 7"}, // the value has changed
		{Source: "other", Field: "lifespan", Value: mustText(t, s, "lifespan")},
	}
	r := compare(t, "scientificName,maximum total length [cm],maximum age [year]\nDanio rerio,30,5.5\n")
	marked := r.Marked([]*species.Species{&zebra})
	if len(marked) != 1 {
		t.Fatalf("%d entries changed", len(marked))
	}
	want := []species.Mark{{Source: "book", Field: "lifespan", Value: mustText(t, s, "lifespan")}, zebra.Checked[3]}
	if got := marked[0].Checked; len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("got %v, want %v", got, want)
	}
	if again := r.Marked(marked); len(again) != 0 {
		t.Errorf("marking again changes %v", again)
	}
}

func mustText(t *testing.T, s *species.Species, field string) string {
	t.Helper()
	text, ok := s.ValueText(field)
	if !ok {
		t.Fatalf("no %s", field)
	}
	return text
}

func TestReportsSayTheSame(t *testing.T) {
	r := compare(t, "scientificName,maximum total length [cm],max_age_years\nDanio rerio,30,5.5\nNomen nudum,3,\n")
	var text, sheet, object bytes.Buffer
	for _, err := range []error{r.WriteText(&text), r.WriteCSV(&sheet), r.WriteJSON(&object)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{"line 2: danio-rerio: length: differs, below by", "line 3: Nomen nudum: not found", "2 rows, 1 not found"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("the text lacks %q:\n%s", want, &text)
		}
	}
	rows, err := csv.NewReader(&sheet).ReadAll()
	if err != nil || len(rows) != 4 || rows[1][4] != "differs" || rows[2][4] != "agrees" || rows[3][4] != "not found" {
		t.Errorf("rows %v, %v", rows, err)
	}
	var back published.Report
	if err := json.Unmarshal(object.Bytes(), &back); err != nil || len(back.Findings) != 2 || len(back.NotFound) != 1 {
		t.Errorf("json %v, %v", back, err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("scientificName,max_length_cm,length_type,ph_low,ph_high\nDanio rerio,3.8,SL,6,8\n"))
	f.Add([]byte("scientificName,maximum total length [in],temperature low [°F],temperature high [°F]\nDanio rerio,2,70,80\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		table, err := published.Read("t.csv", data)
		if (err == nil) != (table != nil) {
			t.Errorf("table %v, error %v", table, err)
		}
	})
}
