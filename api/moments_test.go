package api_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/validate"
	"commensal/internal/moment"
)

// Wherever a request has a day or a time, it may have the other too, and what is neither is answered with how to write it.
func TestADayAndATimeAreReadWhereverOneOfThemIs(t *testing.T) {
	h := apitest.NewService(t)
	ours, found := h.Things("here"), 0
	for _, op := range apitest.KeyedOperations(t) {
		key := h.Good(op, "here")
		for _, p := range validate.AsList(apitest.Contract().Described(op)["parameters"]) {
			p := apitest.Contract().Follow(p)
			name, _ := p["name"].(string)
			if format := apitest.Contract().Follow(p["schema"])["format"]; isDated(t, op.ID, name, format) {
				found++
				readsDates(t, op.ID, "/query/"+name, func(text string) apitest.Answer {
					return h.Do(op.Method, ours.At(t, op)+"?"+url.Values{name: {text}}.Encode(), "", key...)
				})
			}
		}
		if !op.HasBody() {
			continue
		}
		for pointer := range fieldsOf(schemaOf(op), func(s map[string]any) bool { return isDated(t, op.ID, "a field", s["format"]) }) {
			found++
			readsDates(t, op.ID, pointer, func(text string) apitest.Answer {
				return h.CallWith(op, ours, with(t, apitest.ExampleBody(t, op), pointer, text), key...)
			})
		}
	}
	if found < 7 {
		t.Errorf("only %d are found", found)
	}
}

// isDated reports a day or a time. A request may not have one alone.
func isDated(t *testing.T, operation, name string, format any) bool {
	t.Helper()
	if format == "date" || format == "date-time" {
		t.Errorf("%s: %s takes a %s and not the other", operation, name, format)
	}
	return format == "day-or-time"
}

func readsDates(t *testing.T, what, pointer string, send func(string) apitest.Answer) {
	t.Helper()
	for _, text := range []string{"2026-11-01", "2026-11-01T12:00:00Z", "2026-11-01T12:00:00+01:00"} {
		if a := send(text); a.Code == http.StatusBadRequest {
			t.Errorf("%s %s: %q is answered %s", what, pointer, text, a.Body)
		}
	}
	p := apitest.ProblemIn(t, send("yesterday"))
	if p.Errors == nil || !slices.ContainsFunc(*p.Errors, func(e gen.FieldError) bool {
		return e.Pointer == pointer && e.Fix != nil && strings.Contains(*e.Fix, moment.Help())
	}) {
		t.Errorf("%s %s: %+v", what, pointer, p)
	}
}
