package api_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"commensal/api/validate"
)

// contractFile is where the examples stand.
const contractFile = "../openapi.yaml"

// writeExample puts an answer into the contract as the example of an operation: long lists are cut short, and ids and moments
// made the same every time.
func writeExample(op *validate.Operation, status int, answer any) error {
	text, err := os.ReadFile(contractFile)
	if err != nil {
		return err
	}
	doc := string(text)
	at := strings.Index(doc, "operationId: "+op.ID+"\n")
	if i := strings.Index(doc[at:], "\n        '"+strconv.Itoa(status)+"':\n"); i >= 0 {
		at += i
	}
	i := strings.Index(doc[at:], "              schema:")
	if i < 0 {
		return fmt.Errorf("%s has no schema for %d", op.ID, status)
	}
	at += i + strings.IndexByte(doc[at+i:], '\n') + 1
	end := at
	for strings.HasPrefix(doc[end:], "              example:\n") || end > at && strings.HasPrefix(doc[end:], "                ") {
		end += strings.IndexByte(doc[end:], '\n') + 1
	}
	w := exampleWriter{ids: map[string]int{}}
	lines := w.block(w.short(answer, "", 0), 16)
	return os.WriteFile(contractFile, []byte(doc[:at]+"              example:\n"+strings.Join(lines, "\n")+"\n"+doc[end:]), 0o644)
}

// exampleWriter writes values as YAML.
type exampleWriter struct{ ids map[string]int }

// whole are the lists that mean little when they are cut short.
var whole = []string{"factors", "band", "interval", "scores", "lines", "errors", "residents", "incoming"}

var (
	uuids   = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}`)
	moments = regexp.MustCompile(`20\d\d-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z`)
	secrets = regexp.MustCompile(`cmsl_[a-z2-7]{16}_[a-z2-7]+`)
	keyIDs  = regexp.MustCompile(`^[a-z2-7]{16}$`)
)

// short cuts lists to two entries, those deep inside to one, and makes texts that differ each time the same.
func (w *exampleWriter) short(v any, name string, depth int) any {
	switch v := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for key, x := range v {
			out[key] = w.short(x, key, depth+1)
		}
		return out
	case []any:
		most := 2
		if depth > 2 && name != "species" {
			most = 1
		}
		if !slices.Contains(whole, name) && !(name == "species" && len(v) <= 3) {
			v = v[:min(most, len(v))]
		}
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = w.short(x, "", depth+1)
		}
		return out
	case string:
		return w.steady(v)
	}
	return v
}

func (w *exampleWriter) steady(text string) string {
	text = uuids.ReplaceAllStringFunc(text, func(id string) string {
		if w.ids[id] == 0 {
			w.ids[id] = len(w.ids) + 1
		}
		return fmt.Sprintf("01a214c6-b559-725b-890d-%012x", 0xd40b6302fac0+w.ids[id])
	})
	text = moments.ReplaceAllString(text, "2026-11-25T12:00:00Z")
	text = secrets.ReplaceAllString(text, "cmsl_… (shown once)")
	return keyIDs.ReplaceAllString(text, "h3k2m7q4x5z6b3n4")
}

// widest is the longest line of an example.
const widest = 140

// block writes a value over as many lines as it needs, entries that fit on one line so.
func (w *exampleWriter) block(v any, indent int) (lines []string) {
	add := func(head string, x any) {
		if inline := flow(x); indent+len(head)+len(inline) <= widest || !nested(x) {
			lines = append(lines, strings.Repeat(" ", indent)+head+inline)
			return
		}
		inner := w.block(x, indent+2)
		if head == "- " {
			inner[0] = strings.Repeat(" ", indent) + head + strings.TrimLeft(inner[0], " ")
			lines = append(lines, inner...)
			return
		}
		lines = append(append(lines, strings.Repeat(" ", indent)+strings.TrimRight(head, " ")), inner...)
	}
	switch v := v.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(v)) {
			add(key+": ", v[key])
		}
	case []any:
		for _, x := range v {
			add("- ", x)
		}
	}
	return lines
}

func nested(v any) bool {
	switch v.(type) {
	case map[string]any, []any:
		return true
	}
	return false
}

// flow writes a value on one line, which is JSON but for its keys and plain words.
func flow(v any) string {
	var parts []string
	switch v := v.(type) {
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(v)) {
			parts = append(parts, key+": "+flow(v[key]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case []any:
		for _, x := range v {
			parts = append(parts, flow(x))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case string:
		if plainWords.MatchString(v) && !otherKinds.MatchString(v) {
			return v
		}
		return strconv.Quote(v)
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	text, _ := json.Marshal(v) // true, false or null
	return string(text)
}

var (
	plainWords = regexp.MustCompile(`^[A-Za-z/][A-Za-z0-9_./ -]*[A-Za-z0-9_./]$`)
	otherKinds = regexp.MustCompile(`(?i)^(true|false|null|yes|no|on|off)$`)
)
