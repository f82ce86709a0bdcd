package pages

import (
	"net/url"
	"strings"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
)

type counterPage struct {
	Form     listForm
	Card     *cardView
	Say, Ask []string
	Offers   []string
	Full     string
	SlipLead string
	Other    link
	Slips    []slip
}

// slip is the care of one kind on paper.
type slip struct {
	Name, Scientific string
	Rows             []labelled
	Date, Link       string
}

const (
	maxSaid  = 5  // sentences said at the counter
	maxSlips = 12 // slips on one page
)

// counter judges a basket for somebody with a customer in front of them. The address
// "for" holds a settled list; a form is settled first.
func (q *request) counter() *reply {
	paper := "80"
	if q.query.Get("paper") == "a4" {
		paper = "a4"
	}
	if link := q.query.Get("for"); link != "" {
		l, faults := links.ReadList(link)
		l, ask := q.settle(l, faults, "/counter")
		if ask != nil {
			return ask
		}
		return q.counterPage(&l, paper)
	}
	if q.query.Get("list") == "" && q.query.Get("incoming") == "" && len(q.query["line"])+len(q.query["joining"]) == 0 {
		return q.page("counter", frame{Title: q.words.Say("counter.title"), Description: q.words.Say("counter.description"),
			Path: "/counter", Here: "/counter", Class: "counter", Body: counterPage{Form: q.counterForm(&links.List{})}})
	}
	l, faults := readListForm(q.query)
	l, ask := q.settle(l, faults, "/counter")
	if ask != nil {
		return ask
	}
	return redirect(counterPath(&l, paper))
}

func counterPath(l *links.List, paper string) string {
	path := "/counter?for=" + url.QueryEscape(l.Link())
	if paper != "80" {
		path += "&paper=" + paper
	}
	return path
}

// counterForm asks for the basket: what the customer wants, what lives in the tank, and
// the tank.
func (q *request) counterForm(l *links.List) listForm {
	f := q.listFormOf(&l.Tank, "", "")
	wanted, living := l.Incoming, l.Residents
	if len(wanted) == 0 {
		wanted, living = living, nil
	}
	f.Action, f.Go = "/counter", q.words.Say("form.counter.go")
	f.List = q.listField("list", "form.counter", q.basket(wanted), 6)
	f.Incoming, f.More = field{}, nil
	if len(living) > 0 { // what joins is asked about beside what lives there
		f.List = q.listField("list", "form.counter.residents", q.basket(living), 3)
		f.Incoming = q.listField("incoming", "form.counter", q.basket(wanted), 4)
	}
	return f
}

func (q *request) counterPage(l *links.List, paper string) *reply {
	answer, err := q.List(*l)
	if err != nil {
		return q.missing()
	}
	card := q.listCardView(&answer)
	other := map[string]string{"80": "a4", "a4": "80"}[paper]
	body := counterPage{Form: q.counterForm(l), Card: &card, Full: l.Path(), Slips: q.slips(&answer),
		SlipLead: q.words.Say("counter.slip.lead", "paper", q.words.Say("counter.paper."+paper)),
		Other:    link{counterPath(l, other), q.words.Say("counter.paper.switch", "paper", q.words.Say("counter.paper."+other))}}
	for _, p := range answer.Problems {
		if p.Severity != "note" && len(body.Say) < maxSaid {
			body.Say = append(body.Say, strings.TrimSpace(p.Sentence+" "+p.Remedy))
		}
	}
	body.Offers, body.Ask = q.fixes(&answer), answer.Ask
	r := q.page("counter", frame{Title: q.words.Say("counter.title"), Here: "/counter", NoIndex: true, Class: "counter paper-" + paper, Body: body})
	r.keep = false // a slip carries the date
	r.header["Cache-Control"] = []string{noAge}
	return r
}

// slips are the care of each kind that is bought, or of all where nothing joins.
func (q *request) slips(l *answers.List) []slip {
	joining := false
	for i := range l.Lines {
		joining = joining || l.Lines[i].Incoming
	}
	var out []slip
	seen := map[string]bool{}
	for i := range l.Lines {
		line := &l.Lines[i]
		if seen[line.Kind.ID] || joining && !line.Incoming || len(out) == maxSlips {
			continue
		}
		seen[line.Kind.ID] = true
		out = append(out, q.slip(line.Kind))
	}
	return out
}

// slip is what a customer takes home about one kind.
func (q *request) slip(k answers.Kind) slip {
	s, _ := q.Species(k.ID)
	c, _ := q.Company(k.ID)
	out := slip{Name: k.Name, Scientific: k.Scientific, Date: q.cfg.Now().Format("2 January 2006"), Link: strings.TrimPrefix(strings.TrimPrefix(q.origin, "http://"), "https://") + "/species/" + k.ID}
	add := func(key, text string) {
		if text != "" {
			out.Rows = append(out.Rows, labelled{q.words.Say(key), text})
		}
	}
	add("slip.size", q.band("species.lengths", s.Length))
	add("slip.group", q.group(&s))
	add("slip.tank", q.leastTank(&s))
	add("slip.water", q.water(&s))
	add("slip.food", q.words.SayOr("guild."+s.Guild, s.Guild))
	var dangers, not []string
	for _, d := range s.Cautions {
		dangers = append(dangers, d.Text)
	}
	for _, n := range c.Poor[:min(len(c.Poor), 4)] {
		not = append(not, n.Kind.Name)
	}
	add("slip.danger", strings.Join(dangers, " "))
	add("slip.not_with", strings.Join(not, ", "))
	return out
}
