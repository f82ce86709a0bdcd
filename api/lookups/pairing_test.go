package lookups_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/conflict"
)

var update = flag.Bool("update", false, "write the golden file anew")

func TestPairingExplainsTheOscarAndTheNeonTetra(t *testing.T) {
	p := apitest.PairingOf(t, apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t))).Get(apitest.OscarNeon))
	if p.MainReason != gen.MainReasonPredation || p.Level != gen.Severe {
		t.Errorf("main reason %s, level %s", p.MainReason, p.Level)
	}
	if p.Species[0].Id != "astronotus-ocellatus" || p.Species[1].Id != "paracheirodon-innesi" {
		t.Errorf("species %v", p.Species)
	}
	if p.Harm.FirstToSecond <= p.Harm.SecondToFirst {
		t.Errorf("the neon harms the oscar more: %+v", p.Harm)
	}
	if p.CatalogueRevision != 7 || p.ModelVersion == "" || p.Reports != nil {
		t.Errorf("revision %d, model %q, reports %v", p.CatalogueRevision, p.ModelVersion, p.Reports)
	}
	if !p.Conditions.ReferenceTank || !strings.HasPrefix(p.Conditions.Summary, "Judged for adults in their customary groups, in the smallest tank customary for both, 150 × 60 ×") {
		t.Errorf("conditions %+v", p.Conditions)
	}
}

func TestPairingIsTheGoldenOne(t *testing.T) {
	a := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t))).Get("/v1/pairings/Puntigrus%20tetrazona/betta?tank=48x18x20in&temperature_c=78F&first_count=4&second_sex=male&units=us")
	var got bytes.Buffer
	if err := json.Indent(&got, a.Body.Bytes(), "", "  "); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("..", "..", "testdata", "golden", "pairing.json")
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("the answer is not the golden one; if it should change, run with -update\n%s", got.String())
	}
}

func TestPairingSharesSumToTheScoreShown(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	book := fixture.Full(t)
	for i := 0; i < book.Snapshot.Len(); i += 3 {
		a, b := book.Snapshot.At(i), book.Snapshot.At((i*7+3)%book.Snapshot.Len())
		p := apitest.PairingOf(t, w.Get("/v1/pairings/"+string(a.ID)+"/"+string(b.ID)))
		sum := 0
		for _, f := range p.Factors {
			sum += int(math.Round(f.Share * 10))
		}
		if sum != int(math.Round(p.Score*10)) {
			t.Errorf("%s with %s: shares sum to %d tenths, score %v", a.ID, b.ID, sum, p.Score)
		}
		if p.Band[0] > p.Score || p.Band[1] < p.Score {
			t.Errorf("%s with %s: band %v without the score %v", a.ID, b.ID, p.Band, p.Score)
		}
		if conflict.LevelOf(p.Score).String() != string(p.Level) {
			t.Errorf("%s with %s: score %v reads as another level than %s", a.ID, b.ID, p.Score, p.Level)
		}
	}
}

func TestRemedyCheckShowsThePromisedLevel(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	tried := map[gen.RemedyCode]int{}
	for _, target := range remedyTargets(fixture.Full(t)) {
		for _, r := range apitest.PairingOf(t, w.Get(target)).Remedies {
			tried[r.Code]++
			if r.Check == nil {
				if r.Code != gen.RemedyCodeKeepApart && r.Code != gen.RemedyCodeWatch {
					t.Errorf("%s: %s has no check", target, r.Code)
				}
				continue
			}
			after := apitest.PairingOf(t, w.Get(*r.Check))
			if after.Level != r.Level || after.Score != r.Score {
				t.Errorf("%s: %s promises %s %v, %s gives %s %v", target, r.Code, r.Level, r.Score, *r.Check, after.Level, after.Score)
			}
			if strings.Contains(target, "units=us") && !strings.Contains(*r.Check, "units=us") {
				t.Errorf("%s lost units=us", *r.Check)
			}
		}
	}
	for _, code := range []gen.RemedyCode{gen.RemedyCodeLargerTank, gen.RemedyCodeMoreCover, gen.RemedyCodeWater, gen.RemedyCodeLargerGroup, gen.RemedyCodeKeepApart} {
		if tried[code] == 0 {
			t.Errorf("no pairing had the remedy %s", code)
		}
	}
}

// remedyTargets are pairings all over the catalogue, and two nippers short of company:
// whom the sampling pairs depends on the size of the catalogue.
func remedyTargets(book *conflict.Book) []string {
	targets := []string{"/v1/pairings/puntigrus-tetrazona/pethia-conchonius?first_count=2"}
	queries := []string{"", "?tank=80x35x40cm&cover=0.1", "?temperature_c=27.3&ph=7.9&units=us", "?first_count=2", "?cover=0.2&second_count=2&first_length_cm=3in"}
	for i := 0; i < book.Snapshot.Len(); i += 2 {
		for k, q := range queries {
			a, b := book.Snapshot.At(i), book.Snapshot.At((i+k*k*17)%book.Snapshot.Len())
			targets = append(targets, "/v1/pairings/"+string(a.ID)+"/"+string(b.ID)+q)
		}
	}
	return targets
}

