package browsertest

import (
	"math"
	"testing"

	"github.com/chromedp/chromedp"
)

// drawn is a mark of a picture as the browser lays it out: its ends in pixels, and the
// values they stand for.
type drawn struct {
	Mark, Of         string
	Left, Right      float64
	From, To         float64
	FontSmallest     float64
	Outside, Clipped int
}

const readMarks = `[...document.querySelectorAll("[data-from]")].map((e) => { const b = e.getBBox(); return {
  Mark: e.dataset.mark, Of: e.dataset.of || "", Left: b.x, Right: b.x + b.width, From: +e.dataset.from, To: +e.dataset.to }; })`

// TestAxesInTheBrowser reads each bar back from where the browser draws it.
func TestAxesInTheBrowser(t *testing.T) {
	b := open(t, phone)
	const pair = "/pairings/betta-splendens/poecilia-reticulata.svg?temperature_c=25&"
	for _, c := range []struct {
		path  string
		marks []string
	}{
		{pair + "picture=sizes&width=288", []string{"animal"}},
		{pair + "picture=why&width=288", []string{"share", "score", "band"}},
		{pair + "picture=growth&width=288", []string{"moment"}},
		{"/pairings/astronotus-ocellatus/paracheirodon-innesi.svg?picture=sizes&width=600", []string{"animal", "swallows"}},
		{"/lists/2-astronotus-ocellatus+10-paracheirodon-innesi@120x45x50cm.svg?picture=scale&width=600", []string{"animal", "tank"}},
	} {
		b.visit(c.path)
		marks := script[[]drawn](b, readMarks)
		value, ok := axis(marks)
		if !ok {
			t.Errorf("%s: no axis", c.path)
			continue
		}
		for _, m := range marks {
			for _, name := range c.marks {
				if m.Mark != name {
					continue
				}
				if name == "animal" || name == "tank" {
					near(t, c.path+" "+name+" "+m.Of, value(m.Right)-value(m.Left), m.To-m.From, (value(1)-value(0))*2.5)
					continue
				}
				near(t, c.path+" "+name+" "+m.Of+" left", value(m.Left), m.From, (value(1)-value(0))*1.5)
				near(t, c.path+" "+name+" "+m.Of+" right", value(m.Right), m.To, (value(1)-value(0))*1.5)
			}
		}
		b.quiet(c.path)
	}
}

// TestWaterBarsInTheBrowser has one scale to each parameter.
func TestWaterBarsInTheBrowser(t *testing.T) {
	b := open(t, phone)
	b.visit("/pairings/betta-splendens/poecilia-reticulata.svg?temperature_c=25&picture=water&width=288")
	var ticks, bars []drawn
	for _, m := range script[[]drawn](b, readMarks) {
		switch m.Mark {
		case "tick":
			if n := len(ticks); n > 0 && m.Left < ticks[n-1].Left { // the next scale begins
				checkBars(t, ticks, bars)
				ticks, bars = nil, nil
			}
			ticks = append(ticks, m)
		default:
			if len(ticks) > 0 {
				checkBars(t, ticks, bars)
				ticks, bars = nil, nil
			}
			bars = append(bars, m)
		}
	}
	checkBars(t, ticks, bars)
}

func checkBars(t *testing.T, ticks, bars []drawn) {
	t.Helper()
	value, ok := axis(ticks)
	if !ok || len(bars) < 4 {
		t.Fatalf("%d ticks for %d bars", len(ticks), len(bars))
	}
	pixel := value(1) - value(0)
	for _, m := range bars {
		near(t, m.Mark+" "+m.Of+" left", value(m.Left), m.From, 1.2*pixel)
		near(t, m.Mark+" "+m.Of+" right", value(m.Right), m.To, 1.2*pixel)
	}
}

// axis reads the scale of a picture from its ticks.
func axis(marks []drawn) (value func(x float64) float64, ok bool) {
	var ticks []drawn
	for _, m := range marks {
		if m.Mark == "tick" {
			ticks = append(ticks, m)
		}
	}
	if len(ticks) < 2 {
		return nil, false
	}
	a, b := ticks[0], ticks[len(ticks)-1]
	return func(x float64) float64 { return a.From + (x-a.Left)/(b.Left-a.Left)*(b.From-a.From) }, true
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > math.Abs(within) {
		t.Errorf("%s: drawn at %.2f, stands for %.2f", what, got, want)
	}
}

// TestWordsFitTheirPictures measures every word in the browser's own type.
func TestWordsFitTheirPictures(t *testing.T) {
	b := open(t, phone)
	for _, path := range []string{"/pairings/astronotus-ocellatus/paracheirodon-innesi.svg", "/pairings/betta-splendens/poecilia-reticulata.svg?picture=water&width=252",
		"/pairings/betta-splendens/poecilia-reticulata.svg?picture=harm&width=252", "/pairings/carassius-auratus/symphysodon-aequifasciatus.svg?picture=why&width=288",
		"/pairings/neocaridina-davidi/ancistrus-cirrhosus.svg?picture=sizes&width=252", "/pairings/betta-splendens/poecilia-reticulata.svg?picture=growth&width=288",
		"/lists/2-astronotus-ocellatus+10-paracheirodon-innesi+3-neocaridina-davidi@120x45x50cm.svg?picture=scale&width=288", "/species/potamotrygon-leopoldi.svg"} {
		b.visit(path)
		b.do(chromedp.WaitReady(chromedp.CSS("svg")))
		for _, wrong := range script[[]string](b, `(() => { const v = document.documentElement.viewBox.baseVal, out = [];
			for (const e of document.querySelectorAll("text")) { const b = e.getBBox();
				if (b.x < -1 || b.x + b.width > v.width + 1 || b.y < -2 || b.y + b.height > v.height + 2) out.push(e.textContent + " reaches " + Math.round(b.x) + " to " + Math.round(b.x + b.width) + " of " + v.width);
				if (parseFloat(getComputedStyle(e).fontSize) < 12) out.push(e.textContent + " is small"); }
			if (!document.querySelector("title").textContent || !document.querySelector("desc").textContent) out.push("no title or description");
			return out; })()`) {
			t.Errorf("%s: %s", path, wrong)
		}
		b.quiet(path)
	}
}
