package additions

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/waterchem"
)

// kind is what a scan asks of every species first, as plain numbers: they stand in one piece of memory, one species
// behind the other.
type kind struct {
	least, customary     int                                  // of a group
	group                float64                              // the customary one as it is on record; NaN where it is not
	shoals               bool                                 // lives in company
	usual                uint8                                // see [usualness]
	zones                [species.NumZones]float64            // shares of its time; evenly where not known
	length, floor        float64                              // of the customary tank in cm and cm²; 0 for what is not known
	height               float64                              // likewise
	preferred, tolerated [species.NumParameters]species.Range // without edges where not known
	// unseen and seen are how grave it is to sell it without a word of the tank, and with one, where no rules are known.
	unseen, seen [maxSale]stocking.Severity
	mass         waterchem.Estimate // of one fish in g
	feed         float64            // of one fish, in proportion to the food of a day (see package waterchem)
}

// maxSale are the most findings about the sale of one species.
const maxSale = 2

// kindsKey is that of the kinds of a book.
type kindsKey struct{}

// kindsOf are the kinds of a book, in order of its snapshot.
func kindsOf(book *conflict.Book) []kind {
	return book.Keep(kindsKey{}, func() any {
		kinds := make([]kind, book.Snapshot.Len())
		lawless := book.UnderLaw(nil)
		book.InParts(func(from, to int) {
			for i := from; i < to; i++ {
				kinds[i] = kindOf(lawless, i)
			}
		})
		return kinds
	}).([]kind)
}

func kindOf(book *conflict.Book, i int) (k kind) {
	sp := book.Snapshot.At(i)
	k.least, k.customary, _ = stocking.GroupNeed(sp, species.Unsexed)
	r := joining(book, i, k.least, 0)
	k.group = math.NaN()
	if group, known := r.Band(species.GroupMin); known {
		k.group = group.Typical
	}
	k.shoals, k.usual, k.zones = stocking.Shoals(sp), usualness(sp), evenly
	if sp.Zones.Known() {
		k.zones = sp.Zones.Share
	}
	length, okL := r.Band(species.TankLength)
	width, okW := r.Band(species.TankWidth)
	if okL {
		k.length = length.Typical
	}
	if okL && okW {
		k.floor = length.Typical * width.Typical
	}
	if height, ok := r.Band(species.TankHeight); ok {
		k.height = height.Typical
	}
	anything := species.Range{Low: math.Inf(-1), High: math.Inf(1)}
	for p := range k.preferred {
		if k.preferred[p], k.tolerated[p] = anything, anything; sp.Water[p].Known() {
			k.preferred[p], k.tolerated[p] = sp.Water[p].Preferred, sp.Water[p].Tolerated
		}
	}
	alone := stocking.Assessment{Terms: stocking.Terms{Book: book, AtSale: true}, Lines: []stocking.Resident{r}}
	k.unseen = severities(alone.FindSale(nil, 0))
	alone.Tank = &stocking.Tank{VolumeL: 1}
	k.seen = severities(alone.FindSale(nil, 0))
	k.mass = stocking.MassOf(&r)
	k.feed = math.Pow(k.mass.Typical, waterchem.MassExponent)
	return k
}

// evenly are the levels of a kind of which nobody knows them.
var evenly = func() (share [species.NumZones]float64) {
	for z := range share {
		share[z] = 1 / float64(species.NumZones)
	}
	return share
}()

func severities(found []stocking.Finding) (out [maxSale]stocking.Severity) {
	for i := range found {
		out[i] = found[i].Severity
	}
	return out
}

// joining is a species as a line that joins, at a place of its list.
func joining(book *conflict.Book, index, count, place int) stocking.Resident {
	return stocking.Resident{
		Line:    stocking.Line{Index: index, Count: count, Weight: 1, Incoming: true},
		Species: book.Snapshot.At(index), Fish: count, Kind: place, Company: count, Profile: book.Profile(index),
	}
}

// likes reports whether no reading of a tank is outside what the kind prefers.
func (k *kind) likes(tank *stocking.Tank) bool {
	for p := range k.preferred {
		if r := tank.Reading[p]; r.Known && !k.preferred[p].Contains(r.Value) {
			return false
		}
	}
	return true
}

// housedIn reports whether the tank, with a footprint, is as large as is customary for the kind.
func (k *kind) housedIn(tank *stocking.Tank) bool {
	return tank.LengthCM >= k.length && tank.LengthCM*tank.WidthCM >= k.floor && (tank.HeightCM <= 0 || tank.HeightCM >= k.height)
}
