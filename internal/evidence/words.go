package evidence

import "commensal/internal/conflict"

// The statements about reports.
const (
	ReportsNone conflict.Code = "reports.none"
	ReportsSum  conflict.Code = "reports.sum"
)

const (
	wordReport  conflict.WordCode = "report"
	wordReports conflict.WordCode = "reports"
)

// english are the English words.
var english = conflict.English(false).With(conflict.Table{
	Sentences: map[conflict.Code]string{
		ReportsNone: "Nobody has reported how such a keeping went: the model stands alone.",
		ReportsSum: "{reports} {0} from keepers: {fine} without trouble, {trouble} with. Together with the model's {prior} of 100 that makes {risk}, " +
			"most likely {low} to {high}.",
	},
	Words: map[conflict.WordCode]string{wordReport: "report", wordReports: "reports"},
})

// Summary is what the reports come to in a sentence or two, for a prior risk from 0 to 1
// and what the reports made of it.
func (t *Tally) Summary(prior float64, after Belief) string {
	return english.Say(t.statement(prior, after))
}

func (t *Tally) statement(prior float64, after Belief) conflict.Statement {
	if t.Reports() == 0 {
		return conflict.Statement{Code: ReportsNone}
	}
	word := wordReports
	if t.Reports() == 1 {
		word = wordReport
	}
	value := func(name string, x float64) conflict.Evidence { return conflict.Evidence{Name: name, Value: x} }
	return conflict.Statement{Code: ReportsSum, Words: []conflict.WordCode{word}, Evidence: []conflict.Evidence{
		value("reports", float64(t.Reports())), value("fine", float64(t.Counts[Fine])), value("trouble", float64(t.TroubleReports())),
		value("prior", 100*prior), value("risk", 100*after.Mean), value("low", 100*after.Low), value("high", 100*after.High),
	}}
}
