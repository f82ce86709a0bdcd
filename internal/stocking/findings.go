package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// finder gathers the findings of one assessment. Its parts run in order of what matters;
// within one severity that order stands.
type finder struct {
	*Assessment
	out []Finding
	row []int // all lines in order, of which findings have parts
}

// find lists the findings, the gravest first, then by kind of finding, then by line.
func (j *Assessment) find() []Finding {
	f := &finder{Assessment: j, out: j.onSlate().take(8 + len(j.Lines))}
	f.sharedWater()
	f.kinds(f.law)
	f.kinds(f.housing)
	f.others()
	f.kinds(f.readings)
	f.kinds(f.swingsOf)
	f.swings()
	f.kinds(f.tankSize)
	f.ahead()
	f.loads()
	f.kinds(f.group)
	f.kinds(f.sexes)
	f.hybrids()
	f.crowding()
	f.kinds(f.keeping)
	f.kinds(f.flow)
	f.eachLine(f.growth)
	f.kinds(f.commitment)
	f.tankItself()
	out := j.slate.findings.of(len(f.out)) // never nil
	for severity := Stop; ; severity-- {
		for i := range f.out {
			if f.out[i].Severity == severity {
				out = append(out, f.out[i])
			}
		}
		if severity == Note {
			j.slate.put(f.out)
			return out
		}
	}
}

// kinds runs a part once for each species on the list, with its first line.
func (f *finder) kinds(part func(first int)) {
	for i := range f.Lines {
		if f.Lines[i].Kind == i {
			part(i)
		}
	}
}

func (f *finder) eachLine(part func(i int)) {
	for i := range f.Lines {
		part(i)
	}
}

// kindLines are all lines of a species, from its first.
func (f *finder) kindLines(first int) []int {
	if f.row == nil {
		f.row = f.onSlate().rowOf(len(f.Lines))
	}
	end := first + 1
	for end < len(f.Lines) && f.Lines[end].Kind == first {
		end++
	}
	return f.row[first:end:end] // what is appended to it goes elsewhere
}

// add adds a finding about the lines of one species.
func (f *finder) add(severity Severity, code Code, lines []int, remedy *Change, ev ...conflict.Evidence) *Finding {
	s := conflict.Statement{Code: code, Evidence: f.onSlate().evidence.kept(ev...)}
	if len(lines) > 0 {
		s.Actor = f.Lines[lines[0]].Species
	}
	f.out = append(f.out, Finding{Severity: severity, Lines: lines, Statement: s, Remedy: remedy})
	return &f.out[len(f.out)-1]
}

// units of evidence that conflict.Words writes.
var parameterUnit = [species.NumParameters]string{"C", "pH", "dH", "ppt"}

var ParameterWord = [species.NumParameters]conflict.WordCode{
	conflict.WordTemperature, conflict.WordPH, conflict.WordHardness, conflict.WordSalinity,
}

// parameterWords are the words of a statement about one parameter. Nobody writes in them.
func parameterWords(p species.Parameter) []conflict.WordCode { return ParameterWord[p : p+1 : p+1] }

var zoneWord = [species.NumZones]conflict.WordCode{
	conflict.WordSurface, conflict.WordMiddle, conflict.WordBottom,
}

// FindInTank appends what is found about one species in its tank: readings, size and habits.
func (j *Assessment) FindInTank(out []Finding, first int) []Finding {
	f := finder{Assessment: j, out: j.FindSale(out, first)}
	f.readings(first)
	f.tankSize(first)
	f.keeping(first)
	f.flow(first)
	return f.out
}

// FindSale appends what is found about the sale of one species: the law, and the tank where none is
// known.
func (j *Assessment) FindSale(out []Finding, first int) []Finding {
	f := finder{Assessment: j, out: out}
	f.law(first)
	f.housing(first)
	return f.out
}

// FindHabits appends what is found about furnishing and flow for one species.
func (j *Assessment) FindHabits(out []Finding, first int) []Finding {
	f := finder{Assessment: j, out: out}
	f.keeping(first)
	f.flow(first)
	return f.out
}

// FindCrowding appends what is found about crowding.
func (j *Assessment) FindCrowding(out []Finding) []Finding {
	f := finder{Assessment: j, out: out}
	f.crowding()
	return f.out
}

// FindLoad computes the load anew and appends what is found about it.
func (j *Assessment) FindLoad(out []Finding) []Finding {
	j.bio = nil // its lines may have been changed in place
	j.Load = j.loadOf()
	f := finder{Assessment: j, out: out}
	f.loads()
	return f.out
}

