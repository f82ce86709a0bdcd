package docs

import (
	"strings"
	"testing"

	"commensal"
)

func TestTheWholeContractIsShown(t *testing.T) {
	c, err := Read(commensal.Contract())
	if err != nil {
		t.Fatal(err)
	}
	listed := 0
	for _, tag := range c.Tags {
		listed += len(tag.Operations)
	}
	if listed != len(c.Operations) || strings.Count(string(commensal.Contract()), "operationId:") != listed {
		t.Errorf("%d operations are listed of %d", listed, len(c.Operations))
	}
	for id, op := range c.Operations {
		if op.Summary == "" || len(op.Answers) == 0 {
			t.Errorf("%s: summary %q, %d answers", id, op.Summary, len(op.Answers))
		}
		for _, f := range append(op.Parameters, op.Answers...) {
			if f.Schema != "" && c.Schemas[f.Schema] == nil {
				t.Errorf("%s: %s leads to the schema %s, which is not shown", id, f.Name, f.Schema)
			}
			if strings.Contains(f.Type, "<nil>") {
				t.Errorf("%s: %s has no type", id, f.Name)
			}
		}
	}
	for name, s := range c.Schemas {
		for _, f := range s.Fields {
			if f.Schema != "" && c.Schemas[f.Schema] == nil || strings.Contains(f.Type, "<nil>") {
				t.Errorf("%s.%s: %s %s", name, f.Name, f.Type, f.Schema)
			}
		}
	}
	if check := c.Operations["checkList"]; check == nil || check.Method != "POST" || check.Body == nil || check.Body.Schema != "CheckRequest" || len(check.Examples) == 0 {
		t.Errorf("%+v", check)
	}
}

func TestProseEscapes(t *testing.T) {
	if got := Prose("a <b> `c` **d** `e\n\nf"); got != "<p>a &lt;b&gt; `c` <strong>d</strong> `e</p><p>f</p>" {
		t.Error(got)
	}
	if got := Prose("`x` and **y**"); got != "<p><code>x</code> and <strong>y</strong></p>" {
		t.Error(got)
	}
}

func TestABrokenContractIsRefused(t *testing.T) {
	if _, err := Read([]byte("a: [")); err == nil {
		t.Error("read")
	}
}
