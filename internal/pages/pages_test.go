package pages

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"commensal/internal/conflict"
	"commensal/internal/pages/links"
	"commensal/internal/species"
)

func TestEveryPageIsSmallAndAllItsOwn(t *testing.T) {
	outside := regexp.MustCompile(`(?:src|href|srcset|action)="(?:https?:)?//[^"]*"`)
	for _, path := range addresses {
		r := get(t, sharedPages(), path)
		text := body(t, r)
		if r.StatusCode != http.StatusOK || r.Header.Get("Content-Type") != htmlType {
			t.Errorf("%s: %d %s", path, r.StatusCode, r.Header.Get("Content-Type"))
		}
		most := 40 << 10
		if path == "/docs" { // lists every operation
			most = 48 << 10
		}
		if len(text) > most {
			t.Errorf("%s: %d bytes", path, len(text))
		}
		for _, link := range outside.FindAllString(text, -1) {
			if !strings.Contains(link, "https://fish.example") {
				t.Errorf("%s: leads outside: %s", path, link)
			}
		}
		if r.Header.Get("Content-Security-Policy") != pagePolicy || strings.Contains(pagePolicy, "unsafe") || !strings.Contains(pagePolicy, "frame-ancestors 'none'") {
			t.Errorf("%s: policy %q", path, r.Header.Get("Content-Security-Policy"))
		}
		if len(r.Cookies()) > 0 || strings.Contains(text, " style=") || strings.Contains(text, "<style") || strings.Contains(text, " onclick") {
			t.Errorf("%s: a cookie or something inline", path)
		}
		if m := regexp.MustCompile(`[^$]\{[a-z_.]+\}`).FindString(text); m != "" && !strings.Contains(path, "docs") && path != "/" {
			if !strings.Contains(text, `data-count`) || !strings.Contains(m, "{count}") {
				t.Errorf("%s: a phrase is not filled: %s", path, m)
			}
		}
	}
}

func TestEveryOperationAndSchemaHasASmallPage(t *testing.T) {
	p := sharedPages()
	c, err := p.docs()
	if err != nil {
		t.Fatal(err)
	}
	paths := []string{}
	for id := range c.Operations {
		paths = append(paths, "/docs/operations/"+id)
	}
	for name := range c.Schemas {
		paths = append(paths, "/docs/schemas/"+name)
	}
	if len(c.Operations) < 20 || len(c.Schemas) < 50 {
		t.Fatalf("%d operations, %d schemas", len(c.Operations), len(c.Schemas))
	}
	for _, path := range paths {
		if r := get(t, p, path); r.StatusCode != http.StatusOK || r.ContentLength > 40<<10 {
			t.Errorf("%s: %d, %d bytes", path, r.StatusCode, r.ContentLength)
		}
	}
}

func TestAnswersAreKeptByTheirTag(t *testing.T) {
	for _, path := range append([]string{"/pairings/astronotus-ocellatus/paracheirodon-innesi.svg", "/embed/species/betta-splendens", "/suggest?q=neo"}, addresses[:4]...) {
		first := get(t, sharedPages(), path)
		tag := first.Header.Get("Etag")
		if tag == "" || strings.HasPrefix(tag, "W/") || !strings.HasPrefix(first.Header.Get("Cache-Control"), "public") {
			t.Fatalf("%s: tag %q, %q", path, tag, first.Header.Get("Cache-Control"))
		}
		if again := get(t, sharedPages(), path, "If-None-Match", `"other", W/`+tag); again.StatusCode != http.StatusNotModified || body(t, again) != "" {
			t.Errorf("%s: %d", path, again.StatusCode)
		}
		head := ask(t, sharedPages(), http.MethodHead, path)
		if head.StatusCode != http.StatusOK || body(t, head) != "" || head.Header.Get("Etag") != tag || head.Header.Get("Content-Length") != first.Header.Get("Content-Length") {
			t.Errorf("%s: HEAD differs", path)
		}
	}
	if r := ask(t, sharedPages(), http.MethodPost, "/"); r.StatusCode != http.StatusMethodNotAllowed || r.Header.Get("Allow") == "" {
		t.Errorf("POST: %d", r.StatusCode)
	}
}

