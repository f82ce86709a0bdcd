package scale_test

import (
	"math"
	"strings"
	"testing"

	"commensal/internal/scale"

	"pgregory.net/rapid"
)

// round are figures that can be reckoned with by hand.
func round() *scale.Figures {
	stored := scale.Stored{Cost: scale.Cost{Service: 1000, Database: 500}, Bytes: 1000, WAL: 2000, Brief: 10}
	return &scale.Figures{Machine: "paper", Kinds: 100, CachedPairing: 50, ComputedPairing: 150, PairingBytes: 4000, CheckBytes: 10_000,
		ServiceBytes: 100 << 20, Tank: stored, Reading: stored, Record: stored, List: scale.Cost{Service: 400, Database: 200}}
}

func need(t interface{ Fatalf(string, ...any) }, f *scale.Figures, l scale.Load, what string) float64 {
	for _, n := range f.Needs(&l) {
		if strings.HasPrefix(n.What, what) {
			return n.Value
		}
	}
	t.Fatalf("nothing is said of %q", what)
	return 0
}

func TestTheNeedsByHand(t *testing.T) {
	t.Parallel()
	l := scale.Load{Shops: 864, Tanks: 604_800, LookupsPerSecond: 10_000, Hit: 0.5, ReadingsPerTankWeek: 1, ChangesPerTankWeek: 2,
		ChecksPerShopDay: 100, ListsPerShopDay: 200, ReadingDays: 70, RecordDays: 100, Busiest: 4}
	// A second: 604,800 tanks over the 604,800 s of a week are 1 reading and 2 changes, 864 shops with 100 of 86,400 s are 1 check
	// and 2 lists; four times that at the busiest: 4 + 8 + 4 changes and 8 lists.
	for what, want := range map[string]float64{
		"changes stored":             16,
		"pages of lists":             8,
		"processors of the service":  10_000*(0.5*50e-6+0.5*150e-6) + 16*1000e-6 + 8*400e-6,                             // 1.0192
		"replicas":                   math.Ceil(1.0192/0.6/4) + 1,                                                       // 2
		"sent to clients":            (10_000*4000*8 + 4*10_000*8) / 1e9,                                                // 0.32032
		"processors of the primary":  16 * 500e-6,                                                                       // 0.008
		"processors of the standbys": 8 * 200e-6,                                                                        // 0.0016
		"log of changes, at":         16 * 2000.0 / (1 << 20),                                                           // MiB/s
		"log of changes in":          4 * 2000.0 * 86_400 / (1 << 30),                                                   // GiB a day
		"stored, one":                1.3 * ((604_800+6_048_000+8_640_000)*1000.0 + 4*86_400*10.0) / (1 << 40),          // TiB
		"stored, three":              3 * 1.3 * ((604_800+6_048_000+8_640_000)*1000.0 + 4*86_400*10.0) / (1 << 40),      // TiB
		"… of it recorded":           100 * 8_640_000 * 1000.0 / ((604_800+6_048_000+8_640_000)*1000.0 + 4*86_400*10.0), // %
		"groups":                     1,
		"connections":                16,
		"memory of":                  (100 + 2*1.5*480) / 1024.0,
		"sent to two standbys":       3 * 16 * 2000 * 8 / 1e6,
		"processors of each primary": 1,
		"lookups answered":           10_000,
		"… of them from the cache":   50,
	} {
		if got := need(t, round(), l, what); math.Abs(got-want) > 1e-9*math.Max(1, want) {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
}

// More of anything never takes less of anything.
func TestMoreTakesNoLess(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, most float64) float64 { return rapid.Float64Range(1, most).Draw(t, name) }
		l := scale.Usual(draw("shops", 1e5), draw("tanks", 1e7), draw("lookups", 1e6), rapid.Float64Range(0, 1).Draw(t, "hit"))
		more, factor := l, draw("times", 5)
		switch rapid.IntRange(0, 3).Draw(t, "of") {
		case 0:
			more.Shops *= factor
		case 1:
			more.Tanks *= factor
		case 2:
			more.LookupsPerSecond *= factor
		case 3:
			more.Hit /= factor
		}
		f := round()
		a, b := f.Needs(&l), f.Needs(&more)
		for i := range a {
			shared := strings.HasPrefix(a[i].What, "…") || strings.HasPrefix(a[i].What, "processors of each primary") // shares, and what more groups share
			if !shared && b[i].Value < a[i].Value*(1-1e-12) {
				t.Errorf("%s: %v, and with more %v", a[i].What, a[i].Value, b[i].Value)
			}
		}
	})
}

func TestFiguresThatWereNotMeasuredAreRefused(t *testing.T) {
	t.Parallel()
	const whole = `{"machine":"m","kinds":1,"cached_pairing_us":1,"computed_pairing_us":1,"pairing_bytes":1,"check_bytes":1,"service_bytes":1,
		"tank":{"service_us":1,"database_us":1,"bytes":1,"wal_bytes":1,"day_bytes":1},"reading":{"service_us":1,"database_us":1,"bytes":1,"wal_bytes":1,"day_bytes":1},
		"record":{"service_us":1,"database_us":1,"bytes":1,"wal_bytes":1,"day_bytes":1},"list":{"service_us":1,"database_us":1}}`
	if _, err := scale.Read(strings.NewReader(whole)); err != nil {
		t.Error(err)
	}
	for old, now := range map[string]string{`"kinds":1,`: ``, `"pairing_bytes":1,`: ``, `"wal_bytes":1,`: `"wal_bytes":-1,`, `"list"`: `"lists"`, `"check_bytes":1`: `"check_bytes":1e30`, `{"machine"`: `["machine"`} {
		if _, err := scale.Read(strings.NewReader(strings.Replace(whole, old, now, 1))); err == nil {
			t.Errorf("%s for %s is taken", now, old)
		}
	}
}

func TestDigitsThatCount(t *testing.T) {
	t.Parallel()
	for x, want := range map[float64]string{0: "0", 1: "1", 1.04: "1.0", 9.96: "10.0", 12.4: "12", 100: "100", 1234.5: "1,234", 1e6: "1,000,000", 0.123: "0.12", 0.0061: "0.0061", 3: "3"} {
		if got := scale.Digits(x); got != want {
			t.Errorf("%v is written %s, want %s", x, got, want)
		}
	}
	f := round()
	f.Tank.WAL, f.PairingBytes = 1234.5678, 0.0123456
	if f.Round(); f.Tank.WAL != 1230 || math.Abs(f.PairingBytes-0.0123) > 1e-12 || f.Kinds != 100 {
		t.Errorf("rounded to %v and %v", f.Tank.WAL, f.PairingBytes)
	}
}
