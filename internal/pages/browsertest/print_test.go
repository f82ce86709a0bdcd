package browsertest

import (
	"regexp"
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"
)

var mediaBox = regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`)

// TestSlipsPrintOnTheirPaper prints to PDF and looks at the paper: a roll of 80 mm and A4.
func TestSlipsPrintOnTheirPaper(t *testing.T) {
	b := open(t, view{width: 1280, height: 900, script: true})
	for paper, millimetres := range map[string]float64{"80": 80, "a4": 210} {
		b.visit("/counter?for=1-astronotus-ocellatus%2B6-paracheirodon-innesi%4054L&paper=" + paper)
		pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground()))
		must0(t, err)
		boxes := mediaBox.FindAllSubmatch(pdf, -1)
		if len(boxes) == 0 {
			t.Fatalf("no page in %d bytes of PDF", len(pdf))
		}
		for _, box := range boxes {
			points, _ := strconv.ParseFloat(string(box[1]), 64)
			if got := points / 72 * 25.4; got < millimetres-1 || got > millimetres+1 {
				t.Errorf("paper %s: a page %.0f mm wide", paper, got)
			}
		}
	}
}

// TestPrintShowsTheAnswerAndNotTheForm looks at pages as they are printed.
func TestPrintShowsTheAnswerAndNotTheForm(t *testing.T) {
	b := open(t, view{width: 768, height: 900, script: true})
	b.printing()
	b.visit("/pairings/astronotus-ocellatus/paracheirodon-innesi")
	for selector, shown := range map[string]bool{".card": true, "#why": true, "form": false, "nav": false, ".share": false, ".foot p": true} {
		if got := script[bool](b, `document.querySelector(`+quote(selector)+`).checkVisibility()`); got != shown {
			t.Errorf("%s is shown: %v", selector, got)
		}
	}
	b.visit("/counter?for=6-paracheirodon-innesi%4054L")
	if !script[bool](b, `document.querySelector(".slip").checkVisibility() && !document.querySelector(".screen").checkVisibility()`) {
		t.Error("the slip is not what is printed")
	}
	if script[string](b, `getComputedStyle(document.body).backgroundColor`) != "rgb(255, 255, 255)" {
		t.Error("ink would be spent on the paper")
	}
}