func TestAddressesBecomeCanonical(t *testing.T) {
	for from, to := range map[string]string{
		"/pairings/Oscar/Neon%20Tetra":                                               "/pairings/astronotus-ocellatus/paracheirodon-innesi",
		"/pairings?first=oscar&second=neon+tetra&tank=48x20x20in&ph=":                "/pairings/astronotus-ocellatus/paracheirodon-innesi?tank=121.92x50.8x50.8cm",
		"/pairings?first=oscar&second=neon+tetra&temperature_c=77F&utm_source=forum": "/pairings/astronotus-ocellatus/paracheirodon-innesi?temperature_c=25",
		"/lists/6-neon-tetra+1-betta-splendens-male@60x30x36cm,25C":                  "/lists/1-betta-splendens-male+6-paracheirodon-innesi@60x30x36cm,25C",
		"/lists?list=6+neon+tetra%0A1+male+betta&tank=54&incoming=2+oscar":           "/lists/1-betta-splendens-male+6-paracheirodon-innesi~2-astronotus-ocellatus@54L",
		"/species/Betta%20splendens":                                                 "/species/betta-splendens",
		"/counter?list=6+neon+tetra&tank=54":                                         "/counter?for=6-paracheirodon-innesi%4054L",
		"/adopt?list=6+neon+tetra&incoming=1+betta&tank=54&heater=no&filter=no":      "/adopt?for=6-paracheirodon-innesi~1-betta-splendens%4054L%2C20C%2Cnew&heater=no&filter=no",
		"/adopt?list=6+neon+tetra&tank=54&heater=no&temperature_c=24&filter=maybe":   "/adopt?for=6-paracheirodon-innesi%4054L%2C24C&heater=no",
		"/adopt?list=6+neon+tetra&incoming=1+betta&tank=54&lid=yes&floor=sand":       "/adopt?for=6-paracheirodon-innesi~1-betta-splendens%4054L%2Clid%2Csand",
	} {
		r := get(t, sharedPages(), from)
		if r.StatusCode != http.StatusSeeOther || r.Header.Get("Location") != to {
			t.Errorf("%s: %d %s, not %s", from, r.StatusCode, r.Header.Get("Location"), to)
			continue
		}
		if r := get(t, sharedPages(), to); r.StatusCode != http.StatusOK {
			t.Errorf("%s: %d %s", to, r.StatusCode, r.Header.Get("Location"))
		}
	}
}

func TestASpeciesPageSaysWhichSourcesAgree(t *testing.T) {
	b, err := builtIn()
	if err != nil {
		t.Fatal(err)
	}
	agreed := 0
	for i := range b.Snapshot.Len() {
		sp := b.Snapshot.At(i)
		keys, water := sp.AgreesWith("length"), sp.AgreesWith("water ph")
		if i%25 != 0 && (keys == nil || water == nil || agreed > 1) {
			continue
		}
		page := body(t, get(t, sharedPages(), "/species/"+string(sp.ID)))
		want := 0
		for _, m := range sp.Checked {
			if sp.Holds(m) {
				want++
			}
		}
		if got := strings.Count(page, "<td>from memory, agrees with "); got != want {
			t.Errorf("%s: %d values agree with a source, want %d", sp.ID, got, want)
		}
		for _, s := range b.Snapshot.Sources() {
			if strings.Contains(page, "<dt>"+s.Key+"</dt>") != sp.Cites(s.Key) {
				t.Errorf("%s: the citation of %s is wrong", sp.ID, s.Key)
			}
		}
		if want > 0 {
			agreed++
		}
	}
	if agreed < 2 {
		t.Error("no page has a value that a source agrees with")
	}
}

func TestASearchForAnAnimalThatIsNoFishFindsNone(t *testing.T) {
	page := body(t, get(t, sharedPages(), "/species?q=african+dwarf+frog"))
	if !strings.Contains(page, "must live in a tank without fish") || strings.Contains(page, "also called") {
		t.Errorf("%s", page)
	}
}

