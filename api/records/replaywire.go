package records

import (
	"strconv"
	"strings"

	"commensal/api/gen"
)

func pairingChange(d *difference[gen.ListPairing], why *causes) gen.PairingChange {
	return gen.PairingChange{Species: idsOfPair(d), Lines: d.lines, Then: replayedPairing(d.then), Now: replayedPairing(d.now), Causes: why.of(d.key, d.species)}
}

// idsOfPair are the two species, as they are called now.
func idsOfPair(d *difference[gen.ListPairing]) []string {
	p := d.now
	if p == nil {
		p = d.then
	}
	return []string{p.Species[0].Id, p.Species[1].Id}
}

func replayedPairing(p *gen.ListPairing) *gen.ReplayedPairing {
	if p == nil {
		return nil
	}
	return &gen.ReplayedPairing{Score: p.Score, Level: p.Level, MainReason: p.MainReason, Summary: p.Summary}
}

func findingChange(d *difference[gen.Finding], why *causes) gen.FindingChange {
	out := gen.FindingChange{Change: gen.FindingChangeChangeChanged, Then: replayedFinding(d.then), Now: replayedFinding(d.now), Causes: why.of(d.key, d.species)}
	f := d.now
	switch {
	case d.then == nil:
		out.Change = gen.FindingChangeChangeAdded
	case d.now == nil:
		f, out.Change = d.then, gen.FindingChangeChangeRemoved
	}
	out.Code, out.Species = f.Code, f.Species
	return out
}

func replayedFinding(f *gen.Finding) *gen.ReplayedFinding {
	if f == nil {
		return nil
	}
	return &gen.ReplayedFinding{Severity: f.Severity, Summary: f.Summary}
}

// sentences are the causes in words.
func (p *replay) sentences(now *gen.Check) map[gen.ReplayCauseKind]string {
	then := strconv.FormatInt(p.then.CatalogueRevision, 10)
	models := p.then.ModelVersion + " judged then, " + now.ModelVersion + " judges now."
	notKnown := "Catalogue revision " + then + " is not in the database, so that nobody can tell what made the difference."
	if p.then.ModelVersion != now.ModelVersion {
		notKnown += " The model is another one too: " + models
	}
	return map[gen.ReplayCauseKind]string{
		gen.ReplayCauseCatalogue: "The catalogue was changed: revision " + then + " then, " + strconv.FormatInt(now.CatalogueRevision, 10) + " now.",
		gen.ReplayCauseModel:     "The model was changed: " + models,
		gen.ReplayCauseProgram:   "The program was changed, under the same model: " + p.record.Program + " then, " + p.program + " now.",
		gen.ReplayCauseNotKnown:  notKnown,
	}
}

// replaySentence is the outcome in words.
func replaySentence(r *gen.CheckReplay) string {
	if r.Outcome == gen.CheckReplayOutcomeSame {
		return "Judged again today, decision, pairings and findings are the same."
	}
	head := "Still " + string(r.Now.Decision)
	if r.DecisionChanged {
		head = "Then " + string(r.Then.Decision) + ", today " + string(r.Now.Decision)
	}
	return head + "; different: " + counted(len(r.Pairings), "pairing") + ", " + counted(len(r.Findings), "finding") + "."
}

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.Itoa(n) + " " + what
}

func goneSentence(gone []gen.MovedSpecies) string {
	names := make([]string, len(gone))
	for i, m := range gone {
		names[i] = m.ScientificName + " (" + m.Species + ")"
	}
	if len(names) == 1 {
		return "It cannot be judged again: the catalogue no longer has " + names[0] + "."
	}
	return "It cannot be judged again: the catalogue no longer has these species: " + strings.Join(names, ", ") + "."
}
