package waterchem

// TANPerProtein is the total ammonia nitrogen, in g, that fish give off for each g of
// feed protein: the customary design value for finfish in recirculating systems.
//
// Source: Timmons & Ebeling, Recirculating Aquaculture (from memory).
const TANPerProtein = 0.092

// TANYield is the same with its spread. The low and typical values are the design
// value for growing fish; the high one is our own derivation for an adult that no
// longer grows, and so gives off all the nitrogen it takes up: 0.16·0.80·1·0.90.
// FAO Technical Paper 589 (from memory) lies between, 0.61·0.16 = 0.0976.
func TANYield() Estimate {
	return Estimate{Low: TANPerProtein, Typical: TANPerProtein, High: 0.1152}
}

// The largest feed, in g/d, that the relations accept: a ton a day.
const maxFeed = 1e6

// TANFromFeed is the total ammonia nitrogen given off in g N/d, from feed in g/d
// (0-1e6, as fed) and its protein share (0-1, as fed: about 0.4-0.5 in dry food,
// a tenth of that in watery frozen food). It rises in proportion to both.
//
// Source: P = F·PC·0.092, see [TANPerProtein].
func TANFromFeed(gramsPerDay, protein float64) (float64, error) {
	err := firstError(
		within(Feed, gramsPerDay, 0, maxFeed),
		within(Protein, protein, 0, 1),
	)
	if err != nil {
		return 0, err
	}
	return gramsPerDay * protein * TANPerProtein, nil
}

// TANFromFeedBand is [TANFromFeed] for feed known as a band, with [TANYield]. Feed
// and yield are wrong for different reasons, so their spreads add as squares.
func TANFromFeedBand(gramsPerDay Estimate, protein float64) (Estimate, error) {
	err := firstError(
		gramsPerDay.check(Feed, 0, maxFeed),
		within(Protein, protein, 0, 1),
	)
	if err != nil {
		return Estimate{}, err
	}
	return gramsPerDay.TimesIndependent(TANYield()).Scale(protein), nil
}

// NitrogenBudget says what becomes of feed protein, each step as a share (0-1).
type NitrogenBudget struct {
	InProtein   float64 // nitrogen in protein; 0.16 by custom
	Assimilated float64 // of that, taken up by the gut
	Excreted    float64 // of that, given off again instead of growing into the body
	AsTAN       float64 // of that, as ammonia and ammonium (the rest mostly urea)
}

// DesignBudget is the budget behind [TANPerProtein]; its product is 0.0922.
//
// Source: Timmons & Ebeling, Recirculating Aquaculture (from memory).
func DesignBudget() NitrogenBudget {
	return NitrogenBudget{InProtein: 0.16, Assimilated: 0.80, Excreted: 0.80, AsTAN: 0.90}
}

// PerProtein is the TAN in g N for each g of feed protein under the budget. It rises
// with every share.
func (b NitrogenBudget) PerProtein() (float64, error) {
	product := 1.0
	for _, share := range [...]float64{b.InProtein, b.Assimilated, b.Excreted, b.AsTAN} {
		if err := within(Share, share, 0, 1); err != nil {
			return 0, err
		}
		product *= share
	}
	return product, nil
}
