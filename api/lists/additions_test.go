package lists_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
)

const quietTank = `"tank":{"size":"100x40x40cm","temperature_c":25,"ph":6.8,"gh_dh":6,"lid":true,"filter_mature":true,"substrate":"sand","cover":0.6,"weekly_change":0.4}`

func additionsOf(t *testing.T, w *apitest.Witness, body string) gen.Additions {
	t.Helper()
	w.T = t
	var out gen.Additions
	a := w.Post("/v1/additions", body)
	if err := json.Unmarshal(a.Body.Bytes(), &out); err != nil || a.Code != 200 {
		t.Fatalf("%s: %d %v %s", body, a.Code, err, a.Body)
	}
	return out
}

func TestWhatFitsKeepsTheDecisionOfTheList(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t)))
	residents := `{"species":"paracheirodon-innesi","count":12}`
	a := additionsOf(t, w, `{`+quietTank+`,"residents":[`+residents+`],"limit":5}`)
	if len(a.Fitting) == 0 || len(a.Fitting) > 5 || a.Considered < 100 {
		t.Fatalf("%d fit of %d", len(a.Fitting), a.Considered)
	}
	for _, x := range a.Fitting {
		c := apitest.CheckOf(t, w, fmt.Sprintf(`{%s,"residents":[%s],"incoming":[{"species":%q,"count":%d}]}`, quietTank, residents, x.Species.Id, x.Count))
		if c.TankDecision != a.Decision || !x.Fits || x.Limit != nil {
			t.Errorf("%s fits and makes %s of %s", x.Species.Id, c.Decision, a.Decision)
		}
	}
	for _, x := range a.Below {
		if x.Fits || x.Limit == nil || x.Limit.Summary == "" {
			t.Errorf("%s does not fit, and nothing limits it: %+v", x.Species.Id, x)
		}
	}
}

func TestFiltersAndStockNarrowWhatIsOffered(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t)))
	offered := additionsOf(t, w, `{`+quietTank+`,"residents":[],"in_stock":["oscar","Panda cory","neon tetra"],"filters":{"max_length_cm":"4in","temperament":"mild"}}`)
	if offered.Considered != 2 {
		t.Errorf("%+v", offered)
	}
	if a := additionsOf(t, w, `{`+quietTank+`,"residents":[],"filters":{"zone":"surface","family":"no such"}}`); a.Considered != 0 || len(a.Fitting) != 0 {
		t.Errorf("%+v", a)
	}
}

func TestAFishIsReplacedByOneThatIsLikeIt(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t)))
	a := additionsOf(t, w, `{`+quietTank+`,"residents":[{"species":"neon tetra","count":12}],"instead_of":"neon tetra","limit":3}`)
	if a.InsteadOf == nil || a.InsteadOf.Id != "paracheirodon-innesi" || len(a.Fitting) == 0 || a.Fitting[0].Likeness == nil || *a.Fitting[0].Likeness < 0.5 {
		t.Errorf("%+v", a)
	}
}

func TestWhatIsOnOfferIsFilteredByPriceClass(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t)))
	offer := `"in_stock":[{"species":"Panda cory","price_class":"low"},{"species":"neon tetra","price_class":"mid"},"guppy",{"species":"oscar","price_class":"low"}]`
	all := additionsOf(t, w, `{`+quietTank+`,"residents":[],`+offer+`}`)
	low := additionsOf(t, w, `{`+quietTank+`,"residents":[],`+offer+`,"filters":{"price_class":["low"]}}`)
	none := additionsOf(t, w, `{`+quietTank+`,"residents":[],`+offer+`,"filters":{"price_class":["high"]}}`)
	if all.Considered != 4 || low.Considered != 2 || none.Considered != 0 {
		t.Errorf("%d of all, %d of the low, %d of the high are looked at", all.Considered, low.Considered, none.Considered)
	}
	for _, x := range append(low.Fitting, low.Below...) {
		if x.PriceClass == nil || *x.PriceClass != "low" {
			t.Errorf("%s is of class %v", x.Species.Id, x.PriceClass)
		}
	}
	for _, x := range append(all.Fitting, all.Below...) {
		if x.Species.Id == "poecilia-reticulata" && x.PriceClass != nil {
			t.Errorf("the guppy has class %s", *x.PriceClass)
		}
	}
}
