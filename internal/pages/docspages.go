package pages

import (
	"html/template"

	"commensal/internal/pages/docs"
)

type docsPage struct {
	Heading, Summary, Signature string
	Index                       bool
	About, Text                 template.HTML
	Scopes                      []string
	Tables                      []docsTable
	Examples                    []docs.Example
}

type docsTable struct {
	Label string
	Rows  []docsRow
}

type docsRow struct {
	Name, Path, Type, TypePath string
	Required                   bool
	Text                       template.HTML
}

func (q *request) docsFrame(body *docsPage, path string) *reply {
	return q.page("docs", frame{Title: body.Heading, Description: q.words.Say("docs.description"), Path: path, Here: "/docs", Body: body})
}

// docsIndex lists operations and schemas.
func (q *request) docsIndex() *reply {
	c, err := q.docs()
	if err != nil {
		return q.broken(err)
	}
	body := docsPage{Heading: q.words.Say("docs.title"), Index: true, About: c.About}
	for _, t := range c.Tags {
		table := docsTable{Label: q.words.Say("docs.operations") + ": " + t.Name}
		for _, op := range t.Operations {
			table.Rows = append(table.Rows, docsRow{Name: op.Method + " " + op.Path, Path: "/docs/operations/" + op.ID, Text: docs.Prose(op.Summary)})
		}
		if len(table.Rows) > 0 {
			body.Tables = append(body.Tables, table)
		}
	}
	table := docsTable{Label: q.words.Say("docs.schemas")}
	for _, name := range c.SchemaNames {
		table.Rows = append(table.Rows, docsRow{Name: name, Path: "/docs/schemas/" + name})
	}
	body.Tables = append(body.Tables, table, docsTable{Label: q.words.Say("reason.index"), Rows: []docsRow{{Name: "/docs/reasons", Path: "/docs/reasons", Text: docs.Prose(q.words.Say("reason.index.lead"))}}})
	if len(q.cfg.Problems) > 0 {
		problems := docsTable{Label: q.words.Say("docs.problems")}
		for _, l := range q.cfg.Problems {
			problems.Rows = append(problems.Rows, docsRow{Name: l.Label, Path: l.Path})
		}
		body.Tables = append(body.Tables, problems)
	}
	return q.docsFrame(&body, "/docs")
}

// docsOperation shows one operation.
func (q *request) docsOperation() *reply {
	c, err := q.docs()
	if err != nil {
		return q.broken(err)
	}
	op, ok := c.Operations[q.value("name")]
	if !ok {
		return q.missing()
	}
	body := docsPage{Heading: op.Summary, Signature: op.Method + " " + op.Path, Summary: op.ID, Text: op.Text, Scopes: op.Scopes, Examples: q.examples(op.Examples)}
	if body.Text == "" {
		body.Text = docs.Prose(op.Summary)
	}
	body.add(q.words.Say("docs.parameters"), op.Parameters)
	if op.Body != nil {
		body.add(q.words.Say("docs.body"), []docs.Field{*op.Body})
	}
	body.add(q.words.Say("docs.answers"), op.Answers)
	return q.docsFrame(&body, "/docs/operations/"+op.ID)
}

// docsSchema shows one schema.
func (q *request) docsSchema() *reply {
	c, err := q.docs()
	if err != nil {
		return q.broken(err)
	}
	s, ok := c.Schemas[q.value("name")]
	if !ok {
		return q.missing()
	}
	body := docsPage{Heading: s.Name, Summary: s.Type, Text: s.Text, Examples: q.examples(s.Examples)}
	if body.Text == "" {
		body.Text = docs.Prose(s.Name)
	}
	body.add(q.words.Say("docs.values"), s.Values)
	body.add(q.words.Say("docs.fields"), s.Fields)
	return q.docsFrame(&body, "/docs/schemas/"+s.Name)
}

// examples labels those that have no label of their own.
func (q *request) examples(list []docs.Example) []docs.Example {
	out := make([]docs.Example, len(list))
	for i, e := range list {
		e.Label = q.words.Say("docs.example")
		out[i] = e
	}
	return out
}

func (p *docsPage) add(label string, fields []docs.Field) {
	if len(fields) == 0 {
		return
	}
	t := docsTable{Label: label}
	for _, f := range fields {
		row := docsRow{Name: f.Name, Type: f.Type, Required: f.Required, Text: f.Text}
		if f.Schema != "" {
			row.TypePath = "/docs/schemas/" + f.Schema
		}
		t.Rows = append(t.Rows, row)
	}
	p.Tables = append(p.Tables, t)
}
