package curation

import (
	"testing"

	"commensal/api/respond"
	"commensal/internal/store"
)

func TestWhoNamedTheStateThatWasMeantIsToldThatItIsNoMore(t *testing.T) {
	for header, want := range map[string]respond.Slug{`"tag"`: respond.PreconditionFailed, "*": respond.CatalogueMoved, " * ": respond.CatalogueMoved} {
		if f, _ := respond.FaultOf(lost(respond.StoreFault(store.ErrRevisionMoved), &header), nil); f.Slug != want {
			t.Errorf("If-Match %q: %s, want %s", header, f.Slug, want)
		}
	}
	if f, _ := respond.FaultOf(lost(respond.StoreFault(store.ErrRevisionMoved), nil), nil); f.Slug != respond.CatalogueMoved {
		t.Errorf("If-None-Match: %s", f.Slug)
	}
}
