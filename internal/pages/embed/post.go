package embed

import "strings"

// Post is a card as text.
type Post struct {
	Verdict, Sentence, Kinds, Level, Change, Guidance, More string
	URL, Image                                              string
}

// Markdown is the post in Markdown (CommonMark).
func (p Post) Markdown() string {
	lines := []string{"**" + markdown(p.Verdict) + ".** **" + markdown(p.Sentence) + "**", markdown(p.Kinds)}
	for _, s := range []string{p.Level, p.Change} {
		if s != "" {
			lines = append(lines, markdown(s))
		}
	}
	lines = append(lines, "[!["+markdown(p.Verdict)+"](<"+p.Image+">)](<"+p.URL+">)", "*"+markdown(p.Guidance)+"*", "["+markdown(p.More)+"](<"+p.URL+">)")
	return strings.Join(lines, "\n\n")
}

// BBCode is the post in the codes that most forums take.
func (p Post) BBCode() string {
	lines := []string{"[b]" + bbcode(p.Verdict) + ". " + bbcode(p.Sentence) + "[/b]", bbcode(p.Kinds)}
	for _, s := range []string{p.Level, p.Change} {
		if s != "" {
			lines = append(lines, bbcode(s))
		}
	}
	lines = append(lines, "[url="+p.URL+"][img]"+p.Image+"[/img][/url]", "[i]"+bbcode(p.Guidance)+"[/i]", "[url="+p.URL+"]"+bbcode(p.More)+"[/url]")
	return strings.Join(lines, "\n")
}

var markdownEscapes = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`, "#", `\#`, "!", `\!`, "|", `\|`, "~", `\~`, "&", `\&`)

func markdown(s string) string { return markdownEscapes.Replace(s) }

// bbcode has no escapes: brackets become the full-width ones, which read the same.
func bbcode(s string) string { return strings.NewReplacer("[", "［", "]", "］").Replace(s) }
