// Package lawtext reads law.yaml, the published rules of the catalogue, into the package law.
package lawtext

import (
	"errors"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strconv"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/law"
	"go.yaml.in/yaml/v3"
)

// File is the name of the text in a catalogue folder.
const File = "law.yaml"

// MaxBytes is the size of the largest text that is read.
const MaxBytes = 1 << 20

// Read reads the rules of a catalogue folder, none where it has no law.yaml. The kinds of the catalogue
// help to see contradictions. Faults come back together as [entry.Errors] with their lines.
func Read(files fs.FS, kinds []*species.Species) ([]law.Rule, error) {
	data, err := fs.ReadFile(files, File)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("catalogue: %w", err)
	}
	return Parse(File, data, kinds)
}

// Parse reads the text of a law.yaml. Name stands in the faults.
func Parse(name string, data []byte, kinds []*species.Species) ([]law.Rule, error) {
	var errs entry.Errors
	r := &reader{Reader: &entry.Reader{File: name, Errs: &errs}}
	r.text(data)
	if len(errs) == 0 {
		for _, c := range law.Contradictions(r.rules, kinds) {
			r.FailAt(c.Second.Line, c.Second.ID, c.String())
		}
	}
	if err := errs.OrNil(); err != nil {
		return nil, err
	}
	return r.rules, nil
}

type reader struct {
	*entry.Reader
	rules []law.Rule
}

func (r *reader) text(data []byte) {
	lines := make(map[string]int)
	for _, n := range r.ListOf("rules", data, MaxBytes) {
		rule := r.rule(n)
		if first, again := lines[rule.ID]; again && rule.ID != "" {
			r.Fail(n, rule.ID, "the rule stands on line %d already", first)
		}
		lines[rule.ID] = n.Line
		r.rules = append(r.rules, rule)
	}
}

// rule reads one rule.
func (r *reader) rule(n *yaml.Node) law.Rule {
	rule := law.Rule{Line: n.Line, TaxaBasis: law.Memory}
	r.Mapping(n, "", func(key string, _, v *yaml.Node) bool {
		read, known := ruleKeys[key]
		if known {
			read(r, v, &rule)
		}
		return known
	})
	if n.Kind == yaml.MappingNode {
		r.complete(n, &rule)
	}
	return rule
}

// ruleKeys are the keys of a rule with what reads them.
var ruleKeys = map[string]func(*reader, *yaml.Node, *law.Rule){
	"rule":       func(r *reader, n *yaml.Node, to *law.Rule) { to.ID, _ = r.Text(n, "rule") },
	"regulation": func(r *reader, n *yaml.Node, to *law.Rule) { to.Regulation, _ = r.Text(n, "regulation") },
	"number":     func(r *reader, n *yaml.Node, to *law.Rule) { to.Number, _ = r.Text(n, "number") },
	"note":       func(r *reader, n *yaml.Node, to *law.Rule) { to.Note, _ = r.Text(n, "note") },
	"year":       (*reader).year,
	"known":      (*reader).known,
	"regions":    (*reader).regions,
	"restricts":  (*reader).acts,
	"taxa":       func(r *reader, n *yaml.Node, to *law.Rule) { to.Taxa = r.taxa(n, "taxa") },
	"except":     func(r *reader, n *yaml.Node, to *law.Rule) { to.Except = r.taxa(n, "except") },
	"basis":      func(r *reader, n *yaml.Node, to *law.Rule) { to.Basis = r.basis(n, "basis") },
	"taxa_basis": func(r *reader, n *yaml.Node, to *law.Rule) { to.TaxaBasis = r.basis(n, "taxa_basis") },
}

// firstYear is before any law about pets.
const firstYear, lastYear = 1850, 2200

func (r *reader) year(n *yaml.Node, to *law.Rule) {
	year, err := strconv.Atoi(n.Value)
	if err != nil || n.Kind != yaml.ScalarNode || year < firstYear || year > lastYear {
		r.Fail(n, "year", "%s is no year", entry.Shorten(n.Value))
		return
	}
	to.Year = year
}

var yearAndMonth = regexp.MustCompile(`^(19|20)\d\d-(0[1-9]|1[0-2])$`)

func (r *reader) known(n *yaml.Node, to *law.Rule) {
	if text, ok := r.Text(n, "known"); ok {
		if !yearAndMonth.MatchString(text) {
			r.Fail(n, "known", "%s is no year and month, as in 2025-08", entry.Shorten(text))
		}
		to.Known = text
	}
}

func (r *reader) regions(n *yaml.Node, to *law.Rule) {
	for _, text := range r.List(n, "regions") {
		if !slices.Contains(law.Regions, law.Region(text)) {
			r.Fail(n, "regions", "%s is none of: %s", entry.Shorten(text), entry.Listed(law.Regions))
			continue
		}
		to.Regions = append(to.Regions, law.Region(text))
	}
}

func (r *reader) acts(n *yaml.Node, to *law.Rule) {
	r.Mapping(n, "restricts", func(key string, _, v *yaml.Node) bool {
		act, known := law.ActByKey(key)
		if !known {
			return false
		}
		text, ok := r.Text(v, key)
		if !ok {
			return true
		}
		if to.Acts[act], ok = law.DegreeByKey(text); !ok {
			r.Fail(v, key, "%s is none of: allowed, permit, forbidden", entry.Shorten(text))
		}
		return true
	})
}

// taxonShape is a species, a genus, a family or any.
var taxonShape = regexp.MustCompile(`^(any|[A-Z][a-z]+( [a-z]+(-[a-z]+)?)?)$`)

func (r *reader) taxa(n *yaml.Node, field string) []law.Taxon {
	var out []law.Taxon
	for _, text := range r.List(n, field) {
		if !taxonShape.MatchString(text) {
			r.Fail(n, field, "%s is no species, genus or family", entry.Shorten(text))
			continue
		}
		out = append(out, law.Taxon(text))
	}
	return out
}

func (r *reader) basis(n *yaml.Node, field string) law.Basis {
	text, ok := r.Text(n, field)
	if ok && text != string(law.Source) && text != string(law.Memory) {
		r.Fail(n, field, "%s is neither source nor memory", entry.Shorten(text))
	}
	return law.Basis(text)
}

// complete checks that a rule has what every rule has.
func (r *reader) complete(n *yaml.Node, rule *law.Rule) {
	for _, part := range []struct {
		field   string
		missing bool
	}{
		{"rule", rule.ID == ""}, {"regions", rule.Regions == nil}, {"regulation", rule.Regulation == ""}, {"number", rule.Number == ""},
		{"year", rule.Year == 0}, {"restricts", rule.Acts == [law.NumActs]law.Degree{}}, {"taxa", rule.Taxa == nil}, {"known", rule.Known == ""}, {"basis", rule.Basis == ""},
	} {
		if part.missing {
			r.Fail(n, part.field, "missing")
		}
	}
	if rule.ID != "" && !entry.IsID(rule.ID) {
		r.Fail(n, "rule", "%s is not made of small letters, digits and hyphens", entry.Shorten(rule.ID))
	}
}