func TestPairingSpellingsOfOneRequestHaveOneAnswer(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	canonical := "/v1/pairings/astronotus-ocellatus/paracheirodon-innesi?tank=121.92x45.72x50.8cm&temperature_c=25.56&first_count=2"
	want := w.Get(canonical)
	for name, target := range map[string]string{
		"in US units":          "/v1/pairings/astronotus-ocellatus/paracheirodon-innesi?tank=48x18x20in&temperature_c=78F&first_count=2",
		"by vernacular names":  "/v1/pairings/oscar/Neon%20tetra?tank=48x18x20in&temperature_c=78%20F&first_count=2",
		"by scientific names":  "/v1/pairings/Astronotus%20ocellatus/PARACHEIRODON+INNESI?tank=121.92x45.72x50.8cm&temperature_c=25.56&first_count=2",
		"in another order":     "/v1/pairings/oscar/neon%20tetra?first_count=2&temperature_c=78F&tank=4ftx18inx20in",
		"with default units":   canonical + "&units=si",
		"with an escaped name": "/v1/pairings/%6Fscar/paracheirodon%2Dinnesi?tank=48x18x20in&temperature_c=78F&first_count=2",
	} {
		t.Run(name, func(t *testing.T) {
			got := w.Get(target)
			if got.Code != 200 || got.Header().Get("ETag") != want.Header().Get("ETag") || got.Body.String() != want.Body.String() {
				t.Errorf("status %d, another answer or tag: %s", got.Code, apitest.Clipped(got.Body.String()))
			}
			if got.Header().Get("Content-Location") != canonical {
				t.Errorf("Content-Location %q", got.Header().Get("Content-Location"))
			}
		})
	}
}

func TestPairingIsTheSameBothWaysRound(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	there := apitest.PairingOf(t, w.Get(apitest.OscarNeon+"?first_count=1&second_count=12"))
	back := apitest.PairingOf(t, w.Get("/v1/pairings/paracheirodon-innesi/astronotus-ocellatus?first_count=12&second_count=1"))
	if there.Score != back.Score || there.Harm.FirstToSecond != back.Harm.SecondToFirst {
		t.Errorf("score %v and %v, harm %v and %v", there.Score, back.Score, there.Harm, back.Harm)
	}
}

func TestPairingTellsWhatWasGiven(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	p := apitest.PairingOf(t, w.Get("/v1/pairings/oscar/discus?temperature_c=28&ph=6.5&gh_dh=4&salinity_ppt=0&first_length_cm=4in&second_sex=female&second_count=5&cover=0.7&tank=200x70x60cm&units=us"))
	c := p.Conditions
	if c.Water != gen.ConditionsWaterReadings || *c.Readings.Ph != 6.5 || *c.Readings.SalinityPpt != 0 {
		t.Errorf("readings %s %+v", c.Water, c.Readings)
	}
	if c.Age != gen.GivenLength || *c.First.LengthCm != 10.16 || *c.Second.Count != 5 || *c.Second.Sex != gen.Female {
		t.Errorf("fish %s %+v %+v", c.Age, c.First, c.Second)
	}
	if c.ReferenceTank || c.ReferenceCover || c.VolumeL != 840 || c.Cover != 0.7 {
		t.Errorf("tank %+v", c)
	}
	want := "Judged for a customary group of Oscar (10 cm, 4 in) with 5 female Discus (adult), in your tank of 200 × 70 × 60 cm (79 × 28 × 24 in), with cover 70% and your water readings."
	if !strings.HasPrefix(c.Summary, "Judged for a customary group of Oscar (10") || !strings.Contains(c.Summary, "with 5 female ") || !strings.HasSuffix(c.Summary, "with cover 70% and your water readings.") {
		t.Errorf("got  %s\nlike %s", c.Summary, want)
	}
	if p = apitest.PairingOf(t, w.Get(apitest.OscarNeon+"?ph=7")); p.Conditions.Water != gen.ConditionsWaterMixed {
		t.Errorf("one reading makes the water %s", p.Conditions.Water)
	}
}

func TestPairingWithoutCommonWaterNamesTheParameter(t *testing.T) {
	book := fixture.Full(t)
	w := apitest.Ask(t, apitest.ServerOf(t, book))
	for i := range book.Snapshot.Len() {
		for j := range i {
			if _, p, ok := conflict.SharedWater(book.Snapshot.At(i), book.Snapshot.At(j)); !ok {
				got := apitest.PairingOf(t, w.Get("/v1/pairings/"+string(book.Snapshot.At(i).ID)+"/"+string(book.Snapshot.At(j).ID)))
				if got.SharedWater != nil || got.RuledOutBy == nil || *got.RuledOutBy != wire.WaterParameters[p].Name {
					t.Errorf("shared water %v, ruled out by %v", got.SharedWater, got.RuledOutBy)
				}
				return
			}
		}
	}
	t.Fatal("every two species share water")
}

func TestOneCountStandsForBothOfOneKind(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	one := w.Get("/v1/pairings/tiger%20barb/tiger%20barb?first_count=3")
	both := w.Get("/v1/pairings/tiger%20barb/tiger%20barb?second_count=3&first_count=3")
	if one.Body.String() != both.Body.String() {
		t.Error("three tiger barbs are not three tiger barbs")
	}
}

func TestAnswersAreForgottenWithTheirBook(t *testing.T) {
	book := fixture.Few(t)
	s := apitest.ServerOf(t, nil, func(c *api.Config) { c.Book = func() *conflict.Book { return book } })
	w := apitest.Ask(t, s)
	before := w.Get(apitest.OscarNeon)
	if again := w.Get(apitest.OscarNeon); again.Body.String() != before.Body.String() {
		t.Error("the answer out of the cache is another")
	}
	if m := apitest.MetricsOf(t, s); !strings.Contains(m, "commensal_answer_cache_bytes") || strings.Contains(m, "commensal_answer_cache_bytes 0\n") {
		t.Errorf("nothing is in the cache:\n%s", m)
	}
	book = fixture.Full(t)
	after := w.Get(apitest.OscarNeon)
	if p := apitest.PairingOf(t, after); p.CatalogueRevision != 1 || after.Header().Get("ETag") == before.Header().Get("ETag") {
		t.Errorf("the answer is still of revision %d", p.CatalogueRevision)
	}
}
