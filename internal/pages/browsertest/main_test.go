package browsertest

import (
	"context"
	"fmt"
	"net/http/httptest"
	"os"
	"os/exec"
	"testing"
	"time"

	"commensal"
	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/pages"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"

	"github.com/chromedp/chromedp"
)

// site is the address of the pages under test, and chromium the context of the one browser
// that all tests share.
var (
	site     string
	chromium context.Context
)

func TestMain(m *testing.M) {
	code, err := run(m)
	if err != nil {
		fmt.Fprintln(os.Stderr, "browsertest:", err)
		code = 1
	}
	os.Exit(code)
}

func run(m *testing.M) (code int, err error) {
	path, err := findBrowser()
	if err != nil {
		return 1, err
	}
	handler, err := builtIn()
	if err != nil {
		return 1, err
	}
	server := httptest.NewServer(handler)
	defer server.Close()
	site = server.URL
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.Flag("no-sandbox", true), chromedp.Flag("disable-gpu", true))
	alloc, stop := chromedp.NewExecAllocator(context.Background(), options...)
	defer stop()
	ctx, cancel := chromedp.NewContext(alloc)
	defer cancel()
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		return 1, fmt.Errorf("chromium at %s does not start: %w", path, err)
	}
	chromium = ctx
	return m.Run(), nil
}

// findBrowser finds chromium; its absence is an error, not a reason to skip.
func findBrowser() (string, error) {
	if path := os.Getenv("COMMENSAL_CHROMIUM"); path != "" {
		return exec.LookPath(path)
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", fmt.Errorf("chromium is not installed: run deploy/ensure-chromium.sh, or name a browser in COMMENSAL_CHROMIUM")
}

// builtIn are the pages over the catalogue in the binary.
func builtIn() (*pages.Pages, error) {
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		return nil, err
	}
	snapshot, err := species.NewSnapshot(1, c)
	if err != nil {
		return nil, err
	}
	model, err := conflict.Default()
	if err != nil {
		return nil, err
	}
	book := conflict.NewBook(model, snapshot)
	return pages.New(pages.Config{CacheBytes: 32 << 20, Book: func() *conflict.Book { return book }, Contract: commensal.Contract(),
		Now: func() time.Time { return time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC) }})
}
