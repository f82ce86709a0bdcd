package lists

import (
	"math"

	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/stocking"
	"commensal/internal/waterchem"
)

// loadWire is the load on the wire, each figure to three significant digits: the bands
// are wider than that.
func loadWire(l *stocking.Load) *gen.Load {
	if l == nil {
		return nil
	}
	return &gen.Load{
		TemperatureC: wire.Decimals(l.TemperatureC, 2), TemperatureTaken: l.TemperatureTaken, SalinityPpt: wire.Decimals(l.SalinityPPT, 2),
		WaterL: wire.Present(significant(l.WaterL)), BodyMassG: spread(l.BodyMass), FeedGPerDay: spread(l.Feed), AmmoniaGPerDay: spread(l.TAN),
		NitrificationOxygenGPerDay: spread(l.NitrificationOxygen), NitrificationAlkalinityGPerDay: spread(l.NitrificationAlkalinity),
		FishOxygenMgPerHour: spread(l.FishOxygen), OxygenSaturationMgL: significant(l.Saturation),
		Nitrate: nitrateWire(l.Nitrate), Oxygen: oxygenWire(l.Oxygen), Ammonia: ammoniaWire(l.Ammonia),
	}
}

func nitrateWire(n *stocking.NitrateLoad) *gen.NitrateLoad {
	if n == nil {
		return nil
	}
	out := &gen.NitrateLoad{
		WeeklyRiseMgL: spread(n.WeeklyRise), SourceMgL: significant(n.Source), SourceTaken: n.SourceTaken,
		CeilingMgL: stocking.NitrateCeiling, ShareToHold: spread(n.ShareToHold), Held: n.Holds[1], WeeklyChange: n.Change,
	}
	if n.Change != nil && *n.Change > 0 {
		before, after := spread(n.Before), spread(n.After)
		out.BeforeMgL, out.AfterMgL, out.ChangesToSettle = &before, &after, &n.ChangesToSettle
	}
	return out
}

func oxygenWire(o *stocking.OxygenStock) *gen.OxygenStock {
	if o == nil {
		return nil
	}
	return &gen.OxygenStock{DissolvedMg: significant(o.Dissolved), DemandMgPerHour: spread(o.Demand), Hours: spread(o.Hours), LeftAfterHour: spread(o.AfterHour)}
}

func ammoniaWire(a *stocking.AmmoniaLoad) *gen.AmmoniaLoad {
	if a == nil {
		return nil
	}
	out := &gen.AmmoniaLoad{DailyRiseMgL: spread(a.DailyRise)}
	if a.PHKnown {
		fraction, part := significant(a.Fraction), spread(a.Unionized)
		out.UnionizedFraction, out.UnionizedMgL = &fraction, &part
	}
	return out
}

func spread(e waterchem.Estimate) gen.Spread {
	return gen.Spread{Low: significant(e.Low), Typical: significant(e.Typical), High: significant(e.High)}
}

// significant rounds to three significant digits. What is no number of JSON becomes
// the nearest one.
func significant(x float64) float64 {
	if x == 0 || math.IsNaN(x) {
		return 0
	}
	x = max(-math.MaxFloat32, min(x, math.MaxFloat32))
	scale := math.Pow(10, 2-math.Floor(math.Log10(math.Abs(x))))
	if scale < 1 {
		unit := math.Round(1 / scale)
		return math.Round(x/unit) * unit
	}
	return math.Round(x*scale) / scale
}
