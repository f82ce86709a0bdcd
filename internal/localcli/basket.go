package localcli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"strconv"
	"strings"
)

// basketLine is one line of a till's basket.
type basketLine struct {
	Species string       `json:"species"`
	Count   *json.Number `json:"count,omitempty"`
}

// readBasket reads a basket in CSV: species,count on each line, with or without these
// words as the first line. A missing count is the customary group; # begins a remark.
func (f *List) readBasket(text []byte) error {
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord, r.TrimLeadingSpace, r.Comment = -1, true, '#'
	basket := []basketLine{}
	for first := true; ; first = false {
		record, err := r.Read()
		if err == io.EOF {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			return &FileError{f.name, bad.Line, "this is not CSV: " + bad.Err.Error()}
		}
		number, _ := r.FieldPos(0)
		if first && isHeader(record) || len(record) == 1 && strings.TrimSpace(record[0]) == "" {
			continue
		}
		line, err := f.basketLine(number, record)
		if err != nil {
			return err
		}
		f.lines["/residents/"+strconv.Itoa(len(basket))] = number
		basket = append(basket, line)
	}
	var err error
	f.body, err = json.Marshal(map[string]any{"residents": basket})
	return err
}

func isHeader(record []string) bool {
	return strings.EqualFold(strings.TrimSpace(record[0]), "species")
}

func (f *List) basketLine(number int, record []string) (line basketLine, err error) {
	for i := range record {
		record[i] = strings.TrimSpace(record[i])
	}
	line.Species = record[0]
	switch {
	case line.Species == "":
		return line, &FileError{f.name, number, "the species is missing"}
	case len(record) > 2:
		return line, &FileError{f.name, number, "there are more than two values: write species,count and put a name with a comma in quotes"}
	case len(record) == 1 || record[1] == "":
		return line, nil
	}
	if _, err := strconv.ParseFloat(record[1], 64); err != nil || strings.ContainsAny(record[1], "xXnNiI_+eE") {
		return line, &FileError{f.name, number, strconv.Quote(record[1]) + " is not a number of fish"}
	}
	plain := strings.TrimLeft(strings.TrimPrefix(record[1], "-"), "0")
	if plain == "" || plain[0] == '.' {
		plain = "0" + plain
	}
	if strings.HasPrefix(record[1], "-") {
		plain = "-" + plain
	}
	n := json.Number(strings.TrimSuffix(plain, "."))
	line.Count = &n
	return line, nil
}
