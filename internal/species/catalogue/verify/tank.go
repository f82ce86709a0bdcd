package verify

import (
	"math"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// tank checks the customary tank against the fish and against itself.
func (e entryVerifier) tank() {
	length, ok := e.typical(species.TankLength)
	if !ok {
		return
	}
	width, ok := e.typical(species.TankWidth)
	switch {
	case ok && width > length:
		e.fault("trait tank_width", "%s is more than the tank length of %s", entry.FormatNumber(width), entry.FormatNumber(length))
	case ok && width < slimmestTank*length:
		e.review("trait tank_width", "%s is little for a tank length of %s", entry.FormatNumber(width), entry.FormatNumber(length))
	}
	if ground, ok := e.typical(species.Territory); ok && ground > length {
		e.review("trait territory", "a radius of %s cm is more than its tank of %s cm is long", entry.FormatNumber(ground), entry.FormatNumber(length))
	}
	if adult, ok := e.typical(species.Length); ok && adult > 0 {
		if e.tankLengths(length, adult); length >= leastTankLengths*adult {
			e.turning(width, adult)
		}
	}
}

// tankLengths compares tank length and adult length, both in cm.
func (e entryVerifier) tankLengths(length, adult float64) {
	activity, known := e.typical(species.Activity)
	size := length / math.Pow(adult, tankPower)
	switch n := length / adult; {
	case n < leastTankLengths:
		e.fault("trait tank_length", "%s is %.3g times the adult length; %s is the least for any fish", entry.FormatNumber(length), n, entry.FormatNumber(leastTankLengths))
	case n < tankLengths && known && activity > restingActivity:
		e.review("trait tank_length", "%s is %.3g times the adult length; a fish that swims needs %s", entry.FormatNumber(length), n, entry.FormatNumber(tankLengths))
	case n < tirelessTankSize && known && activity >= tirelessActivity:
		e.review("trait tank_length", "%s is %.3g times the adult length; a fish always on the move needs %s", entry.FormatNumber(length), n, entry.FormatNumber(tirelessTankSize))
	case e.isFish() && e.s.BodyForm != species.EelLike && size < leastTankForSize: // eels lie in a coil
		e.review("trait tank_length", "%s cm is little for a fish of %s cm: is one of the two in inches?", entry.FormatNumber(length), entry.FormatNumber(adult))
	case e.isFish() && size > mostTankForSize:
		e.review("trait tank_length", "%s cm is much for a fish of %s cm: is one of the two in inches?", entry.FormatNumber(length), entry.FormatNumber(adult))
	}
}

// turning checks that a stiff fish that swims can turn around; width and length in
// cm, width 0 where it is not known.
func (e entryVerifier) turning(width, adult float64) {
	activity, ok := e.typical(species.Activity)
	if ok && width > 0 && width < leastTankWidths*adult && activity > restingActivity && e.isFish() && e.s.BodyForm != species.EelLike {
		e.review("trait tank_width", "%s cm is too little for a fish of %s cm to turn around", entry.FormatNumber(width), entry.FormatNumber(adult))
	}
}
