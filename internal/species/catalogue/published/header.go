package published

import (
	"fmt"
	"slices"
	"strings"

	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/sheet"
)

// role is what a column is for.
type role uint8

const (
	setAside role = iota // a column that is not compared
	nameRole
	idRole
	kindRole
	lowRole // of a range, and the number of a measure without one
	highRole
)

// column is a column of a table as its header says.
type column struct {
	header string
	role   role
	of     measure
	kind   LengthKind // of a length, where the header says it
	says   bool       // whether the header says it
	number func(cell string) (float64, error)
}

// columnWords are the headers without their unit, in small letters, with blanks between the words.
var columnWords = map[string]column{
	"scientificname": {role: nameRole}, "scientific name": {role: nameRole}, "name in source": {role: nameRole},
	"taxonid": {role: idRole}, "id": {role: idRole},
	"length kind": {role: kindRole}, "length type": {role: kindRole},
	"maximum length":             {role: lowRole, of: maximumLength},
	"maximum total length":       {role: lowRole, of: maximumLength, kind: TotalLength, says: true},
	"maximum standard length":    {role: lowRole, of: maximumLength, kind: StandardLength, says: true},
	"maximum fork length":        {role: lowRole, of: maximumLength, kind: ForkLength, says: true},
	"maximum disc width":         {role: lowRole, of: maximumLength, kind: DiscWidth, says: true},
	"temperature low":            {role: lowRole, of: temperature},
	"temperature high":           {role: highRole, of: temperature},
	"ph low":                     {role: lowRole, of: ph},
	"ph high":                    {role: highRole, of: ph},
	"hardness low":               {role: lowRole, of: hardness},
	"hardness high":              {role: highRole, of: hardness},
	"maximum age":                {role: lowRole, of: maximumAge},
	"depth ratio":                {role: lowRole, of: depthRatio, kind: TotalLength, says: true},
	"depth over standard length": {role: lowRole, of: depthRatio, kind: StandardLength, says: true},
}

// unitWords are spellings of units that tables use and the catalogue does not.
var unitWords = map[string]string{
	"years": "year", "yr": "year", "months": "month", "ph": "pH", "c": "C", "f": "°F", "dh": "dH", "degc": "C", "ratio": "share",
}

// header reads the header of a table; nil when it is at fault.
func (r *reader) header(line int, cells []string) []column {
	before := len(*r.Errs)
	columns := make([]column, len(cells))
	seen := make(map[[3]string]string)
	for i, cell := range cells {
		r.Column = strings.TrimSpace(cell)
		columns[i] = r.column(line, r.Column)
		c := columns[i]
		if c.role == setAside {
			continue
		}
		key := [3]string{fmt.Sprint(c.role), fmt.Sprint(c.of), string(c.kind)}
		if first, again := seen[key]; again {
			r.FailAt(line, "", "says the same as the column "+first)
		}
		seen[key] = r.Column
	}
	r.Column = ""
	r.complete(line, columns)
	if len(*r.Errs) > before {
		return nil
	}
	return columns
}

// column finds what one header stands for.
func (r *reader) column(line int, header string) column {
	words, unit, hasUnit := strings.Cut(header, "[")
	words = strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(words), "_", " ")), " ")
	if rest, short := strings.CutPrefix(words, "max "); short {
		words = "maximum " + rest
	}
	for _, of := range []string{"gh ", "dh "} {
		if rest, ok := strings.CutPrefix(words, of); ok && !hasUnit {
			words, unit, hasUnit = "hardness "+rest, "dH]", true
		}
	}
	c, known := columnWords[words]
	if cut := strings.LastIndexByte(words, ' '); !known && !hasUnit && cut > 0 {
		if c, known = columnWords[words[:cut]]; known {
			unit, hasUnit = words[cut+1:]+"]", true
		}
	}
	c.header = header
	switch {
	case !known && hasUnit:
		r.FailAt(line, "", "unknown measurement; a table has: "+strings.Join(measurements(), ", "))
	case c.role == lowRole || c.role == highRole:
		r.unit(line, &c, unit, hasUnit)
	}
	return c
}

// unit reads the unit of a measurement.
func (r *reader) unit(line int, c *column, given string, hasUnit bool) {
	native := measureInfos[c.of].unit
	given, closed := strings.CutSuffix(strings.TrimSpace(given), "]")
	if !hasUnit && c.of == ph {
		given, closed = native, true
	}
	if word, ok := unitWords[strings.ToLower(given)]; ok {
		given = word
	}
	if !closed {
		r.FailAt(line, "", "the unit is missing: write it behind the name, as in ["+native+"]")
		return
	}
	number, ok := sheet.Conversion(native, given)
	if !ok {
		r.FailAt(line, "", entry.Shorten(given)+" is no unit for it; the catalogue has "+native)
	}
	c.number = number
}

// measurements lists the measurements for people.
func measurements() []string {
	var out []string
	for words, c := range columnWords {
		if c.role == lowRole || c.role == highRole {
			out = append(out, words+" ["+measureInfos[c.of].unit+"]")
		}
	}
	slices.Sort(out)
	return out
}

// complete checks that there is a name, something to compare, and both ends of each range.
func (r *reader) complete(line int, columns []column) {
	var hasName, hasNumber bool
	var ends [numMeasures]int
	for _, c := range columns {
		hasName = hasName || c.role == nameRole
		if c.role == lowRole || c.role == highRole {
			hasNumber = true
			ends[c.of]++
		}
	}
	if !hasName {
		r.FailAt(line, "scientificName", "the column is missing")
	}
	if !hasNumber {
		r.FailAt(line, "", "no column holds a measurement; a table has: "+strings.Join(measurements(), ", "))
	}
	for m, info := range measureInfos {
		if info.ranged && ends[m] == 1 {
			r.FailAt(line, info.field, "a range has two columns, low and high; one of them is missing")
		}
	}
}
