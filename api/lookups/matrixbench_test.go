package lookups

import (
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/conflict"
)

// BenchmarkMatrix is the matrix of 200 species, scored and encoded.
func BenchmarkMatrix(b *testing.B) {
	book := fixture.Full(b)
	list, err := wire.ResolveAll(book.Snapshot, firstNames(book, 200)...)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := respond.EncodeJSON(matrixWire(book, list)); err != nil {
			b.Fatal(err)
		}
	}
}

func firstNames(book *conflict.Book, n int) []wire.Named {
	names := make([]wire.Named, n)
	for i := range names {
		names[i] = wire.Named{Name: string(book.Snapshot.At(i % book.Snapshot.Len()).ID)}
	}
	return names
}
