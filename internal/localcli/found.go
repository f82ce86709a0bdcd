package localcli

import (
	"io"

	"commensal/api/gen"
	"commensal/internal/terminal"
	"commensal/internal/units"
)

// WriteFound writes for people the kinds that a search found, after a sentence on why it was searched for where there is one.
func (l Layout) WriteFound(w io.Writer, why string, list *gen.SpeciesPage) error {
	o := &page{Layout: l}
	if why != "" {
		o.line("%s\n", o.wrap("", "", why+" It may be one of these:"))
	}
	if len(list.Species) == 0 {
		o.line("Nothing in the catalogue is like that.")
		return o.writeTo(w)
	}
	rows := [][]string{{"ID", "NAME", "SCIENTIFIC NAME", "LENGTH", "LEVEL", "TEMPER"}}
	for i := range list.Species {
		s := &list.Species[i]
		row := []string{s.Id, s.VernacularName, s.ScientificName, "", "", ""}
		if s.LengthCm != nil {
			row[3] = units.FormatLength(*s.LengthCm)
		}
		if s.Zone != nil {
			row[4] = string(*s.Zone)
		}
		if s.Temperament != nil {
			row[5] = string(*s.Temperament)
		}
		rows = append(rows, row)
	}
	if err := o.writeTo(w); err != nil {
		return err
	}
	if err := terminal.WriteTable(w, l.TableColumns, rows); err != nil {
		return err
	}
	if list.Next != nil {
		o.line("\n%s", o.wrap("", "", "There are more: --limit lists up to 200, and a longer name or a filter fewer."))
	}
	return o.writeTo(w)
}
