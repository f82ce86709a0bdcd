package conflict

// Code identifies what a statement says; a language is a table from codes to
// sentences.
type Code string

// The statements of factors.
const (
	SizeSwallows    Code = "size.swallows"
	SizeMaySwallow  Code = "size.may_swallow"
	SizeBites       Code = "size.bites"
	SizeShocks      Code = "size.shocks"
	SizePicks       Code = "size.picks"
	SizeMayPick     Code = "size.may_pick"
	SizeTakesYoung  Code = "size.takes_young"
	SizeCrushes     Code = "size.crushes"
	SizeMayCrush    Code = "size.may_crush"
	SizeClaws       Code = "size.claws"
	SizeTooDeep     Code = "size.too_deep"
	SizeSeldomTakes Code = "size.seldom_takes"
	SizeSafe        Code = "size.safe"
	SizeOwnKind     Code = "size.own_kind"

	TemperPresses     Code = "temperament.presses"
	TemperStands      Code = "temperament.stands"
	TemperMild        Code = "temperament.mild"
	TemperRivals      Code = "temperament.rivals"
	TemperMistakes    Code = "temperament.mistakes"
	TemperNips        Code = "temperament.nips"
	TemperPeaceful    Code = "temperament.peaceful"
	TemperOwnKind     Code = "temperament.own_kind"
	TemperOwnKindCalm Code = "temperament.own_kind_calm"

	WaterShared         Code = "water.shared"
	WaterOwnKind        Code = "water.own_kind"
	WaterCompromise     Code = "water.compromise"
	WaterApart          Code = "water.apart"
	WaterReadingEdge    Code = "water.reading_edge"
	WaterReadingOutside Code = "water.reading_outside"
	WaterUnknown        Code = "water.unknown"

	ZoneSame    Code = "zone.same"
	ZonePartly  Code = "zone.partly"
	ZoneApart   Code = "zone.apart"
	ZoneOwnKind Code = "zone.own_kind"
	ZoneUnknown Code = "zone.unknown"

	SpaceReference Code = "space.reference"
	SpaceTooSmall  Code = "space.too_small"
	SpaceRoomy     Code = "space.roomy"
	SpaceEnough    Code = "space.enough"
	SpaceCrowded   Code = "space.crowded"

	FeedingFine     Code = "feeding.fine"
	FeedingOutpaced Code = "feeding.outpaced"
	FeedingDiet     Code = "feeding.diet"

	BreedingNone   Code = "breeding.none"
	BreedingHybrid Code = "breeding.hybrid"
	BreedingGuards Code = "breeding.guards"
	BreedingRatio  Code = "breeding.ratio"
)

// The one-sentence summaries, by main reason and, where it matters, level.
const (
	SummaryFine          Code = "summary.fine"
	SummaryFineOwn       Code = "summary.fine_own_kind"
	SummaryFineForms     Code = "summary.fine_forms"
	SummaryPredation     Code = "summary.predation"
	SummaryBites         Code = "summary.bites"
	SummaryShocks        Code = "summary.shocks"
	SummaryMayEat        Code = "summary.may_eat"
	SummaryGrips         Code = "summary.grips"
	SummaryMayGrip       Code = "summary.may_grip"
	SummaryMayHarass     Code = "summary.may_harass"
	SummaryMayFight      Code = "summary.may_fight"
	SummaryAggression    Code = "summary.aggression"
	SummaryRivals        Code = "summary.rivals"
	SummaryNipping       Code = "summary.fin_nipping"
	SummaryWaterOwn      Code = "summary.water_own_kind"
	SummaryWater         Code = "summary.water"
	SummaryFeeding       Code = "summary.feeding"
	SummaryDiet          Code = "summary.diet"
	SummaryOwnKind       Code = "summary.own_kind"
	SummaryHybridisation Code = "summary.hybridisation"
	SummaryRoom          Code = "summary.space"
)

// The remedies.
const (
	RemedyTank      Code = "remedy.larger_tank"
	RemedyCover     Code = "remedy.more_cover"
	RemedyTankCover Code = "remedy.larger_tank_and_cover"
	RemedyWater     Code = "remedy.water"
	RemedyGroup     Code = "remedy.larger_group"
	RemedyApart     Code = "remedy.keep_apart"
	RemedyWatch     Code = "remedy.watch"
)

// WordCode is a word or short phrase that a sentence needs, translated with it.
type WordCode string

// The words.
const (
	WordRelentless  WordCode = "relentless"
	WordAggressive  WordCode = "aggressive"
	WordTerritorial WordCode = "territorial"
	WordMild        WordCode = "mild"
	WordFarSmaller  WordCode = "far_smaller"
	WordSmaller     WordCode = "smaller"
	WordEqual       WordCode = "equal"
	WordLarger      WordCode = "larger"
	WordTimid       WordCode = "timid"
	WordYielding    WordCode = "yielding"
	WordBold        WordCode = "bold"
	WordLongFins    WordCode = "long_fins"
	WordSlow        WordCode = "slow"
	WordSurface     WordCode = "surface"
	WordMiddle      WordCode = "middle"
	WordBottom      WordCode = "bottom"
	WordAllLevels   WordCode = "all_levels"
	WordTemperature WordCode = "temperature"
	WordPH          WordCode = "ph"
	WordHardness    WordCode = "gh"
	WordSalinity    WordCode = "salinity"
)
