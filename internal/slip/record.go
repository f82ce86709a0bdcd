package slip

import (
	"time"

	"commensal/api/gen"
)

// Record is a recorded check in brief: the check, then what it is called on record and what became of it.
func Record(r *gen.BriefRecord, width int) string {
	w := New(width)
	w.Rule()
	w.Text("RECORD ", 2, r.Id)
	w.Text("", 2, "Decided "+r.DecidedAt.UTC().Format(time.RFC3339)+".")
	if r.ExternalRef != nil {
		w.Text("REF ", 4, *r.ExternalRef)
	}
	if n := len(r.Overrides); n > 0 {
		w.Text("LET PASS ", 2, r.Overrides[n-1].Reason)
	}
	if r.Outcome != nil {
		w.Text("", 2, outcomeWords[*r.Outcome])
	}
	if r.OutcomeReason != nil {
		w.Text("  ", 2, *r.OutcomeReason)
	}
	return Check(&r.Answer, width) + w.String()
}

// outcomeWords are what became of a check, at the head of a line.
var outcomeWords = map[gen.CheckOutcome]string{"sold": "SOLD", "not_sold": "NOT SOLD", "returned": "RETURNED"}
