package pages

import (
	"encoding/json"
	"encoding/xml"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"commensal/internal/pages/embed"
)

// embeddable are pages that can be put into another page.
var embeddable = []string{"/pairings/astronotus-ocellatus/paracheirodon-innesi", "/pairings/betta-splendens/poecilia-reticulata?tank=60x30x30cm&temperature_c=25",
	"/lists/1-betta-splendens-male+6-paracheirodon-innesi@60x30x36cm,25C", "/species/betta-splendens"}

func TestOEmbedIsDiscoveredAndAnswers(t *testing.T) {
	for _, path := range embeddable {
		page := body(t, get(t, sharedPages(), path))
		at := "/oembed?url=" + url.QueryEscape("https://fish.example"+path)
		if !strings.Contains(page, `type="application/json+oembed"`) || !strings.Contains(page, `type="text/xml+oembed"`) {
			t.Errorf("%s: nothing to discover", path)
		}
		var o embed.OEmbed
		r := get(t, sharedPages(), at+"&maxwidth=400")
		if err := json.NewDecoder(r.Body).Decode(&o); err != nil || o.Type != "rich" || o.Version != "1.0" || o.Width != 320 || o.Height <= 0 {
			t.Fatalf("%s: %+v %v", path, o, err)
		}
		if !strings.Contains(o.HTML, "https://fish.example/embed/") || !strings.HasPrefix(o.HTML, "<iframe ") {
			t.Errorf("%s: %s", path, o.HTML)
		}
		var x embed.OEmbed
		r = get(t, sharedPages(), at+"&format=xml&maxheight=200")
		if err := xml.NewDecoder(r.Body).Decode(&x); err != nil || x.Height != 200 || x.Width != 480 || !strings.Contains(x.HTML, `height="200"`) {
			t.Errorf("%s: %+v %v", path, x, err)
		}
		if r := get(t, sharedPages(), at+"&format=yaml"); r.StatusCode != http.StatusNotImplemented {
			t.Errorf("%s: another format: %d", path, r.StatusCode)
		}
	}
	for _, foreign := range []string{"https://other.example/species/betta-splendens", "https://fish.example/nothing", "%zz", ""} {
		if r := get(t, sharedPages(), "/oembed?url="+url.QueryEscape(foreign)); r.StatusCode != http.StatusNotFound {
			t.Errorf("%s: %d", foreign, r.StatusCode)
		}
	}
}

func TestOnlyEmbedsMayBeFramedAndTheyAreSmall(t *testing.T) {
	for _, path := range embeddable {
		r := get(t, sharedPages(), "/embed"+path)
		if policy := r.Header.Get("Content-Security-Policy"); r.StatusCode != http.StatusOK || !strings.Contains(policy, "frame-ancestors *") || r.Header.Get("X-Frame-Options") != "" {
			t.Errorf("%s: %d %s", path, r.StatusCode, policy)
		}
		if r.ContentLength > 15<<10 {
			t.Errorf("%s: %d bytes", path, r.ContentLength)
		}
	}
	for _, path := range append(addresses, "/pairings/astronotus-ocellatus/paracheirodon-innesi.svg", "/oembed?url=/species/betta-splendens", "/suggest?q=a", "/nothing") {
		if policy := get(t, sharedPages(), path).Header.Get("Content-Security-Policy"); strings.Contains(policy, "frame-ancestors *") || !strings.Contains(policy, "frame-ancestors 'none'") {
			t.Errorf("%s may be framed: %s", path, policy)
		}
	}
}

func TestLinkPreviewsSayWhatThePageSays(t *testing.T) {
	for _, path := range embeddable {
		page := body(t, get(t, sharedPages(), path))
		for _, want := range []string{`property="og:title"`, `property="og:description"`, `property="og:url" content="https://fish.example`,
			`property="og:image" content="https://fish.example`, `.png`, `name="twitter:card" content="summary_large_image"`, `rel="canonical"`} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: without %s", path, want)
			}
		}
	}
}

func TestPicturesHaveAddressesAndLongLives(t *testing.T) {
	for _, path := range embeddable {
		bare, query, _ := strings.Cut(path, "?")
		for _, name := range []string{"", "reason", "sizes", "why", "harm", "space", "water", "growth", "scale", "body"} {
			for _, ext := range []string{".svg", ".png"} {
				at := pictureAt(bare, query, name, ext, 320)
				r := get(t, sharedPages(), at)
				known := map[string]string{"pairings": " reason sizes why harm space water growth", "lists": " scale water growth", "species": " body water"}[strings.Split(path, "/")[1]]
				if name != "" && !strings.Contains(known, " "+name) {
					if r.StatusCode != http.StatusNotFound {
						t.Errorf("%s: %d", at, r.StatusCode)
					}
					continue
				}
				if r.StatusCode != http.StatusOK || !strings.HasPrefix(r.Header.Get("Cache-Control"), "public, max-age=86400") || r.Header.Get("Etag") == "" {
					t.Errorf("%s: %d %s", at, r.StatusCode, r.Header.Get("Cache-Control"))
				}
			}
		}
	}
}

func TestPostsQuoteTheCard(t *testing.T) {
	path := embeddable[0]
	for at, media := range map[string]string{path + "?format=markdown": "text/markdown; charset=utf-8", path + "?format=bbcode": plainType} {
		r := get(t, sharedPages(), at)
		text := body(t, r)
		if r.Header.Get("Content-Type") != media || !strings.Contains(text, "https://fish.example"+path) || !strings.Contains(text, ".png") || !strings.Contains(text, " of 100, likely between ") {
			t.Errorf("%s: %s\n%s", at, r.Header.Get("Content-Type"), text)
		}
	}
	r := get(t, sharedPages(), path, "Accept", "text/markdown")
	if r.Header.Get("Content-Type") != "text/markdown; charset=utf-8" || r.Header.Get("Vary") != "Accept" {
		t.Errorf("Accept: %s", r.Header.Get("Content-Type"))
	}
	if again := get(t, sharedPages(), path); again.Header.Get("Content-Type") != htmlType {
		t.Error("the page is kept as Markdown")
	}
}

// TestACardWarnsOfWhatCanHurt looks for the danger on the card itself, wherever it is shown.
func TestACardWarnsOfWhatCanHurt(t *testing.T) {
	for path, want := range map[string]string{"/embed/pairings/potamotrygon-leopoldi/astronotus-ocellatus": "medical emergency",
		"/embed/species/electrophorus-electricus": "shocks", "/species/potamotrygon-leopoldi?format=markdown": "medical emergency",
		"/embed/lists/1-potamotrygon-leopoldi": "medical emergency"} {
		if text := body(t, get(t, sharedPages(), path)); !strings.Contains(text, want) {
			t.Errorf("%s does not warn", path)
		}
	}
}
