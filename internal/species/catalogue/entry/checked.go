package entry

import (
	"commensal/internal/species"
	"go.yaml.in/yaml/v3"
)

// checked reads which values published sources agree with.
func (r *Reader) checked(n *yaml.Node, s *species.Species) {
	for _, text := range r.List(n, "checked") {
		m, ok := species.ParseMark(text)
		if !ok {
			r.Fail(n, "checked", "%s is no mark, as in: KEY length 5 6 7, KEY water ph 5.5 6 7.5 8", Shorten(text))
			continue
		}
		s.Checked = append(s.Checked, m)
	}
}

func outlineChecked(marks []species.Mark) []string {
	out := make([]string, len(marks))
	for i, m := range marks {
		out[i] = m.String()
	}
	return out
}

// MarksThatHold are the marks of an entry whose values are still those that were compared.
func MarksThatHold(s *species.Species) []species.Mark {
	var out []species.Mark
	for _, m := range s.Checked {
		if s.Holds(m) {
			out = append(out, m)
		}
	}
	return out
}
