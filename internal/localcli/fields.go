package localcli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// maxListDepth is the deepest nesting of a list file.
const maxListDepth = 16

// readFields reads a list in YAML or JSON, with the fields of the API.
func (f *List) readFields(text []byte) error {
	d := yaml.NewDecoder(bytes.NewReader(text))
	var document, more yaml.Node
	if err := d.Decode(&document); err != nil {
		return f.notYAML(err)
	}
	if err := d.Decode(&more); !errors.Is(err, io.EOF) {
		return &FileError{f.name, more.Line, "a second document begins here: one file is one list"}
	}
	value, err := f.value(document.Content[0], "", 0)
	if err == nil {
		err = f.nothingRecorded()
	}
	if err != nil {
		return err
	}
	f.body, err = json.Marshal(value)
	return err
}

// nothingRecorded refuses the fields of a list that is to be recorded: a list file is judged here and
// now, and the service, which records, wants a key for that.
func (f *List) nothingRecorded() error {
	for _, field := range [...]string{"record", "external_ref", "external_ref_unique"} {
		if line, there := f.lines["/"+field]; there {
			return &FileError{f.name, line, field + " is for the service, which records checks: nothing is stored here, so leave the line out"}
		}
	}
	return nil
}

var yamlLine = regexp.MustCompile(`line (\d+): `)

func (f *List) notYAML(err error) error {
	if errors.Is(err, io.EOF) {
		return &FileError{f.name, 0, "there is no list in it"}
	}
	what, line := strings.TrimPrefix(err.Error(), "yaml: "), 0
	if m := yamlLine.FindStringSubmatch(what); m != nil {
		line, _ = strconv.Atoi(m[1])
		what = strings.Replace(what, m[0], "", 1)
	}
	return &FileError{f.name, line, "this is neither YAML nor JSON: " + what}
}

func (f *List) value(n *yaml.Node, pointer string, depth int) (any, error) {
	f.lines[pointer] = n.Line
	if depth > maxListDepth {
		return nil, &FileError{f.name, n.Line, "it is nested too deep"}
	}
	switch n.Kind {
	case yaml.MappingNode:
		return f.mapping(n, pointer, depth)
	case yaml.SequenceNode:
		list := make([]any, len(n.Content))
		for i, c := range n.Content {
			v, err := f.value(c, pointer+"/"+strconv.Itoa(i), depth+1)
			if err != nil {
				return nil, err
			}
			list[i] = v
		}
		return list, nil
	case yaml.ScalarNode:
		return f.scalar(n, pointer)
	}
	return nil, &FileError{f.name, n.Line, "references are not read: write the value again"}
}

func (f *List) mapping(n *yaml.Node, pointer string, depth int) (any, error) {
	fields := map[string]any{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if key.Kind != yaml.ScalarNode {
			return nil, &FileError{f.name, key.Line, "a field's name has to be a plain word"}
		}
		if _, twice := fields[key.Value]; twice {
			return nil, &FileError{f.name, key.Line, fmt.Sprintf("%s is given twice", key.Value)}
		}
		at := pointer + "/" + strings.NewReplacer("~", "~0", "/", "~1").Replace(key.Value)
		v, err := f.value(n.Content[i+1], at, depth+1)
		if err != nil {
			return nil, err
		}
		f.lines[at], fields[key.Value] = key.Line, v
	}
	return fields, nil
}

// answers are what people write for true and false.
var answers = map[string]bool{"yes": true, "no": false, "on": true, "off": false}

func (f *List) scalar(n *yaml.Node, pointer string) (any, error) {
	switch n.ShortTag() {
	case "!!null":
		return nil, &FileError{f.name, n.Line, strings.TrimPrefix(pointer[strings.LastIndexByte("/"+pointer, '/'):], "/") + " has no value: fill it in or leave the line out"}
	case "!!bool":
		return strings.EqualFold(n.Value, "true"), nil
	case "!!int", "!!float":
		var x float64
		if err := n.Decode(&x); err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, &FileError{f.name, n.Line, strconv.Quote(n.Value) + " is not a number"}
		}
		return x, nil
	}
	if yes, ok := answers[strings.ToLower(n.Value)]; ok && n.Style == 0 {
		return yes, nil
	}
	return n.Value, nil
}
