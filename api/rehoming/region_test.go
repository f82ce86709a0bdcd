package rehoming_test

import (
	"net/http"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/internal/auth"
	"commensal/internal/conflict"
)

// crayfish may not be kept where the Union's list of invasive animals holds.
const crayfish = `{"species":"procambarus-clarkii","count":1}`

func TestTheRegionOfTheOrganizationCountsWhereNoneIsNamed(t *testing.T) {
	full := fixture.Full(t)
	k := apitest.NewTankOwner(t, func(c *api.Config) { c.Book = func() *conflict.Book { return full } })
	lister := k.Service.Key("here", auth.TanksRead, auth.TanksWrite, auth.Manage)
	stored := k.Tank(`{"tank":{"size":"120x50x50cm"},"residents":[` + crayfish + `]}`)
	forbidden := func(who string, key []string, region string, wanted bool) {
		t.Helper()
		named := ""
		if region != "" {
			named = `"region":"` + region + `",`
		}
		code := func(findings []gen.Finding) bool {
			for _, f := range findings {
				if string(f.Code) == "law_forbids" {
					return true
				}
			}
			return false
		}
		check := apitest.Body[gen.Check](t, k.Post("/v1/checks", `{`+named+`"tank":{"size":"120x50x50cm"},"residents":[`+crayfish+`]}`, key...), http.StatusOK)
		if code(check.Findings) != wanted {
			t.Errorf("%s, the check: %+v", who, check.Findings)
		}
		added := apitest.Body[gen.Additions](t, k.Post("/v1/additions", `{`+named+`"tank":{"size":"120x50x50cm"},"residents":[],"limit":1}`, key...), http.StatusOK)
		if (added.Forbidden != nil && *added.Forbidden > 0) != wanted {
			t.Errorf("%s, the additions leave out %v", who, added.Forbidden)
		}
		placed := apitest.Body[gen.Placements](t, k.Post("/v1/placements", `{`+named+`"incoming":[`+crayfish+`],"tanks":[{"tank":{"size":"120x50x50cm"}}]}`, key...), http.StatusOK)
		if says := strings.Contains(placed.Arrivals[0].Reason, "may not be kept or sold where you are"); says != wanted || placed.Arrivals[0].Tank != nil {
			t.Errorf("%s, the placement: %s", who, placed.Arrivals[0].Reason)
		}
		query := ""
		if region != "" {
			query = "?region=" + region
		}
		const forbids = "ay not be kept or sold" // at the head of a line too
		split := k.Post("/v1/groupings", `{`+named+`"residents":[`+crayfish+`]}`, key...)
		if says := strings.Contains(split.Body.String(), forbids); says != wanted || split.Code != http.StatusOK {
			t.Errorf("%s, the groupings: %d %s", who, split.Code, split.Body)
		}
		for _, media := range []string{"application/json", "text/plain"} {
			sheet := k.Get("/v1/species/procambarus-clarkii/care"+query, apitest.With(key, []string{"Accept", media})...)
			if said := strings.Contains(strings.Join(strings.Fields(sheet.Body.String()), " "), forbids); said != wanted || sheet.Code != http.StatusOK {
				t.Errorf("%s, the care sheet: %d %s", who, sheet.Code, sheet.Body)
			}
			if own := strings.HasPrefix(sheet.Header().Get("Cache-Control"), "private"); own != (wanted && region == "") {
				t.Errorf("%s, the care sheet is cached %q", who, sheet.Header().Get("Cache-Control"))
			}
		}
		if key == nil {
			return
		}
		if c := apitest.Body[gen.Check](t, k.Get(stored+"/check"+query, key...), http.StatusOK); code(c.Findings) != wanted {
			t.Errorf("%s, the stored tank: %+v", who, c.Findings)
		}
		if a := apitest.Body[gen.Additions](t, k.Get(stored+"/additions"+query, key...), http.StatusOK); (a.Forbidden != nil) != wanted {
			t.Errorf("%s, additions to the stored tank: %v", who, a.Forbidden)
		}
	}
	forbidden("nobody known", nil, "", false)
	forbidden("nobody known who names it", nil, "DE", true)
	forbidden("an organization of nowhere", lister, "", false)
	manager := apitest.With(lister, []string{"Content-Type", "application/json"})
	if a := k.Do(http.MethodPut, "/v1/organizations/"+k.Organizations["here"].String()+"/region", `{"region":"DE"}`, manager...); a.Code != http.StatusOK {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	forbidden("an organization in Germany", lister, "", true)
	forbidden("the same, for a tank elsewhere", lister, "Nowhere-on-record", false)
	forbidden("nobody known, after the same body came with a key", nil, "", false)
}
