package entry

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
)

// Rows reads CSV, the header and then row by row; cells are good until the next is read. It ends
// with what the CSV reader says, [io.EOF] after the last row, and with nil where the header is refused: header
// then says false, having told why. A row without any content, which spreadsheets leave behind,
// is passed over, and one that has not a cell for each column is told.
func (r *Reader) Rows(data []byte, header func(line int, cells []string) bool, row func(line int, cells []string)) error {
	in := csv.NewReader(bytes.NewReader(data))
	in.FieldsPerRecord, in.ReuseRecord = -1, true
	cells, err := in.Read()
	if err != nil {
		return err
	}
	line, _ := in.FieldPos(0)
	if len(cells) == 1 && strings.ContainsAny(cells[0], ";\t") {
		r.FailAt(line, "", "the columns are not separated by commas")
		return nil
	}
	columns := len(cells)
	if !header(line, cells) {
		return nil
	}
	for {
		cells, err := in.Read()
		if err != nil {
			return err
		}
		line, _ := in.FieldPos(0)
		switch {
		case strings.TrimSpace(strings.Join(cells, "")) == "":
		case len(cells) != columns:
			r.FailAt(line, "", fmt.Sprintf("the row has %d cells, and the header %d", len(cells), columns))
		default:
			row(line, cells)
		}
	}
}
