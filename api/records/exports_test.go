package records

import (
	"testing"

	"github.com/google/uuid"
)

func TestTheOldestExportOfAnOrganizationGivesWay(t *testing.T) {
	e := newExports()
	here, there := uuid.New(), uuid.New()
	first, endFirst, ok := e.begin(t.Context(), here)
	second, _, ok2 := e.begin(t.Context(), here)
	if !ok || !ok2 || first.Err() != nil {
		t.Fatal("two exports of an organization are not admitted")
	}
	third, _, ok := e.begin(t.Context(), here)
	if !ok || first.Err() == nil || second.Err() != nil || third.Err() != nil {
		t.Errorf("the third: admitted %v; first ended %v, second %v", ok, first.Err() != nil, second.Err() != nil)
	}
	endFirst() // late, and takes nobody's place
	for range maxExportsEach {
		if _, _, ok := e.begin(t.Context(), there); !ok {
			t.Error("another organization has no place")
		}
	}
	if _, _, ok := e.begin(t.Context(), uuid.New()); ok {
		t.Error("more than there may be")
	}
	if len(e.now) != maxExports {
		t.Errorf("%d under way", len(e.now))
	}
	if _, end, ok := e.begin(t.Context(), here); !ok {
		t.Error("an organization with exports of its own is refused")
	} else {
		end()
	}
	if _, _, ok := e.begin(t.Context(), uuid.New()); !ok {
		t.Error("what ended left its place taken")
	}
}
