package records

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/internal/store"
)

// columns are the names over the rows of an export. New ones go behind them: people count columns.
var columns = []string{"id", "decided_at", "decision", "summary", "external_ref", "tank", "residents", "incoming",
	"overrides", "override_reason", "override_staff_ref", "outcome", "outcome_reason", "outcome_at", "key", "catalogue_revision", "model_version", "program_version"}

// rowsWriter writes each record as a row for a spreadsheet (RFC 4180), under the names of the columns.
func rowsWriter(w io.Writer) exporter {
	rows := csv.NewWriter(w)
	rows.UseCRLF = true
	begun := false
	begin := func() error { // not before there is something to send: until then a failure can be told
		if begun {
			return nil
		}
		begun = true
		return rows.Write(columns)
	}
	flush := func() error {
		rows.Flush()
		return rows.Error()
	}
	return exporter{
		each: func(c store.CheckRecord) error {
			row, err := rowOf(&c)
			if err != nil {
				return err
			}
			if err := begin(); err != nil {
				return err
			}
			if err := rows.Write(row); err != nil {
				return err
			}
			return flush()
		},
		end: func() error {
			if err := begin(); err != nil {
				return err
			}
			return flush()
		},
	}
}

// rowOf is a record in the order of [columns].
func rowOf(c *store.CheckRecord) ([]string, error) {
	var list gen.RecordedInput
	if err := json.Unmarshal(c.Input, &list); err != nil {
		return nil, fmt.Errorf("api: the input of record %v: %w", c.ID, err)
	}
	head := recordedWire(*c)
	var last gen.Override
	if n := len(head.Overrides); n > 0 {
		last = head.Overrides[n-1]
	}
	row := []string{head.Id, moment(&head.DecidedAt), string(head.Decision), head.Summary, text(head.ExternalRef), text(head.Tank), linesText(list.Residents), linesText(list.Incoming),
		strconv.Itoa(len(head.Overrides)), last.Reason, text(last.StaffRef), text(head.Outcome), text(head.OutcomeReason), moment(head.OutcomeAt),
		head.Key, strconv.FormatInt(head.CatalogueRevision, 10), head.ModelVersion, head.ProgramVersion}
	for i := range row {
		row[i] = harmless(row[i])
	}
	return row, nil
}

func text[T ~string](s *T) string {
	if s == nil {
		return ""
	}
	return string(*s)
}

func moment(at *time.Time) string {
	if at == nil {
		return ""
	}
	return at.UTC().Format(time.RFC3339)
}

// linesText are the lines of a list, one behind the other.
func linesText(lines []gen.LineInput) string {
	out := make([]string, len(lines))
	for i, l := range lines {
		if out[i] = l.Species; l.Count != nil {
			out[i] = strconv.FormatFloat(*l.Count, 'f', -1, 64) + " " + l.Species
		}
	}
	return strings.Join(out, "; ")
}

// formulaStarts are the characters that a spreadsheet takes for the beginning of a formula, or leaves out before one:
// the full-width forms count where East Asian text is written.
const formulaStarts = "=+-@\t\r\n＝＋－＠"

// harmless is a cell that no spreadsheet takes for a formula: one that would be has an apostrophe before it.
func harmless(cell string) string {
	if first, size := utf8.DecodeRuneInString(cell); size > 0 && strings.ContainsRune(formulaStarts, first) {
		return "'" + cell
	}
	return cell
}