func TestPagesAskWhereANameIsNotClear(t *testing.T) {
	for path, want := range map[string]string{
		"/pairings/pleco/neon-tetra":                   "name of several kinds",
		"/pairings/nein-tetra/oscar":                   "Perhaps one of these",
		"/pairings?first=oscar":                        "Please name a kind",
		"/pairings?first=oscar&second=guppy&tank=huge": "huge",
		"/lists/zzz":                   "name=\"line\"",
		"/lists/6-neon-tetra@nonsense": "nonsense",
		"/lists":                       "Please say the list again",
		"/species/pleco":               "name of several kinds",
		"/species/axolotl":             "must live in a cold tank without fish",
		"/pairings/turtel/oscar":       "(turtle) must live without fish",
		"/lists/2-clawed-frogs":        "clawed frogs eat every fish",
	} {
		r := get(t, sharedPages(), path)
		if text := body(t, r); r.StatusCode != http.StatusOK || !strings.Contains(text, want) || !strings.Contains(text, "<form") {
			t.Errorf("%s: %d, without %q", path, r.StatusCode, want)
		}
		if r.Header.Get("Cache-Control") != noAge {
			t.Errorf("%s: %s", path, r.Header.Get("Cache-Control"))
		}
	}
}

func TestNothingHostileGetsThrough(t *testing.T) {
	for _, text := range hostile {
		q := url.QueryEscape(text)
		for _, path := range []string{"/pairings?first=" + q + "&second=" + q + "&tank=" + q + "&ph=" + q, "/pairings/" + url.PathEscape(text) + "/oscar",
			"/lists?list=" + q + "&tank=" + q, "/lists/" + url.PathEscape(text), "/species?q=" + q, "/species/" + url.PathEscape(text), "/reasons/" + url.PathEscape(text),
			"/docs/schemas/" + url.PathEscape(text), "/counter?list=" + q, "/counter?for=" + q, "/adopt?list=" + q, "/suggest?q=" + q,
			"/oembed?url=" + q, "/embed/species/" + url.PathEscape(text), "/assets/" + url.PathEscape(text)} {
			r := get(t, sharedPages(), path)
			page := body(t, r)
			if strings.Contains(page, "<script>") || strings.Contains(page, "<img src=x") || strings.Contains(page, "\u202e") || strings.ContainsRune(page, 0) {
				t.Errorf("%s: got through", path)
			}
			if r.StatusCode >= 500 {
				t.Errorf("%s: %d", path, r.StatusCode)
			}
			if to := r.Header.Get("Location"); to != "" && !regexp.MustCompile(`^/[a-z]`).MatchString(to) {
				t.Errorf("%s: leads to %q", path, to)
			}
		}
	}
}

// TestNamesOfTheCatalogueAreEscaped puts markup, right-to-left text and a very long name
// into a catalogue.
func TestNamesOfTheCatalogueAreEscaped(t *testing.T) {
	b, err := builtIn()
	if err != nil {
		t.Fatal(err)
	}
	evil := *b.Snapshot.At(0)
	evil.ID, evil.ScientificName, evil.FormOf, evil.Form = "evilus-testus", "Evilus testus", "", ""
	evil.Names = []species.Name{{Language: "en", Text: `<script>alert("x")</script> & ` + strings.Repeat("long ", 20)}, {Language: "ar", Text: "سمكة"}}
	evil.Note, evil.Needs = "<b>note</b>", []string{"<i>need</i>"}
	other := *b.Snapshot.At(1)
	other.FormOf, other.Form = "", ""
	book, err := bookOf(2, species.Catalogue{Species: []*species.Species{&evil, &other}})
	if err != nil {
		t.Fatal(err)
	}
	p := newPages(t, func() *conflict.Book { return book })
	for _, path := range []string{"/species/evilus-testus", "/pairings/evilus-testus/" + string(other.ID), "/lists/1-" + string(other.ID) + "+2-evilus-testus", "/embed/species/evilus-testus",
		"/species/evilus-testus.svg", "/species/evilus-testus.png", "/counter?for=2-evilus-testus", "/species?q=evilus", "/oembed?format=xml&url=https://fish.example/species/evilus-testus",
		"/species/evilus-testus?format=markdown", "/species/evilus-testus?format=bbcode"} {
		r := get(t, p, path)
		page := body(t, r)
		if r.StatusCode != http.StatusOK {
			t.Errorf("%s: %d", path, r.StatusCode)
		}
		if strings.Contains(page, "<script>alert") && !strings.Contains(path, "format=bbcode") || strings.Contains(page, "<b>note") || strings.Contains(page, "<i>need") {
			t.Errorf("%s: markup got through", path)
		}
	}
}

