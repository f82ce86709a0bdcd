package validate

import (
	"slices"
	"testing"

	"commensal"
)

// What requests are held against is what the contract says: the two make the same operations.
func TestTheBuiltInRulesAreThoseOfTheContract(t *testing.T) {
	whole, err := Compile(commensal.Contract())
	if err != nil {
		t.Fatal(err)
	}
	rules, err := BuiltIn()
	if err != nil {
		t.Fatal(err)
	}
	if err := rules.CompileAll(); err != nil {
		t.Fatal(err)
	}
	if len(rules.Operations) != len(whole.Operations) || len(rules.Operations) < 50 {
		t.Fatalf("%d operations, the contract has %d", len(rules.Operations), len(whole.Operations))
	}
	for id, want := range whole.Operations {
		got := rules.Operations[id]
		if got == nil {
			t.Errorf("%s is missing", id)
			continue
		}
		if got.Method != want.Method || got.Path != want.Path || got.Media != want.Media || !slices.Equal(got.Statuses, want.Statuses) || !slices.Equal(got.Scopes, want.Scopes) ||
			(got.body == nil) != (want.body == nil) || !slices.EqualFunc(got.Parameters, want.Parameters, alike) {
			t.Errorf("%s: %+v, want %+v", id, got, want)
		}
	}
}

func alike(a, b parameter) bool {
	return a.Name == b.Name && a.In == b.In && a.kind == b.kind && a.most == b.most && slices.Equal(a.words, b.words) && (a.schema == nil) == (b.schema == nil)
}

// BenchmarkBuiltIn is what the contract costs at the start of the program.
func BenchmarkBuiltIn(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := BuiltIn(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCompile is what it costs to read the contract itself, words and examples included.
func BenchmarkCompile(b *testing.B) {
	text := commensal.Contract()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Compile(text); err != nil {
			b.Fatal(err)
		}
	}
}
