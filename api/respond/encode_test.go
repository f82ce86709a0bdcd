package respond

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"
	"time"

	"commensal/api/gen"

	"pgregory.net/rapid"
)

// answers are types of answers, large and small.
var answers = []any{gen.Check{}, gen.BriefCheck{}, gen.Additions{}, gen.Groupings{}, gen.Placements{}, gen.Pairing{}, gen.Species{}, gen.Problem{}, gen.Tank{}, gen.RecordedCheck{},
	gen.BatchLine{}, gen.SpeciesPage{}, gen.CheckRequest{}}

// What is encoded is, byte for byte, what encoding/json writes.
func TestValuesAreEncodedAsByTheLibrary(t *testing.T) {
	for _, of := range answers {
		t.Run(reflect.TypeOf(of).Name(), func(t *testing.T) {
			if writerOf(reflect.ValueOf(of)) == nil {
				t.Fatal("it is left to encoding/json as a whole")
			}
			rapid.Check(t, func(t *rapid.T) {
				v := reflect.New(reflect.TypeOf(of)).Elem()
				drawInto(t, v, 0)
				encodedAlike(t, v.Interface())
				encodedAlike(t, v.Addr().Interface())
			})
		})
	}
	for _, odd := range []any{nil, true, "a", 1.5, []int(nil), []string{}, map[string]any{"b": 1, "a": "<"}, struct{}{}, struct{ A, b int }{1, 2}, [2]int{1, 2}, json.RawMessage(`{ "a" : "<" }`),
		json.Number("12"), time.Unix(0, 0).UTC(), (*gen.Check)(nil), []byte("abc"), []any{1, "x", nil}, int8(3)} {
		encodedAlike(t, odd)
	}
}

func encodedAlike(t interface{ Fatalf(string, ...any) }, value any) {
	got, err := EncodeJSON(value)
	want, wantErr := json.Marshal(value)
	if (err == nil) != (wantErr == nil) || err == nil && string(got) != string(want)+"\n" {
		t.Fatalf("encoded\n%s%v, not\n%s\n%v", got, err, want, wantErr)
	}
}

// drawInto draws a value of any type that answers have.
func drawInto(t *rapid.T, v reflect.Value, depth int) {
	draw := func(most int) int { return rapid.IntRange(0, most).Draw(t, "n") }
	switch v.Kind() {
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			v.Set(reflect.ValueOf(time.Unix(int64(draw(1e9)), 0).UTC()))
			return
		}
		for i := range v.NumField() {
			drawInto(t, v.Field(i), depth+1)
		}
	case reflect.Pointer:
		if draw(depth) <= 1 {
			v.Set(reflect.New(v.Type().Elem()))
			drawInto(t, v.Elem(), depth+1)
		}
	case reflect.Slice:
		if v.Type() == reflect.TypeFor[json.RawMessage]() {
			v.SetBytes([]byte(rapid.SampledFrom([]string{`{"a": 1}`, ` "<b>" `, "null", "24.5"}).Draw(t, "raw")))
			return
		}
		if n := draw(3); n > 0 && depth < 6 {
			v.Set(reflect.MakeSlice(v.Type(), n-1, n))
		}
		for i := range v.Len() {
			drawInto(t, v.Index(i), depth+1)
		}
	case reflect.Map:
		if draw(1) > 0 {
			v.Set(reflect.ValueOf(map[string]any{"b": 1.5, "a": "&"}).Convert(v.Type()))
		}
	case reflect.String:
		v.SetString(rapid.OneOf(rapid.String(), rapid.Just("")).Draw(t, "text"))
	case reflect.Float64:
		v.SetFloat(rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, math.Copysign(0, -1), 0.25, 99.9, math.NaN()})).Draw(t, "number"))
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(draw(3)) * int64(draw(1e9)))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, "truth"))
	}
}

// BenchmarkEncodeJSON is an answer of many small parts, as it is encoded and by the library.
func BenchmarkEncodeJSON(b *testing.B) {
	summary := "Neon tetras and dwarf chain loaches: nothing known stands against it, at 24.5 °C."
	one := gen.BriefReason{Code: "predation", Severity: "advice", Refs: []string{"/residents/1", "/residents/12"}, Summary: summary}
	answer := gen.BriefCheck{Decision: "advise", TankDecision: "advise", Summary: summary, ModelVersion: "3-12", Ask: []gen.AskedQuestion{}, Reasons: []gen.BriefReason{one, one, one, one, one}}
	b.Run("ours", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := EncodeJSON(&answer); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("library", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := json.Marshal(&answer); err != nil {
				b.Fatal(err)
			}
		}
	})
}
