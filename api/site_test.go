package api

import (
	"bytes"
	"strings"
	"testing"

	"commensal"
)

func TestPagesForPeople(t *testing.T) {
	w := ask(t, serverOf(t, full(t)))
	for _, target := range []string{"/", "/docs", "/problems/ambiguous-species"} {
		a := w.get(target)
		body := a.Body.String()
		if a.Code != 200 || !strings.HasPrefix(a.Header().Get("Content-Security-Policy"), "default-src 'none'; style-src 'sha256-") {
			t.Errorf("%s: %d %v", target, a.Code, a.Header())
		}
		for _, part := range []string{`<html lang="en">`, `name="viewport"`, "prefers-color-scheme", "Skip to the text"} {
			if !strings.Contains(body, part) {
				t.Errorf("%s lacks %s", target, part)
			}
		}
		if strings.Contains(body, "<script") || strings.Contains(body, "ZgotmplZ") {
			t.Errorf("%s has a script, or a value that the template refused", target)
		}
	}
	for _, part := range strings.Split(w.get("/").Body.String(), `href="`)[1:] {
		target, _, _ := strings.Cut(part, `"`)
		if !strings.HasPrefix(target, "#") {
			if a := w.get(strings.ReplaceAll(target, "&amp;", "&")); a.Code != 200 {
				t.Errorf("the home page links to %s: %d", target, a.Code)
			}
		}
	}
	docs := w.get("/docs").Body.String()
	for id := range testContract().operations {
		if !strings.Contains(docs, `id="`+id+`"`) {
			t.Errorf("/docs lacks %s", id)
		}
	}
	for _, p := range problemTypes {
		if a := w.get("/problems/" + string(p.Slug)); a.Code != 200 || !strings.Contains(a.Body.String(), "How to mend it") {
			t.Errorf("/problems/%s: %d", p.Slug, a.Code)
		}
	}
}

func TestTheContractIsServedAsItIs(t *testing.T) {
	a := ask(t, serverOf(t, few(t))).get("/openapi.yaml")
	if !bytes.Equal(a.Body.Bytes(), commensal.Contract()) {
		t.Error("it is another")
	}
}

func TestNewWithoutABookIsRefused(t *testing.T) {
	if _, err := New(Config{}); err == nil {
		t.Error("a server without a book was made")
	}
}
