package lookups

import (
	"encoding/json"
	"reflect"
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/internal/conflict"

	"pgregory.net/rapid"
)

// drawn fills a value of the contract's types with anything; lists are never nil, as in answers.
func drawn(t *rapid.T, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if rapid.Bool().Draw(t, "there") {
			v.Set(reflect.New(v.Type().Elem()))
			drawn(t, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			drawn(t, v.Field(i))
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), rapid.IntRange(0, 3).Draw(t, "length"), 3))
		for i := range v.Len() {
			drawn(t, v.Index(i))
		}
	case reflect.String:
		v.SetString(rapid.StringN(0, 12, -1).Draw(t, "text"))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(t, "truth"))
	case reflect.Int, reflect.Int64:
		v.SetInt(rapid.Int64().Draw(t, "whole"))
	case reflect.Float64:
		v.SetFloat(float64(rapid.Int64Range(-1e6, 1e6).Draw(t, "tenths")) / 10)
	default:
		t.Fatalf("there is a field of the kind %s, which nobody writes", v.Kind())
	}
}

// It also fails when the contract gets a field that is not written.
func TestAPairingIsEncodedAsTheLibraryDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var p gen.Pairing
		drawn(t, reflect.ValueOf(&p).Elem())
		sameEncoding(t, &p)
	})
}

func TestEveryAnswerIsEncodedAsTheLibraryDoes(t *testing.T) {
	book := fixture.Full(t)
	for i := 0; i < book.Snapshot.Len(); i += 3 {
		for k, key := range []PairingRequest{
			{}, {US: true, Tank: conflict.Tank{LengthCM: 121.92, WidthCM: 45.72, HeightCM: 50.8, Cover: 0.3, CoverKnown: true}},
			{Fish: [2]conflict.Individual{{Count: 3, LengthCM: 4.25}, {Count: 1}}},
		} {
			key.Index = [2]int{i, (i*7 + 3 + k) % book.Snapshot.Len()}
			p := pairingWire(book, &key)
			sameEncoding(t, &p)
		}
	}
}

func sameEncoding(t interface{ Fatalf(string, ...any) }, p *gen.Pairing) {
	want, err := json.Marshal(p)
	if err != nil {
		t.Fatalf("%v", err)
	}
	if got, err := encodeBody(p); err != nil || string(got) != string(want)+"\n" {
		t.Fatalf("%v\ngot  %s\nwant %s", err, got, want)
	}
}
