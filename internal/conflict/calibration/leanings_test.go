package calibration

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"commensal/internal/conflict"
)

// told is a panel of one kind with several others at one level, for one reason.
func told(t *testing.T, kind string, others []string, level, reason string) Panel {
	t.Helper()
	rows := "id,species_a,species_b,level,level_low,level_high,main_reason,who_harms_whom\n"
	for i, other := range others {
		rows += fmt.Sprintf("T%d,%s,%s,%s,%s,%s,%s,a>b\n", i, kind, other, level, level, level, reason)
	}
	panel, err := Read(strings.NewReader(rows), finder(t))
	if err != nil {
		t.Fatal(err)
	}
	return panel
}

var calmCompany = []string{"Corydoras paleatus", "Hyphessobrycon herbertaxelrodi", "Trigonostigma heteromorpha", "Thayeria boehlkei", "Hemigrammus erythrozonus"}

func leaning(t *testing.T, p Panel, property string) (Leaning, bool) {
	t.Helper()
	w, err := conflict.EmbeddedWeights()
	if err != nil {
		t.Fatal(err)
	}
	leanings, err := p.Leanings(w)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range leanings {
		if l.Property == property && l.Species == p[0].A {
			return l, true
		}
	}
	return Leaning{}, false
}

// Where everybody says that a mild fish drives others about, its aggression leans up; where
// one says so, hardly; and a fish that is judged as it is graded does not lean.
func TestALeaningTakesAgreement(t *testing.T) {
	many, ok := leaning(t, told(t, "Trichopodus leerii", calmCompany, "high", "aggression"), "aggression_others")
	if !ok || many.To <= many.From || many.Pairs != len(calmCompany) {
		t.Fatalf("five pairs against a mild fish: %+v, %v", many, ok)
	}
	one, _ := leaning(t, told(t, "Trichopodus leerii", calmCompany[:1], "high", "aggression"), "aggression_others")
	if one.To-one.From >= many.To-many.From {
		t.Errorf("one pair moves it by %.2f, five by %.2f", one.To-one.From, many.To-many.From)
	}
	if l, ok := leaning(t, told(t, "Trichopodus leerii", calmCompany, "low", "none"), "aggression_others"); ok && l.To > l.From {
		t.Errorf("a peaceful fish judged peaceful leans to %.2f from %.2f", l.To, l.From)
	}
}

// What the judgements of some pairs say of a kind carries to others of it only where kinds are
// graded wrongly; it must not do harm where the catalogue is right.
func TestLeaningsOfTheRealPanelDoNoHarm(t *testing.T) {
	w, err := conflict.EmbeddedWeights()
	if err != nil {
		t.Fatal(err)
	}
	without, with, err := realPanel(t, "dev", "dev2")[:600].LeaningsHold(w)
	if err != nil {
		t.Fatal(err)
	}
	if without < 0.8 || with < without-0.01 {
		t.Errorf("kappa of pairs not seen: %.3f without, %.3f with leanings", without, with)
	}
}

func TestPairsAreWrittenWithTheirHazards(t *testing.T) {
	p := told(t, "Astronotus ocellatus", []string{"Paracheirodon innesi"}, "severe", "predation")
	w, err := conflict.EmbeddedWeights()
	if err != nil {
		t.Fatal(err)
	}
	causes, err := p.Causes(w)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := WritePairs(&out, p, Held{Causes: causes}); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	if len(lines) != 2 || strings.Count(lines[0], ",") != strings.Count(lines[1], ",") || !strings.HasPrefix(lines[1], "T0,Astronotus ocellatus,Paracheirodon innesi,severe,severe,severe,predation,a>b,") {
		t.Errorf("%s", out.String())
	}
}
