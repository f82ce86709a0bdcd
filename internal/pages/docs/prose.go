package docs

import (
	"html/template"
	"strings"
)

// Prose renders the little Markdown that the contract uses: paragraphs, `code` and
// **bold**. Everything else is escaped.
func Prose(text string) template.HTML {
	var b strings.Builder
	for paragraph := range strings.SplitSeq(strings.TrimSpace(text), "\n\n") {
		if paragraph != "" {
			b.WriteString("<p>" + spans(spans(template.HTMLEscapeString(paragraph), "`", "code"), "**", "strong") + "</p>")
		}
	}
	return template.HTML(b.String()) // escaped above; only p, code and strong are added
}

// spans puts what stands between two marks into an element; a lone mark stays.
func spans(text, mark, element string) string {
	parts := strings.Split(text, mark)
	if len(parts)%2 == 0 {
		return text
	}
	for i := 1; i < len(parts); i += 2 {
		parts[i] = "<" + element + ">" + parts[i] + "</" + element + ">"
	}
	return strings.Join(parts, "")
}
