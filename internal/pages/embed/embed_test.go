package embed

import (
	"encoding/json"
	"encoding/xml"
	"strings"
	"testing"
)

var evil = Post{Verdict: "No", Sentence: `*bold* [link](javascript:x) <script> & _under_ # !`, Kinds: "[url=http://evil.example]here[/url]", Guidance: "g", More: "m",
	URL: "https://fish.example/a", Image: "https://fish.example/a.png"}

func TestMarkdownKeepsNamesFromBecomingMarkup(t *testing.T) {
	text := evil.Markdown()
	for _, bad := range []string{"[link](", "<script>", " *bold*"} {
		if strings.Contains(text, bad) {
			t.Errorf("%q in %s", bad, text)
		}
	}
	if !strings.Contains(text, "(<https://fish.example/a>)") || strings.Contains(text, "\n\n\n") {
		t.Error(text)
	}
}

func TestBBCodeKeepsNamesFromBecomingCodes(t *testing.T) {
	if text := evil.BBCode(); strings.Count(text, "[url=") != 2 || strings.Contains(text, "evil.example]") {
		t.Error(text)
	}
}

func TestOEmbedIsTheSameInBothForms(t *testing.T) {
	in := OEmbed{Type: "rich", Version: "1.0", Title: `a "b" <c> & d`, HTML: `<iframe src="x&amp;y"></iframe>`, Width: 480, Height: 300, CacheAge: 60}
	text, err := in.JSON()
	if err != nil {
		t.Fatal(err)
	}
	var fromJSON, fromXML OEmbed
	if err := json.Unmarshal(text, &fromJSON); err != nil {
		t.Fatal(err)
	}
	if text, err = in.XML(); err != nil || !strings.HasPrefix(string(text), `<?xml version="1.0"`) {
		t.Fatal(err, string(text))
	}
	if err := xml.Unmarshal(text, &fromXML); err != nil {
		t.Fatal(err)
	}
	fromXML.XMLName = xml.Name{}
	if fromJSON != in || fromXML != in {
		t.Errorf("%+v, %+v", fromJSON, fromXML)
	}
}
