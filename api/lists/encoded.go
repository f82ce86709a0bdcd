package lists

import (
	"commensal/api/respond"
	"commensal/api/work"
	"commensal/internal/stocking"
)

// MaxAnswer is the most bytes that an answer about a list has.
const MaxAnswer = 1 << 20

// maxTighter is how often an answer is made again with half of what can be left out: after
// that nothing is left that could be.
const maxTighter = 12

// errGone says that the client has gone: what was found is not whole, and nobody is told.
var errGone = &respond.Fault{Slug: respond.Overloaded, Detail: "The request was given up before it was answered."}

// encoded makes an answer that has at most [MaxAnswer] bytes. value gives it, the first time
// whole, then each time with half as much of what it may leave out.
func encoded(job *work.Job, value func(tighter int) any) (*respond.Reply, error) {
	return encodedBy(job, func(tighter int) (*respond.Reply, error) { return respond.JSON(value(tighter)) })
}

// encodedBy is encoded for an answer that is written in a way of its own.
func encodedBy(job *work.Job, write func(tighter int) (*respond.Reply, error)) (*respond.Reply, error) {
	for tighter := 0; ; tighter++ {
		if job.Gone() {
			return nil, errGone
		}
		answer, err := write(tighter)
		if err != nil || len(answer.Body) <= MaxAnswer || tighter == maxTighter {
			return answer, err
		}
	}
}

// halved is the first half of a list, and all of it the first time.
func halved[T any](list []T, tighter int) []T {
	if tighter == 0 {
		return list
	}
	return list[:len(list)/2]
}

// slimmer leaves the mildest pairings and findings and the latest events out of a check, and
// says how many.
func (t told) slimmer(tighter int) told {
	pairings, findings, events := len(t.worst)>>tighter, len(t.Findings)>>tighter, len(t.Outlook.Events)>>tighter
	t.FurtherFindings = len(t.Findings) - findings
	t.Findings = t.Findings[:findings]
	t.FurtherPairings += len(t.worst) - pairings
	t.worst = t.worst[:pairings]
	t.Outlook.Complete = t.Outlook.Complete && events == len(t.Outlook.Events)
	t.Outlook.Events = t.Outlook.Events[:events]
	return t
}

// growing reports whether some line is told with a length or an age, so that it grows.
func growing(lines []stocking.Line) bool {
	for i := range lines {
		if lines[i].AgeMonth > 0 || lines[i].LengthCM > 0 {
			return true
		}
	}
	return false
}

// Desk is where lists are judged.
func (s *Lists) Desk() *work.Desk { return s.desk }
