package validate

import (
	"errors"
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"

	"commensal/internal/moment"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/santhosh-tekuri/jsonschema/v6/kind"
)

// checkQuery checks the whole query string.
func (o *Operation) checkQuery(raw string) error {
	if raw == "" {
		return nil
	}
	values, err := url.ParseQuery(raw)
	if err != nil {
		return &respond.Fault{Slug: respond.MalformedParameter, Detail: "The query string cannot be decoded: percent signs and semicolons must be percent-encoded."}
	}
	found := respond.Faults{Malformed: respond.MalformedParameter}
	for _, name := range sortedKeys(values) {
		p, ok := o.Query(name)
		switch {
		case !ok:
			found.Malformed = respond.UnknownParameter
			found.Unreadable = append(found.Unreadable, o.unknown(name))
		case len(values[name]) > 1:
			found.Unreadable = append(found.Unreadable, respond.AtQuery(name, "The parameter "+name+" is given more than once.", "give it once"))
		default:
			p.check(values[name][0], &found)
		}
	}
	return found.Err()
}

func sortedKeys(values url.Values) []string {
	keys := make([]string, 0, len(values))
	for k := range values {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// unknown describes a query parameter that the operation does not have.
func (o *Operation) unknown(name string) gen.FieldError {
	var names []string
	for _, p := range o.Parameters {
		if p.In == "query" {
			names = append(names, p.Name)
		}
	}
	shown := Printable(name)
	detail := "There is no query parameter " + strconv.Quote(shown) + " here."
	if len(names) == 0 {
		return respond.AtQuery(shown, detail, "this path takes no query parameters")
	}
	if near, ok := Nearest(name, names); ok {
		return respond.AtQuery(shown, detail, "did you mean "+near+"?")
	}
	return respond.AtQuery(shown, detail, "this path takes "+strings.Join(names, ", "))
}

// check checks the text of one query parameter.
func (p *parameter) check(text string, found *respond.Faults) {
	if what := NotText(text); what != "" {
		found.Unreadable = append(found.Unreadable, respond.AtQuery(p.Name, p.Name+": "+lowerFirst(what), "write one line of plain text"))
		return
	}
	value, what := p.value(text)
	if what != "" {
		found.Unreadable = append(found.Unreadable, respond.AtQuery(p.Name, p.Name+": "+strconv.Quote(Printable(text))+" "+what+".", p.howToWrite()))
		return
	}
	if p.kind == "string" && p.fits(text) {
		return
	}
	err := p.schema().Validate(value)
	if err == nil {
		return
	}
	for _, v := range violations(err) {
		if v.impossible && p.kind != "string" {
			found.Impossible = append(found.Impossible, respond.AtQuery(p.Name, p.Name+" "+v.what+".", v.fix))
			continue
		}
		found.Unreadable = append(found.Unreadable, respond.AtQuery(p.Name, p.Name+" "+v.what+".", p.howToWrite()))
	}
}

// value reads the text as the parameter's type, or says what is wrong with it.
func (p *parameter) value(text string) (value any, what string) {
	switch p.kind {
	case "integer":
		if !isInteger(text) {
			return nil, "is not a whole number"
		}
		x, err := strconv.ParseInt(text, 10, 32)
		if err != nil { // out of every range of the contract, on its side
			x = math.MaxInt32
			if text[0] == '-' {
				x = math.MinInt32
			}
		}
		return float64(x), ""
	case "number":
		x, ok := PlainNumber(text)
		if !ok {
			return nil, "is not a plain decimal number"
		}
		return x, ""
	}
	return text, ""
}

// howToWrite is the fix for a value of the wrong kind.
func (p *parameter) howToWrite() string {
	switch {
	case len(p.words) > 0:
		return oneOf(p.words)
	case p.format == dayOrTime.Name:
		return moment.Help()
	case p.kind == "integer":
		return "write digits only, as in 12"
	case p.kind == "number":
		return "write plain digits with a point, as in 0.5"
	case p.Name == "cursor":
		return "leave the cursor out to begin again, and follow next from there"
	}
	return "write it as the contract describes " + p.Name
}

func isInteger(s string) bool {
	s = strings.TrimPrefix(s, "-")
	return s != "" && len(s) <= 64 && strings.Trim(s, "0123456789") == ""
}

// PlainNumber reads decimal digits with at most one point and a leading minus.
func PlainNumber(s string) (float64, bool) {
	whole, fraction, point := strings.Cut(s, ".")
	if !isInteger(whole) || point && (strings.HasPrefix(fraction, "-") || !isInteger(fraction)) {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil
}

// violation is one broken rule of a schema in words.
type violation struct {
	pointer    string // where, as a JSON Pointer
	what       string
	fix        string
	impossible bool // readable but out of range: 422 rather than 400
}

// violations lists the broken rules behind a schema's error.
func violations(err error) []violation {
	var e *jsonschema.ValidationError
	if !errors.As(err, &e) {
		return []violation{{what: "is not as the contract describes it"}}
	}
	if len(e.Causes) == 0 {
		return violationsOf(e)
	}
	if _, either := e.ErrorKind.(*kind.OneOf); either {
		return violationsOfEither(e)
	}
	var out []violation
	for _, cause := range e.Causes {
		out = append(out, violations(cause)...)
	}
	return out
}

// violationsOfEither tells of a value that fits none of several schemas by the one whose
// kind it has; where it has the kind of none, by all kinds together.
func violationsOfEither(e *jsonschema.ValidationError) []violation {
	var kinds []string
	for _, cause := range e.Causes {
		k, wrongKind := cause.ErrorKind.(*kind.Type)
		if !wrongKind {
			return violations(cause)
		}
		kinds = append(kinds, k.Want...)
	}
	return []violation{{pointer: pointerOf(e.InstanceLocation),
		what: "is of the wrong kind: " + strings.Join(kinds, " or ") + " belongs here"}}
}

func violationsOf(e *jsonschema.ValidationError) []violation {
	at := pointerOf(e.InstanceLocation)
	v := violation{pointer: at, what: "is not as the contract describes it"}
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	switch k := e.ErrorKind.(type) {
	case *kind.AdditionalProperties:
		var out []violation
		for _, name := range k.Properties[:min(len(k.Properties), respond.MaxEntries)] {
			out = append(out, violation{pointer: at + "/" + respond.PointerToken(Printable(name)), what: "is not a field that the contract knows", fix: "leave it out"})
		}
		return out
	case *kind.Required:
		var out []violation
		for _, name := range k.Missing {
			out = append(out, violation{pointer: at + "/" + respond.PointerToken(name), what: "is missing", fix: "add it"})
		}
		return out
	case *kind.Type:
		if k.Got == "number" && slices.Equal(k.Want, []string{"integer"}) {
			v.what, v.fix = "is not a whole number", "write a whole number, as in 12"
			break
		}
		v.what = "is of the wrong kind: " + k.Got + " where " + strings.Join(k.Want, " or ") + " belongs"
	case *kind.Format:
		v.what, v.fix = "is neither a day nor a time", "write it as the contract describes it"
		if k.Want == dayOrTime.Name {
			v.fix = moment.Help()
		}
	case *kind.Enum:
		v.what, v.fix = "is not one of the words that are known", oneOf(textsIn(k.Want))
		if got, isText := k.Got.(string); isText && got != "" {
			v.what = "is " + strconv.Quote(Printable(got)) + ", which is " + v.what[len("is "):]
		}
	case *kind.Minimum:
		want, _ := k.Want.Float64()
		v.what, v.fix, v.impossible = "is below "+number(want), "write at least "+number(want), true
	case *kind.Maximum:
		want, _ := k.Want.Float64()
		v.what, v.fix, v.impossible = "is above "+number(want), "write at most "+number(want), true
	case *kind.MinLength:
		v.what, v.fix, v.impossible = "is empty", "write something", true
		if k.Got > 0 {
			v.what, v.fix = "is too short", "write at least "+strconv.Itoa(k.Want)+" characters"
		}
	case *kind.MaxLength:
		v.what, v.fix, v.impossible = "is too long", "write at most "+strconv.Itoa(k.Want)+" characters", true
	case *kind.MinItems:
		v.what, v.fix, v.impossible = "has too few entries", "give at least "+strconv.Itoa(k.Want), true
	case *kind.MaxItems:
		v.what, v.fix, v.impossible = "has "+strconv.Itoa(k.Got)+" entries, which is too many", "give at most "+strconv.Itoa(k.Want), true
	}
	return []violation{v}
}

// oneOf is the fix for a word that is not known: all that are.
func oneOf(words []string) string { return "write one of " + strings.Join(words, ", ") }

// textsIn are the texts of a list.
func textsIn(list []any) []string {
	out := make([]string, len(list))
	for i, v := range list {
		out[i] = fmt.Sprint(v)
	}
	return out
}

func pointerOf(tokens []string) string {
	var b strings.Builder
	for _, t := range tokens {
		b.WriteString("/" + respond.PointerToken(Printable(t)))
	}
	return b.String()
}
