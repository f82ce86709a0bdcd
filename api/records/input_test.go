package records

import (
	"encoding/json"
	"reflect"
	"testing"

	"commensal"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/validate"
	"commensal/internal/stocking"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// questionOf reads a body of POST /v1/checks.
func questionOf(t testing.TB, text string) *lists.Question {
	t.Helper()
	var in gen.CheckRequest
	if err := json.Unmarshal([]byte(text), &in); err != nil {
		t.Fatal(err)
	}
	book := fixture.Few(t)
	stock, err := lists.ReadCheck(book.Snapshot, &in)
	if err != nil {
		t.Fatal(err)
	}
	return &lists.Question{Book: book, Stock: stock, Asked: &in, US: false}
}

// What is recorded, read again, is the list that was judged.
func TestARecordedListIsTheListThatWasJudged(t *testing.T) {
	for _, text := range []string{
		fixture.OscarJoins, `{"residents":[{"species":"guppy"}]}`, `{"residents":[],"incoming":[{"species":"guppy","disposition":"fiercer"}],"tank":{"volume_l":"55gal"}}`,
		`{"residents":[{"species":"guppy","count":3}],"tank":{"length_cm":"4ft","width_cm":"1.5ft","salinity_ppt":"1.005sg","temperature_c":"113F","turnover_per_hour":3.3,"weekly_change":0,"filter_mature":false,"planted":true,"source_nitrate_mg_l":0,"cover":0}}`,
		`{"residents":[{"species":"guppy","age_months":0,"months_observed":3,"weight":0.001,"keep":false}],"tank":{}}`,
		`{"residents":[{"species":"moscow guppy male","ref":"till 7"}],"incoming":[{"species":"snorkfish"},{"species":"java moss"},{"species":"guppy","count":2}],"unmatched":"set_aside","region":"Germany"}`,
	} {
		q := questionOf(t, text)
		if q.Stock.Tank != nil {
			q.Stock.Tank.Swings.Days = 7
			q.Stock.Tank.Swings.Of[1] = stocking.Swing{Low: 6.1, High: 7.3, Known: true}
		}
		in := understood(q)
		encoded, err := json.Marshal(in)
		if err != nil {
			t.Fatal(err)
		}
		if err := recordedInput(t).Validate(decodedJSON(t, encoded)); err != nil {
			t.Errorf("%s: %v", encoded, err)
		}
		var decoded gen.RecordedInput
		if err := json.Unmarshal(encoded, &decoded); err != nil {
			t.Fatal(err)
		}
		again, err := asked(q.Book, &decoded)
		if err != nil || !reflect.DeepEqual(again.Stock, q.Stock) || again.US != q.US {
			t.Errorf("%s\nwas %+v\nand is %+v (%v)", text, q.Stock, again, err)
		}
	}
}

// recordedInput is the schema of what is recorded of a list.
func recordedInput(t *testing.T) *jsonschema.Schema {
	t.Helper()
	c, err := validate.Compile(commensal.Contract())
	if err != nil {
		t.Fatal(err)
	}
	schema, err := c.Schema("/components/schemas/RecordedInput")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func decodedJSON(t *testing.T, text []byte) (v any) {
	t.Helper()
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	return v
}
