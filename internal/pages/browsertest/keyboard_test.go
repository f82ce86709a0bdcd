package browsertest

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// focused describes the element that has the focus.
const focused = `(() => { const e = document.activeElement; return e.tagName.toLowerCase() + "#" + e.id + "." + e.className; })()`

// visibleFocus reports whether the focused element shows that it is.
const visibleFocus = `(() => { const s = getComputedStyle(document.activeElement); return s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2; })()`

// tabTo presses Tab until the element is reached.
func (b *tab) tabTo(selector string) {
	b.Helper()
	for range 60 {
		b.do(chromedp.KeyEvent(kb.Tab))
		if script[bool](b, `document.activeElement.matches(`+quote(selector)+`)`) {
			return
		}
	}
	b.Fatalf("Tab does not reach %s; it stays at %s", selector, script[string](b, focused))
}

func quote(s string) string { return "`" + s + "`" }

// TestKeyboardAlone asks, chooses a suggestion, reads and copies without a mouse.
func TestKeyboardAlone(t *testing.T) {
	b := open(t, phone)
	b.visit("/")
	b.do(chromedp.KeyEvent(kb.Tab))
	if !script[bool](b, `document.activeElement.matches(".skip") && document.activeElement.getBoundingClientRect().left >= 0`) {
		t.Errorf("the first Tab leads to %s, not to the way past the navigation", script[string](b, focused))
	}
	b.tabTo("#first")
	b.choose("neon te", "neon tetra")
	b.tabTo("#second")
	b.choose("bett", "")
	b.do(enter) // sends the form
	b.await(`location.pathname.startsWith("/pairings/paracheirodon-innesi/")`)
	b.do(chromedp.WaitVisible(chromedp.CSS(".card .verdict")))
	b.tabTo(".card .more a")
	if !script[bool](b, visibleFocus) {
		t.Error("the focus does not show")
	}
	b.do(enter)
	b.await(`location.hash === "#why"`)
	b.copyLink()
	b.quiet("keyboard alone")
}

// enter presses Enter as a keyboard does: one event with its text, so that a page that
// takes the key also keeps it from sending the form.
var enter = chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
	down := input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: "Enter", Code: "Enter", WindowsVirtualKeyCode: 13, NativeVirtualKeyCode: 13, Text: "\r", UnmodifiedText: "\r"}
	if _, err := cdp.Call(ctx, t, input.DispatchKeyEvent, down); err != nil {
		return err
	}
	up := down
	up.Type, up.Text, up.UnmodifiedText = input.DispatchKeyEventTypeKeyUp, "", ""
	_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, up)
	return err
})

// choose types into the focused combobox and takes a suggestion with the arrow keys.
func (b *tab) choose(typed, want string) {
	b.Helper()
	b.do(chromedp.KeyEvent(typed))
	b.await(`document.activeElement.getAttribute("aria-expanded") === "true"`)
	for range 8 {
		b.do(chromedp.KeyEvent(kb.ArrowDown))
		option := script[string](b, `document.getElementById(document.activeElement.getAttribute("aria-activedescendant")).textContent`)
		if strings.HasPrefix(strings.ToLower(option), want) {
			break
		}
	}
	if n := script[int](b, `document.querySelectorAll("[role=option][aria-selected=true]").length`); n != 1 {
		b.Errorf("%d options are marked", n)
	}
	b.do(enter)
	if script[string](b, `document.activeElement.getAttribute("aria-expanded")`) != "false" || script[string](b, `document.activeElement.value`) == typed {
		b.Errorf("Enter does not take the suggestion for %q", typed)
	}
}

// copyLink copies the link of the page and looks what was copied.
func (b *tab) copyLink() {
	b.Helper()
	must0(b, run1(b.ctx, browser.SetPermission, browser.SetPermissionParams{Permission: &browser.PermissionDescriptor{Name: "clipboard-read"},
		Setting: browser.PermissionSettingGranted, Origin: site}))
	b.tabTo("[data-copy=share-link]")
	b.do(chromedp.KeyEvent(" "))
	b.await(`document.querySelector(".share [role=status]").textContent === document.querySelector(".share [role=status]").dataset.copied`)
	b.do(chromedp.Evaluate[chromedp.Void](`navigator.clipboard.readText().then((text) => { window.pasted = text; })`))
	b.await(`window.pasted !== undefined`)
	if got, want := script[string](b, `pasted`), site+script[string](b, `location.pathname`); got != want {
		b.Errorf("copied %q, the page is %q", got, want)
	}
}

func TestEscapeAndBlurCloseTheSuggestions(t *testing.T) {
	b := open(t, view{width: 768, height: 900, script: true})
	b.visit("/")
	for _, key := range []string{kb.Escape, kb.Tab} {
		b.do(chromedp.Focus(chromedp.ID("first")), chromedp.Evaluate[chromedp.Void](`document.querySelector("#first").value = ""`), chromedp.KeyEvent("tetra"))
		b.await(`document.querySelector("#first").getAttribute("aria-expanded") === "true"`)
		b.do(chromedp.KeyEvent(key))
		b.await(`document.querySelector("#first").getAttribute("aria-expanded") === "false"`)
	}
	b.quiet("suggestions")
}

// TestWithoutScriptsEverythingWorks asks by the form alone.
func TestWithoutScriptsEverythingWorks(t *testing.T) {
	b := open(t, view{width: 320, height: 640})
	b.visit("/")
	b.do(chromedp.SendKeys(chromedp.ID("first"), "oscar"), chromedp.SendKeys(chromedp.ID("second"), "pleco"), enter)
	b.await(`document.querySelector("fieldset input[type=radio]") !== null && location.pathname === "/pairings"`)
	b.do(chromedp.Focus(chromedp.CSS("fieldset input[type=radio]")), chromedp.KeyEvent(kb.ArrowDown), enter)
	b.await(`location.pathname.startsWith("/pairings/astronotus-ocellatus/")`)
	b.visit("/")
	b.do(chromedp.SendKeys(chromedp.ID("list"), "6 neon tetra\n1 male betta"), chromedp.SendKeys(chromedp.ID("list-tank"), "60x30x36"), enter)
	b.await(`location.pathname.startsWith("/lists/")`)
	if got := script[string](b, `location.pathname`); got != "/lists/1-betta-splendens-male+6-paracheirodon-innesi@60x30x36cm" {
		t.Errorf("the list leads to %s", got)
	}
	b.quiet("without scripts")
}

func TestAKindIsAddedToAList(t *testing.T) {
	b := open(t, phone)
	b.visit("/counter")
	b.do(chromedp.Focus(chromedp.ID("list-add")))
	b.choose("neon te", "neon tetra")
	b.do(enter)
	b.await(`document.querySelector("#list").value.toLowerCase() === "1 neon tetra"`)
	b.do(chromedp.KeyEvent("oscar"))
	b.await(`document.activeElement.getAttribute("aria-expanded") === "true"`)
	b.do(chromedp.KeyEvent(kb.Escape), chromedp.Click(chromedp.CSS("button.quiet")))
	b.await(`document.querySelector("#list").value.toLowerCase() === "1 neon tetra\n1 oscar"`)
	b.quiet("adding a kind")
}
