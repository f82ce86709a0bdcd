package records_test

import (
	"encoding/csv"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/auth"
)

func TestAnExportForASpreadsheetHasARowForEachRecord(t *testing.T) {
	d := apitest.NewTill(t)
	rows := apitest.With(d.Office, []string{"Accept", "text/csv"})
	empty := d.Get("/v1/checks/export", rows...)
	if empty.Code != http.StatusOK || empty.Header().Get("Vary") != "Accept" || strings.Count(empty.Body.String(), "\r\n") != 1 {
		t.Errorf("of nothing: %d %v %q", empty.Code, empty.Header(), empty.Body)
	}
	a, b := d.Record(`{"external_ref":"7, \"blue\"",`+fixture.OscarJoins[1:]), d.Record(`{"residents":[{"species":"guppy"}]}`)
	d.Post("/v1/checks/"+a.Id+"/override", secondTank, d.Till...)
	noteOutcome(d, a.Id, `{"outcome":"returned","outcome_reason":"Chased the guppies."}`, "*")
	out := d.Get("/v1/checks/export", rows...)
	if got := out.Header().Get("Content-Type"); got != "text/csv; charset=utf-8; header=present" {
		t.Errorf("content type %q", got)
	}
	table, err := csv.NewReader(out.Body).ReadAll()
	if err != nil || len(table) != 3 {
		t.Fatalf("%v, %d rows", err, len(table))
	}
	cell := func(row int, name string) string { return table[row][slices.Index(table[0], name)] }
	for name, want := range map[string]string{
		"id": a.Id, "decision": "hold", "external_ref": `7, "blue"`, "incoming": "astronotus-ocellatus", "overrides": "1", "override_staff_ref": "desk 2",
		"residents": "12 paracheirodon-innesi; poecilia-reticulata", "outcome": "returned", "outcome_reason": "Chased the guppies.", "summary": a.Summary, "key": a.Key,
		"catalogue_revision": strconv.FormatInt(a.CatalogueRevision, 10), "model_version": a.ModelVersion, "program_version": "test",
	} {
		if got := cell(1, name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	if cell(2, "id") != b.Id || cell(2, "outcome") != "" || cell(2, "overrides") != "0" || cell(2, "override_reason") != "" {
		t.Errorf("%q", table[2])
	}
	if lines := d.Get("/v1/checks/export", apitest.With(d.Office, []string{"Accept", "text/csv;q=0.5, */*"})...); lines.Header().Get("Content-Type") != "application/x-ndjson" {
		t.Errorf("where rows are wanted less: %v", lines.Header())
	}
	if theirs := d.Get("/v1/checks/export", apitest.With(d.Key("there", auth.ChecksRead), []string{"Accept", "text/csv"})...); strings.Count(theirs.Body.String(), "\n") != 1 {
		t.Errorf("theirs: %s", theirs.Body)
	}
}

// What people write into a record does nothing when the export is opened.
func TestNoCellOfAnExportIsAFormula(t *testing.T) {
	d := apitest.NewTill(t)
	for _, text := range []string{`=1+1`, `+1`, `-1`, `@SUM(A1)`, `＝1`, `＋1`, `－1`, `＠x`, `=HYPERLINK(\"x\",\"y\")`} {
		made := d.Record(`{"external_ref":"` + text + `",` + fixture.OscarJoins[1:])
		d.Post("/v1/checks/"+made.Id+"/override", `{"reason":"`+text+` and on","staff_ref":"`+text+`"}`, d.Till...)
		noteOutcome(d, made.Id, `{"outcome":"sold","outcome_reason":"`+text+`"}`, "*")
	}
	table, err := csv.NewReader(d.Get("/v1/checks/export", apitest.With(d.Office, []string{"Accept", "text/csv"})...).Body).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	marked := 0
	for _, row := range table {
		for _, cell := range row {
			if strings.HasPrefix(cell, "'") {
				marked++
			}
			if strings.ContainsAny(cell[:min(1, len(cell))], "=+-@\t\r") || strings.HasPrefix(cell, "＝") || strings.HasPrefix(cell, "＋") || strings.HasPrefix(cell, "－") || strings.HasPrefix(cell, "＠") {
				t.Errorf("the cell %q is a formula", cell)
			}
		}
	}
	if want := 4 * 9; marked != want {
		t.Errorf("%d cells are marked, want %d", marked, want)
	}
}
