package browsertest

import (
	"encoding/json"
	"fmt"
	"html"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// host is what forum software does: it finds a link in a post, looks at the page behind
// it, discovers oEmbed, fetches the answer and puts the frame into the post.
func host(t *testing.T, width int) *httptest.Server {
	t.Helper()
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		frame, err := discover(site+r.URL.Query().Get("post"), width)
		if err != nil {
			http.Error(w, err.Error(), http.StatusBadGateway)
			return
		}
		fmt.Fprintf(w, `<!doctype html><html lang="en"><title>A post</title><body><main><p>Look at this:</p>%s<p>What do you think?</p></main>
<script>window.heights = []; addEventListener("message", (e) => { if (e.origin === %q && e.data.type === "commensal.height") heights.push(e.data.height); });</script></body></html>`, frame, site)
	}))
	t.Cleanup(s.Close)
	return s
}

var discovery = regexp.MustCompile(`<link rel="alternate" type="application/json\+oembed" href="([^"]+)"`)

func discover(link string, width int) (string, error) {
	page, err := fetch(link)
	if err != nil {
		return "", err
	}
	m := discovery.FindStringSubmatch(page)
	if m == nil {
		return "", fmt.Errorf("nothing to discover at %s", link)
	}
	answer, err := fetch(html.UnescapeString(m[1]) + fmt.Sprintf("&maxwidth=%d", width))
	if err != nil {
		return "", err
	}
	var o struct{ HTML string }
	if err := json.Unmarshal([]byte(answer), &o); err != nil {
		return "", err
	}
	if o.HTML == "" {
		return "", fmt.Errorf("no frame in %s", answer)
	}
	return o.HTML, nil
}

func fetch(address string) (string, error) {
	r, err := http.Get(address)
	if err != nil {
		return "", err
	}
	defer r.Body.Close()
	text, err := io.ReadAll(r.Body)
	if err == nil && r.StatusCode != http.StatusOK {
		err = fmt.Errorf("%s: %s", address, r.Status)
	}
	return string(text), err
}

func TestAForumShowsTheCard(t *testing.T) {
	for _, width := range []int{320, 480, 640} {
		server := host(t, width)
		for _, v := range []view{{int64(width), 900, false, true}, {1280, 900, true, true}} {
			b := open(t, v)
			for _, path := range []string{"/pairings/astronotus-ocellatus/paracheirodon-innesi", "/pairings/betta-splendens/poecilia-reticulata?tank=60x30x30cm",
				"/lists/1-betta-splendens-male+6-paracheirodon-innesi@60x30x36cm,25C", "/species/betta-splendens"} {
				b.do(chromedp.Navigate(server.URL + "/?post=" + url.QueryEscape(path)))
				b.await(`heights.length > 0`)
				given := script[float64](b, `document.querySelector("iframe").height * 1`)
				needed := script[float64](b, `heights[heights.length - 1]`)
				if needed > given || needed < given*.6 {
					t.Errorf("%s at %d: the frame is %v tall, the card %v", path, width, given, needed)
				}
				b.complaints = nil // the host is not ours
			}
		}
	}
}

// TestACardInAFrameIsReadable looks at the frame's own page at the widths it may have.
func TestACardInAFrameIsReadable(t *testing.T) {
	for _, width := range []int64{320, 480, 640} {
		for _, script1 := range []bool{true, false} {
			v := view{width, 600, width == 480, script1}
			b := open(t, v)
			for _, path := range []string{"/embed/pairings/astronotus-ocellatus/paracheirodon-innesi", "/embed/lists/2-astronotus-ocellatus+10-paracheirodon-innesi@120x45x50cm", "/embed/species/betta-splendens"} {
				b.visit(path)
				for _, wrong := range script[[]string](b, strings.Replace(audit, "window.framed", "true", 1)) {
					if !strings.HasPrefix(wrong, "heading skips") { // a card has no page above it
						t.Errorf("%s at %s: %s", path, v, wrong)
					}
				}
				b.quiet(path)
				b.keep(path, v)
			}
		}
	}
}

// TestOnlyTheEmbedComesUpInAFrame puts a whole page into a frame, which the browser must
// refuse.
func TestOnlyTheEmbedComesUpInAFrame(t *testing.T) {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		fmt.Fprintf(w, `<!doctype html><title>host</title><iframe src="%s/species/betta-splendens"></iframe>`, site)
	}))
	defer server.Close()
	b := open(t, phone)
	b.do(chromedp.Navigate(server.URL))
	b.await(`document.readyState === "complete"`)
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if !strings.Contains(strings.Join(b.complaints, "\n"), "frame-ancestors") {
		t.Errorf("a page came up in a frame: %v", b.complaints)
	}
}