// FindCover appends what is found about cover for one species.
func (j *Assessment) FindCover(out []Finding, first int) []Finding {
	f := finder{Assessment: j, out: out}
	f.cover(first)
	return f.out
}

// Code identifies a finding, change or summary; a language is a table from codes to
// sentences.
type Code = conflict.Code

// The findings about lines.
const (
	GroupTooSmall      Code = "group_too_small"
	GroupBelowCustom   Code = "group_below_customary"
	SolitaryInNumbers  Code = "solitary_in_numbers"
	SexRatio           Code = "sex_ratio"
	SexesWrong         Code = "sexes_wrong"
	SexNotTold         Code = "sex_not_told_in_trade"
	FryExpected        Code = "fry_expected"
	TankTooShort       Code = "tank_too_short"
	FootprintTooSmall  Code = "footprint_too_small"
	TankTooLow         Code = "tank_too_low"
	OutsideTolerated   Code = "reading_outside_tolerated"
	OutsidePreferred   Code = "reading_outside_preferred"
	SwungOutside       Code = "swung_outside_tolerated"
	LidNeeded          Code = "lid_needed"
	FlowTooStrong      Code = "flow_too_strong"
	FlowTooWeak        Code = "flow_too_weak"
	CoverThin          Code = "cover_thin"
	SandNeeded         Code = "sand_needed"
	LandNeeded         Code = "land_needed"
	SaltNeeded         Code = "salt_needed"
	MatureTankNeeded   Code = "mature_tank_needed"
	LongerThanRecorded Code = "longer_than_recorded"
	AgeAgainstLength   Code = "age_contradicts_length"
	PlantsEaten        Code = "plants_eaten"
	LongCommitment     Code = "long_commitment"
	Hybrids            Code = "hybrids"
)

// The findings about what must be known or allowed before a sale, and about lines that are not judged.
const (
	LawForbids      Code = "law_forbids"            // forbidden where the seller is
	LawPermit       Code = "law_permit"             // only with a permit where the seller is
	LawUnknown      Code = "law_unchecked"          // forbidden in many places
	DangerousUnseen Code = "dangerous_without_tank" // endangers people, and no tank is known
	GiantUnhoused   Code = "giant_without_tank"     // outgrows nearly every home tank, and none is known
	TankAsked       Code = "tank_unknown"           // needs a roomy tank, and none is known
	NameNotFound    Code = "name_not_found"         // set aside; the codes not_a_fish_* are of other goods
)

// The findings about the tank or the list as a whole.
const (
	NoSharedWater    Code = "no_shared_water"
	WaterSwings      Code = "water_swings"
	GroundCrowded    Code = "ground_crowded"
	ZoneCrowded      Code = "zone_crowded"
	TankCrowded      Code = "tank_crowded"
	TurnoverLow      Code = "turnover_low"
	LoadHeavy        Code = "load_heavy"
	LoadTooHeavy     Code = "load_too_heavy"
	NoWaterChange    Code = "no_water_change"
	NitrateHigh      Code = "nitrate_high"
	FilterImmature   Code = "filter_immature"
	OxygenThin       Code = "oxygen_thin"
	HeavyTank        Code = "heavy_tank"
	FootprintUnknown Code = "footprint_unknown"
	VolumeUnknown    Code = "volume_unknown"
)

// What was taken for granted.
const (
	AssumedNoTank      Code = "assumed.no_tank"
	AssumedFootprint   Code = "assumed.footprint"
	AssumedShape       Code = "assumed.shape"
	AssumedCover       Code = "assumed.cover"
	AssumedWater       Code = "assumed.water"
	AssumedTemperature Code = "assumed.temperature"
	AssumedNetVolume   Code = "assumed.net_volume"
	AssumedSource      Code = "assumed.source_nitrate"
	AssumedFood        Code = "assumed.food"
	AssumedCount       Code = "assumed.count"
	AssumedMood        Code = "assumed.disposition"
)

// Why a line is left out or stays in the way, where no pairing or finding says it.
const (
	ReasonWaterApart Code = "reason.water_apart"
	ReasonMakesRoom  Code = "reason.makes_room"
	ReasonTankHeld   Code = "reason.tank_held"
)

// What decides where nothing speaks against the list.
const (
	SummaryFine       Code = "summary.list_fine"
	SummaryFineSingle Code = "summary.single_fine"
	SummaryNothing    Code = "summary.nothing_judged"
)
