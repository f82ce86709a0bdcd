package browsertest

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
)

// node is a node of the accessibility tree as a screen reader has it.
type node struct{ role, name string }

// tree is the accessibility tree of the page.
func (b *tab) tree() []node {
	b.Helper()
	result, err := chromedp.Run(b.ctx, func(ctx context.Context, t *chromedp.Target) (accessibility.GetFullAXTreeResult, error) {
		return cdp.Call(ctx, t, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	})
	must0(b, err)
	byID := map[accessibility.NodeID]*accessibility.Node{}
	for _, n := range result.Nodes {
		byID[n.NodeID] = n
	}
	return heard(nil, byID, result.Nodes[0])
}

// heard lists a node and those in it, in the order in which they are read.
func heard(out []node, byID map[accessibility.NodeID]*accessibility.Node, n *accessibility.Node) []node {
	if n == nil {
		return out
	}
	if !n.Ignored && n.Role != nil {
		item := node{role: text(n.Role)}
		if n.Name != nil {
			item.name = text(n.Name)
		}
		out = append(out, item)
	}
	for _, id := range n.ChildIDs {
		out = heard(out, byID, byID[id])
	}
	return out
}

func text(v *accessibility.Value) string { return strings.Trim(string(v.Value), `"`) }

// named are roles that mean nothing to a listener without a name.
var named = []string{"button", "link", "textbox", "combobox", "radio", "image", "img", "heading", "navigation", "listbox", "option", "table", "columnheader", "rowheader", "article", "region"}

func TestAScreenReaderHearsEverything(t *testing.T) {
	b := open(t, phone)
	for _, path := range everyPage {
		b.visit(path)
		nodes := b.tree()
		count := map[string]int{}
		for _, n := range nodes {
			count[n.role]++
			if n.name == "" && slices.Contains(named, n.role) {
				t.Errorf("%s: a %s without a name", path, n.role)
			}
		}
		for _, landmark := range []string{"main", "banner", "contentinfo", "navigation"} {
			if count[landmark] != 1 {
				t.Errorf("%s: %d × %s", path, count[landmark], landmark)
			}
		}
	}
}

func TestAPairingIsHeardInOrder(t *testing.T) {
	b := open(t, phone)
	b.visit("/pairings/astronotus-ocellatus/paracheirodon-innesi")
	nodes := b.tree()
	at := 0
	for _, want := range []node{{"banner", ""}, {"navigation", "Pages"}, {"main", ""}, {"heading", "Oscar and Neon tetra"}, {"article", "No"}, {"heading", "No"},
		{"image", "Oscar and Neon tetra to scale. Oscar, 32 cm, swims mostly in the middle."}, {"link", "Why, and how sure"}, {"heading", "Why"},
		{"image", "What the score of"}, {"heading", "Water"}, {"image", "Water for Oscar and Neon tetra"}, {"heading", "As they grow"}, {"heading", "Take care"},
		{"heading", "What was assumed"}, {"heading", "Ask again with your own numbers"}, {"combobox", "First kind"}, {"button", "Ask"}, {"heading", "Pass it on"},
		{"textbox", "Link"}, {"button", "Copy Link"}, {"contentinfo", ""}} {
		i := slices.IndexFunc(nodes[at:], func(n node) bool { return n.role == want.role && strings.HasPrefix(n.name, want.name) })
		if i < 0 {
			t.Errorf("%s %q is not heard where it should be", want.role, want.name)
			continue
		}
		at += i
	}
}
