package lists_test

import (
	"net/http"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
)

// TestACheckWithAnotherAnimalIsHeld asks about animals that are no fish, in and out of the tank, by several names.
func TestACheckWithAnotherAnimalIsHeld(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for name, want := range map[string]struct {
		kind    gen.NotJudgedKind
		summary string
	}{
		"axolotl":             {gen.Salamander, `"axolotl" must live in a cold tank without fish: an axolotl eats what fits its mouth, and fish nip its gills.`},
		"axalotl":             {gen.Salamander, `"axalotl" (axolotl) must live in a cold tank without fish: an axolotl eats what fits its mouth, and fish nip its gills.`},
		"Zwergkrallenfrosch":  {gen.Frog, `"Zwergkrallenfrosch" must live in a tank without fish: dwarf frogs starve beside quick eaters, and big fish eat them.`},
		"african clawed frog": {gen.Frog, `"african clawed frog" must live in a tank without fish: clawed frogs eat every fish that fits their mouth.`},
		"fire bellied newts":  {gen.Salamander, `"fire bellied newts" must live in a cool tank without fish: the skin of these newts is toxic, and they snap at fish.`},
		"red-eared slider":    {gen.Turtle, `"red-eared slider" must live without fish, in a large tank with land and a lamp: turtles eat fish and foul their water.`},
	} {
		for _, list := range []string{
			`{"residents":[{"species":"neon tetra","count":10}],"incoming":[{"species":"` + name + `","count":1,"ref":"T-7"}]}`,
			`{"residents":[{"species":"` + name + `","count":1,"ref":"T-7"},{"species":"neon tetra","count":10}]}`,
		} {
			c := apitest.CheckOf(t, w, list)
			if c.Decision != gen.Hold || len(c.NotJudged) != 1 || c.NotJudged[0].Kind != want.kind || c.NotJudged[0].Ref != "T-7" || c.NotJudged[0].Name != name || c.NotJudged[0].Summary != want.summary {
				t.Errorf("%s: %s, %+v", list, c.Decision, c.NotJudged)
				continue
			}
			f := c.Findings[0]
			if string(f.Code) != "not_a_fish_"+string(want.kind) || f.Severity != gen.Stop || f.Summary != want.summary || len([]rune(c.Summary)) > 140 || !strings.Contains(c.Summary, "must live") {
				t.Errorf("%s: %+v, %q", list, f, c.Summary)
			}
		}
	}
	apitest.WantProblem(t, "a list that is split", w.Post("/v1/groupings", `{"residents":[{"species":"axolotl"},{"species":"neon tetra"}]}`), http.StatusUnprocessableEntity, respond.NotAFish)
}
