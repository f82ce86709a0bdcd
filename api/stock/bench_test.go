package stock_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
)

// tillExport is a list as a large shop's till exports it: a third of it animals under names as labels have them, the
// rest plants, food and gear, much of which nobody knows.
func tillExport(b *testing.B, articles int) string {
	b.Helper()
	book := fixture.Fitted(b)
	goods := strings.Split("java fern|driftwood 30 cm|flake food 250 ml|sponge filter|LED light bar 90 cm blue and white|canister filter 1200 with heater|quartz sand 0.4-0.8 mm, 10 kg|"+
		"fish net fine 12 cm|thermometer digital with probe|CO2 set 500 g advanced|air pump silent 200|frozen mysis blister 100 g|background rock grey 60x45|magnet cleaner long|suction cups, pack of 4", "|")
	beside := []string{"%s", "%s 3-4 cm", "assorted %s", "%s XL", "%s (bred)", "%s male", "%ss"}
	var out strings.Builder
	out.WriteString("Article number;Name;Price class;In stock;Note\r\n")
	for i := range articles {
		name := fmt.Sprintf("%s %d", goods[i%len(goods)], i)
		if i%3 == 0 {
			name = fmt.Sprintf(beside[i%len(beside)], book.Snapshot.At(i%book.Snapshot.Len()).VernacularName("en"))
		}
		fmt.Fprintf(&out, "%06d;%s;%c;%d;shelf %d\r\n", i, name, 'A'+i%5, i%40, i%100)
	}
	return out.String()
}

// BenchmarkReplaceStock stores a list of 20,000 articles: a new one, and the same again.
func BenchmarkReplaceStock(b *testing.B) {
	list := tillExport(b, 20_000)
	put := func(b *testing.B, s *shop) {
		if a := s.csv(list, "?missing=remove"); a.Code != http.StatusOK {
			b.Fatalf("%d %s", a.Code, apitest.Clipped(a.Body.String()))
		}
	}
	b.Run("new", func(b *testing.B) {
		s := newShop(b)
		for b.Loop() {
			put(b, s)
			b.StopTimer()
			if a := s.put(`{"articles":[]}`, "?missing=remove"); a.Code != http.StatusOK {
				b.Fatalf("%d %s", a.Code, a.Body)
			}
			b.StartTimer()
		}
	})
	b.Run("again", func(b *testing.B) {
		s := newShop(b)
		put(b, s)
		for b.Loop() {
			put(b, s)
		}
	})
}
