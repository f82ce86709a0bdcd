package browsertest

import (
	_ "embed"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/chromedp/chromedp"
)

// audit is a script that lists what is wrong with a page.
//
//go:embed audit.js
var audit string

// everyPage is each kind of page, easy ones and hard ones.
var everyPage = []string{
	"/",
	"/pairings/astronotus-ocellatus/paracheirodon-innesi",
	"/pairings/betta-splendens/poecilia-reticulata?tank=60x30x30cm&temperature_c=25&ph=7",
	"/pairings/carassius-auratus/paracheirodon-innesi?tank=54L",
	"/pairings/betta-splendens/betta-splendens",
	"/pairings/neocaridina-davidi/ancistrus-cirrhosus",
	"/pairings?first=pleco&second=neo",
	"/pairings?first=zzzz&second=&tank=hello",
	"/lists/1-betta-splendens-male+6-paracheirodon-innesi@60x30x36cm,25C",
	"/lists/2-astronotus-ocellatus+10-paracheirodon-innesi+10-neocaridina-davidi~1-pterophyllum-scalare@120x45x50cm,25C,pH7",
	"/lists?list=3+nerite%0A2+frobnicator&tank=54",
	"/species/betta-splendens",
	"/species/potamotrygon-leopoldi",
	"/species?q=tetra",
	"/species?q=qqqqqq",
	"/reasons",
	"/reasons/predation",
	"/docs",
	"/docs/operations/checkList",
	"/docs/schemas/Check",
	"/counter",
	"/counter?for=1-astronotus-ocellatus%2B6-paracheirodon-innesi%4054L",
	"/adopt",
	"/adopt?for=6-paracheirodon-innesi~1-betta-splendens-male%4054L%2Clid",
}

// TestEveryPageAtEveryWidth looks at each page on a phone, a tablet and a desk, in both
// colour schemes, with and without scripts.
func TestEveryPageAtEveryWidth(t *testing.T) {
	for _, script := range []bool{true, false} {
		for _, dark := range []bool{false, true} {
			for _, width := range []int64{320, 768, 1280} {
				v := view{width, 900, dark, script}
				t.Run(v.String(), func(t *testing.T) {
					b := open(t, v)
					for _, path := range everyPage {
						b.examine(path, v)
					}
				})
			}
		}
	}
}

// examine visits a page and fails for everything the audit finds.
func (b *tab) examine(path string, v view) {
	b.Helper()
	b.visit(path)
	b.do(chromedp.WaitReady(chromedp.CSS("main")))
	for _, wrong := range script[[]string](b, audit) {
		b.Errorf("%s at %s: %s", path, v, wrong)
	}
	b.quiet(path + " at " + v.String())
	b.keep(path, v)
}

var unsafeName = regexp.MustCompile(`[^a-z0-9]+`)

// keep saves the page as a picture where a folder is named for them.
func (b *tab) keep(path string, v view) {
	folder := os.Getenv("COMMENSAL_SCREENSHOTS")
	if folder == "" {
		return
	}
	shot, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	must0(b, err)
	must0(b, os.MkdirAll(folder, 0o755))
	name := unsafeName.ReplaceAllString(path, "-")
	must0(b, os.WriteFile(filepath.Join(folder, name[:min(len(name), 60)]+"-"+v.String()+".png"), shot, 0o644))
}
