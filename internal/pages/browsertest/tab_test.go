package browsertest

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// tab is a tab of the browser that notes what it complains about and what it fetches.
type tab struct {
	testing.TB
	ctx context.Context

	mutex      sync.Mutex
	complaints []string
	fetched    []string
}

// view is how a page is looked at.
type view struct {
	width, height int64
	dark, script  bool
}

func (v view) String() string {
	scheme, script := "light", "script"
	if v.dark {
		scheme = "dark"
	}
	if !v.script {
		script = "no-script"
	}
	return fmt.Sprintf("%d-%s-%s", v.width, scheme, script)
}

// phone is the first thing to look at.
var phone = view{width: 320, height: 640, script: true}

// open opens a tab, which closes with the test.
func open(t testing.TB, v view) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(chromium)
	t.Cleanup(cancel)
	b := &tab{TB: t, ctx: ctx}
	if err := chromedp.Listen(ctx, b.note); err != nil {
		t.Fatal(err)
	}
	must0(t, run1(ctx, log.Enable, cdp.Empty{}))
	b.look(v)
	return b
}

// look changes how the tab looks at pages.
func (b *tab) look(v view) {
	b.Helper()
	scheme := "light"
	if v.dark {
		scheme = "dark"
	}
	b.do(chromedp.EmulateViewport(v.width, v.height))
	must0(b, run1(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}))
	must0(b, run1(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !v.script}))
}

func (b *tab) note(event any) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	switch e := event.(type) {
	case *log.EventEntryAdded:
		if e.Entry.Level == "error" || e.Entry.Level == "warning" {
			b.complaints = append(b.complaints, fmt.Sprintf("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL))
		}
	case *runtime.EventConsoleAPICalled:
		if e.Type == "error" || e.Type == "warning" || e.Type == "assert" {
			b.complaints = append(b.complaints, fmt.Sprintf("console: %v", e.Args))
		}
	case *runtime.EventExceptionThrown:
		b.complaints = append(b.complaints, "exception: "+e.ExceptionDetails.Text)
	case *network.EventRequestWillBeSent:
		b.fetched = append(b.fetched, e.Request.URL)
	}
}

// quiet fails where the browser complained of anything, or fetched from elsewhere.
func (b *tab) quiet(where string) {
	b.Helper()
	b.mutex.Lock()
	defer b.mutex.Unlock()
	for _, c := range b.complaints {
		b.Errorf("%s: %s", where, c)
	}
	for _, u := range b.fetched {
		if !strings.HasPrefix(u, site) && u != "about:blank" && !strings.HasPrefix(u, "data:") {
			b.Errorf("%s: fetched from elsewhere: %s", where, u)
		}
	}
	b.complaints, b.fetched = nil, nil
}

// visit goes to a page of the site.
func (b *tab) visit(path string) {
	b.Helper()
	b.do(chromedp.Navigate(site + path))
}

func (b *tab) do(actions ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 60*time.Second)
	defer cancel()
	must0(b, chromedp.Do(ctx, actions...))
}

// script evaluates an expression in the page.
func script[T any](b *tab, expression string) T {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 60*time.Second)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		b.Fatalf("%v\nin: %.300s", err, expression)
	}
	return v
}

// await waits until an expression is true. The page may be left for another meanwhile.
func (b *tab) await(expression string) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 20*time.Second)
	defer cancel()
	for {
		if ok, err := chromedp.Run(ctx, chromedp.Evaluate[bool](expression)); err == nil && ok {
			return
		}
		select {
		case <-ctx.Done():
			b.Fatalf("in vain: %s\nat %s", expression, script[string](b, "location.href"))
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// run1 runs one protocol command on the tab.
func run1[P, R any](ctx context.Context, c cdp.Command[P, R], params P) error {
	_, err := chromedp.Run(ctx, func(ctx context.Context, t *chromedp.Target) (R, error) { return cdp.Call(ctx, t, c, params) })
	return err
}

func must0(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// printing looks at pages as a printer does.
func (b *tab) printing() {
	b.Helper()
	must0(b, run1(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}))
}
