package stocking

import "commensal/internal/conflict"

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
	MatureTankNeeded   Code = "mature_tank_needed"
	LongerThanRecorded Code = "longer_than_recorded"
	AgeAgainstLength   Code = "age_contradicts_length"
	PlantsEaten        Code = "plants_eaten"
	LongCommitment     Code = "long_commitment"
	Hybrids            Code = "hybrids"
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
	AssumedCover       Code = "assumed.cover"
	AssumedWater       Code = "assumed.water"
	AssumedTemperature Code = "assumed.temperature"
	AssumedNetVolume   Code = "assumed.net_volume"
	AssumedSource      Code = "assumed.source_nitrate"
	AssumedFood        Code = "assumed.food"
	AssumedCount       Code = "assumed.count"
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
)
