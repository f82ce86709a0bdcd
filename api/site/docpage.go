package site

import (
	"html/template"
	"slices"
	"strings"

	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/internal/auth"

	"go.yaml.in/yaml/v3"
)

// The contract as far as the readable page shows it. Paths keep the order of the
// document.
type docPage struct {
	Title, Version, Summary string
	Description             template.HTML
	Operations              []docOperation
	Problems                []respond.ProblemType
}

type docOperation struct {
	Method, Path, Anchor, Summary string
	Scopes                        []auth.Scope
	Description                   template.HTML
	Parameters                    []docParameter
	Answers                       []docAnswer
}

type docParameter struct {
	Name, In, Values string
	Required         bool
	Description      template.HTML
}

type docAnswer struct {
	Status, Description string
}

// newDocPage reads the contract for the page.
func newDocPage(text []byte) (docPage, error) {
	var doc struct {
		Info  map[string]any
		Paths yaml.Node
	}
	if err := yaml.Unmarshal(text, &doc); err != nil {
		return docPage{}, err
	}
	contract, err := validate.Compile(text)
	if err != nil {
		return docPage{}, err
	}
	page := docPage{Problems: respond.ProblemTypes}
	page.Title, _ = doc.Info["title"].(string)
	page.Version, _ = doc.Info["version"].(string)
	page.Summary, _ = doc.Info["summary"].(string)
	page.Description = prose(doc.Info["description"])
	for i := 0; i+1 < len(doc.Paths.Content); i += 2 {
		path := doc.Paths.Content[i].Value
		methods := validate.AsMap(validate.AsMap(contract.Document["paths"])[path])
		for _, method := range []string{"get", "post", "put", "patch", "delete"} {
			if op := validate.AsMap(methods[method]); op != nil {
				page.Operations = append(page.Operations, newDocOperation(contract, method, path, op))
			}
		}
	}
	return page, nil
}

func newDocOperation(c *validate.Contract, method, path string, op map[string]any) docOperation {
	out := docOperation{Method: strings.ToUpper(method), Path: path, Description: prose(op["description"])}
	out.Anchor, _ = op["operationId"].(string)
	out.Summary, _ = op["summary"].(string)
	out.Scopes = c.Operations[out.Anchor].Scopes
	for _, p := range validate.AsList(op["parameters"]) {
		out.Parameters = append(out.Parameters, newDocParameter(c, c.Follow(p)))
	}
	for status, answer := range validate.AsMap(op["responses"]) {
		a := docAnswer{Status: status}
		a.Description, _ = c.Follow(answer)["description"].(string)
		out.Answers = append(out.Answers, a)
	}
	slices.SortFunc(out.Answers, func(a, b docAnswer) int { return strings.Compare(a.Status, b.Status) })
	return out
}

func newDocParameter(c *validate.Contract, p map[string]any) docParameter {
	out := docParameter{Description: prose(p["description"])}
	out.Name, _ = p["name"].(string)
	out.In, _ = p["in"].(string)
	out.Required, _ = p["required"].(bool)
	schema := c.Follow(p["schema"])
	var words []string
	for _, w := range validate.AsList(schema["enum"]) {
		if word, ok := w.(string); ok {
			words = append(words, word)
		}
	}
	out.Values = strings.Join(words, ", ")
	return out
}

// prose renders the little Markdown that the contract uses: paragraphs, `code` and
// **bold**. Everything else is escaped.
func prose(v any) template.HTML {
	text, _ := v.(string)
	var b strings.Builder
	for paragraph := range strings.SplitSeq(strings.TrimSpace(text), "\n\n") {
		if paragraph == "" {
			continue
		}
		b.WriteString("<p>" + spans(spans(template.HTMLEscapeString(paragraph), "`", "code"), "**", "strong") + "</p>")
	}
	return template.HTML(b.String()) // escaped above; only p, code and strong are added
}

// spans puts what stands between two marks into an element; a lone mark stays.
func spans(text, mark, element string) string {
	parts := strings.Split(text, mark)
	if len(parts)%2 == 0 {
		return text
	}
	for i := 1; i < len(parts); i += 2 {
		parts[i] = "<" + element + ">" + parts[i] + "</" + element + ">"
	}
	return strings.Join(parts, "")
}
