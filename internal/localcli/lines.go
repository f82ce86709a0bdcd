package localcli

import (
	"strconv"
	"strings"

	"commensal/api/gen"
)

// list names the fish that were judged.
func (o *page) list(lines []gen.CheckedLine) {
	if len(lines) == 0 {
		return
	}
	texts := make([]string, len(lines))
	for i := range lines {
		texts[i] = lineText(&lines[i])
	}
	o.field("List", strings.Join(texts, "; "))
}

func lineText(l *gen.CheckedLine) string {
	text := strconv.Itoa(l.Count) + " "
	if l.Sex != nil {
		text += string(*l.Sex) + " "
	}
	text += l.Species.VernacularName
	var more []string
	if l.LengthCm != nil {
		more = append(more, number(*l.LengthCm)+" cm")
	}
	if l.Disposition != nil {
		more = append(more, string(*l.Disposition))
	}
	if l.Incoming {
		more = append(more, "joins")
	}
	if l.Keep {
		more = append(more, "stays")
	}
	if len(more) > 0 {
		text += " (" + strings.Join(more, ", ") + ")"
	}
	return text
}

// namesOf are some lines of a list with their numbers of fish.
func namesOf(list []gen.CheckedLine, lines []int) string {
	texts := make([]string, len(lines))
	for k, i := range lines {
		texts[k] = lineText(&list[i])
	}
	return strings.Join(texts, "; ")
}

// namesIn are the vernacular names of the species of a list, by id.
func namesIn(lines []gen.CheckedLine) map[string]string {
	names := map[string]string{}
	for _, l := range lines {
		names[l.Species.Id] = l.Species.VernacularName
	}
	return names
}