func TestPagesWaitForTheCatalogueAndFollowIt(t *testing.T) {
	b, err := builtIn()
	if err != nil {
		t.Fatal(err)
	}
	var now *conflict.Book
	p := newPages(t, func() *conflict.Book { return now })
	if r := get(t, p, "/species/betta-splendens"); r.StatusCode != http.StatusServiceUnavailable || r.Header.Get("Retry-After") == "" {
		t.Fatalf("before the catalogue: %d", r.StatusCode)
	}
	now = b
	before := get(t, p, "/species/betta-splendens")
	only, err := bookOf(7, species.Catalogue{Species: []*species.Species{b.Snapshot.At(0)}})
	if err != nil {
		t.Skip("the first entry is a form")
	}
	now = only
	after := get(t, p, "/species/betta-splendens")
	if before.StatusCode != http.StatusOK || body(t, before) == body(t, after) {
		t.Error("the page of an older catalogue is still shown")
	}
}

func TestLinksOutsideFollowTheRequestOnlyWhereNothingElseIsSaid(t *testing.T) {
	b, err := builtIn()
	if err != nil {
		t.Fatal(err)
	}
	p, err := New(Config{Book: func() *conflict.Book { return b }, Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	if page := body(t, get(t, p, "http://shop.example:8080/species/betta-splendens")); !strings.Contains(page, `href="http://shop.example:8080/species/betta-splendens"`) {
		t.Error("the canonical link does not say what was asked")
	}
	r, _ := http.NewRequest(http.MethodGet, "/", nil)
	r.Host = `evil"><script>`
	if got := p.origin(r); got != "http://localhost" {
		t.Errorf("a broken host gives %q", got)
	}
}

// TestTheLongestListIsStillASmallPage asks about as many kinds as a link may hold.
func TestTheLongestListIsStillASmallPage(t *testing.T) {
	b, err := builtIn()
	if err != nil {
		t.Fatal(err)
	}
	for offset := range 3 {
		for _, tank := range []string{"", "@200x60x60cm,25C,pH7,8dH,lid,mature,planted,sand", "@54L"} {
			var l links.List
			for i := range links.MaxLines {
				l.Residents = append(l.Residents, links.Line{Count: 12, Name: string(b.Snapshot.At((i*39 + offset*7) % b.Snapshot.Len()).ID)})
			}
			l = l.Canonical()
			path := l.Path() + tank
			page := get(t, sharedPages(), path)
			if page.StatusCode != http.StatusOK || page.ContentLength > 40<<10 {
				t.Errorf("%s: %d, %d bytes", path, page.StatusCode, page.ContentLength)
			}
			if frame := get(t, sharedPages(), "/embed"+path); frame.StatusCode != http.StatusOK || frame.ContentLength > 15<<10 {
				t.Errorf("/embed%s: %d, %d bytes", path, frame.StatusCode, frame.ContentLength)
			}
		}
	}
}

// TestEverySpeciesHasASmallPage looks at the whole catalogue.
func TestEverySpeciesHasASmallPage(t *testing.T) {
	b, err := builtIn()
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < b.Snapshot.Len(); i += 3 {
		path := "/species/" + string(b.Snapshot.At(i).ID)
		if r := get(t, sharedPages(), path); r.StatusCode != http.StatusOK || r.ContentLength > 40<<10 {
			t.Errorf("%s: %d, %d bytes", path, r.StatusCode, r.ContentLength)
		}
	}
}

func TestAnAdopterIsToldWhatIsTakenForGranted(t *testing.T) {
	for target, says := range map[string]map[string]bool{
		"/adopt?for=6-paracheirodon-innesi%4054L%2C20C%2Cnew&heater=no&filter=no": {"as warm as a room, 20 °C": true, "one whose filter is new": true},
		"/adopt?for=6-paracheirodon-innesi%4054L%2C24C&heater=no":                 {"as warm as a room": false, "one whose filter is new": false},
		"/adopt?for=6-paracheirodon-innesi%4054L%2C20C":                           {"as warm as a room": false},
	} {
		page := body(t, get(t, sharedPages(), target))
		for words, wanted := range says {
			if strings.Contains(page, words) != wanted {
				t.Errorf("%s: %q is told: %v", target, words, !wanted)
			}
		}
		if !strings.Contains(page, `name="heater"`) || !strings.Contains(page, `name="filter"`) {
			t.Errorf("%s does not ask for heater and filter", target)
		}
	}
}
