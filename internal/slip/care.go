package slip

import (
	"strings"

	"commensal/api/gen"
)

// careHeads are the topics as they stand at the head of a line.
var careHeads = map[gen.CareTopic]string{
	"size": "SIZE", "group": "GROUP", "tank": "TANK", "your_tank": "YOURS", "water": "WATER", "food": "FOOD", "level": "LEVEL", "temper": "TEMPER",
	"apart_from": "APART", "caution": "CARE", "law": "LAW",
}

// maxCare is how many lines a care sheet has at most.
const maxCare = 25

// Care is a care sheet. The statements of one topic follow each other; of the customer's tank the gravest is told. Each
// topic begins a line, as long as that leaves it short enough.
func Care(c *gen.CareSheet, width int) string {
	text := careSheet(c, width, false)
	if strings.Count(text, "\n") > maxCare {
		text = careSheet(c, width, true)
	}
	return text
}

// careSheet lays a sheet out, each topic on lines of its own or, flowing, all in one paragraph.
func careSheet(c *gen.CareSheet, width int, flowing bool) string {
	w := New(width)
	w.Text("", 2, c.Species.VernacularName+" ("+c.Species.ScientificName+")")
	paragraph := ""
	for i := 0; i < len(c.Lines); {
		topic, texts := c.Lines[i].Topic, []string{}
		for ; i < len(c.Lines) && c.Lines[i].Topic == topic; i++ {
			texts = append(texts, c.Lines[i].Text)
		}
		if topic == "your_tank" && c.Decision != nil {
			texts = []string{strings.ToUpper(string(*c.Decision)) + ".", texts[0]}
		}
		text := careHeads[topic] + " " + strings.Join(texts, " ")
		if paragraph != "" && !flowing {
			w.Text("", 2, paragraph)
			paragraph = ""
		}
		paragraph = strings.TrimSpace(paragraph + " " + text)
	}
	w.Text("", 2, paragraph)
	w.foot(c.ModelVersion, c.CatalogueRevision)
	return w.String()
}
