package lists

import (
	"context"
	"encoding/json"
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/slip"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/additions"
	"commensal/internal/stocking/placements"

	"github.com/labstack/echo/v4"
)

// PlaceFish places fish in tanks. Nothing is stored.
func (s *Lists) PlaceFish(c echo.Context, p gen.PlaceFishParams) error {
	in, book, err := asked[gen.PlacementsRequest](s, c)
	if err != nil {
		return err
	}
	stored, err := s.adopters.FetchAdopters(c, in)
	if err != nil {
		return err
	}
	in.Region = s.in(c, in.Region)
	named, err := s.NameArticles(c, linesOfPlacements(in)...)
	if err != nil {
		return err
	}
	q, err := readPlacements(book.Snapshot, in)
	if err != nil {
		return err
	}
	keep := wire.Value(in.Store)
	q.stored, q.text = stored, respond.PrefersText(c.Request()) && !keep
	answer, err := s.place(c.Request().Context(), book, q, wire.InUS(p.Units))
	if err == nil && keep {
		return s.to(c).Send(s.proposals.Keep(c, q.proposal(in, answer.Body)))
	}
	if err == nil {
		answer.Private = len(stored) > 0 || named
	}
	return s.to(c).Send(answer, err)
}

// linesOfPlacements are all lines of a request, those who arrive and those who live there.
func linesOfPlacements(in *gen.PlacementsRequest) [][]SpokenLine {
	out := [][]SpokenLine{LinesAt("/incoming", in.Incoming)}
	for i := range in.Tanks {
		out = append(out, LinesAt("/tanks/"+strconv.Itoa(i)+"/residents", wire.Value(in.Tanks[i].Residents)))
	}
	return out
}

// proposal is what was found, to be kept.
func (q *placementsAsked) proposal(in *gen.PlacementsRequest, answer json.RawMessage) *Proposal {
	p := &Proposal{Asked: in, Answer: answer, Stored: q.stored, Summary: q.summary, Revision: q.revision, Model: q.model}
	for i := range q.found.Arrivals {
		p.Tanks = append(p.Tanks, q.found.Arrivals[i].Tank)
	}
	return p
}

// place finds the placements at the desk and words them.
func (s *Lists) place(ctx context.Context, book *conflict.Book, q *placementsAsked, us bool) (*respond.Reply, error) {
	job, err := s.desk.Begin(ctx, q.price())
	if err != nil {
		return nil, err
	}
	defer job.Done()
	return q.answer(book, job, us)
}

// placementsAsked is a request for placements, read.
type placementsAsked struct {
	arrivals []placements.Arrival
	tanks    []placements.Adopter
	names    []*gen.AdopterInput // of the tanks, as their owners call them
	wanted   conflict.Level
	options  placements.Options
	asked    *gen.PlacementsRequest
	text     bool // a slip is wanted
	stored   []StoredTank

	found          placements.Placements
	summary, model string
	revision       int64
}

// short reports whether the short form is asked for. What is kept is kept in full.
func (q *placementsAsked) short() bool {
	return !wire.Value(q.asked.Store) && (q.text || wire.Value(q.asked.Detail) == gen.Brief)
}

// readPlacements reads who arrives and the tanks, or tells of everything that is wrong.
func readPlacements(snap *species.Snapshot, in *gen.PlacementsRequest) (*placementsAsked, error) {
	r := NewReader(snap)
	q := &placementsAsked{asked: in, wanted: wantedOf(in.WantedLevel), options: placements.Options{OneEach: wire.Value(in.OneEach), Options: int(wire.Value(in.Options)), ByTank: wire.Value(in.ByTank),
		Region: wire.Value(in.Region)}}
	for i := range in.Incoming {
		q.arrivals = append(q.arrivals, placements.Arrival{Line: r.Line("/incoming/"+strconv.Itoa(i), &in.Incoming[i])})
	}
	r.together(q.arrivals, wire.Value(in.Together))
	for i := range in.Tanks {
		q.tanks = append(q.tanks, r.adopter("/tanks/"+strconv.Itoa(i), &in.Tanks[i]))
		q.names = append(q.names, &in.Tanks[i])
	}
	r.storeRef(in)
	r.pairingsOfTanks(q.tanks)
	return q, r.Err()
}

// maxPairingsOfTanks is how many pairings the tanks of one request may have among their
// residents, all tanks together: those of 500 tanks with 8 lines each, or of one list of the
// greatest length.
const maxPairingsOfTanks = 20_000

// pairingsOfTanks refuses tanks that are more work to judge than any list.
func (r *Reader) pairingsOfTanks(tanks []placements.Adopter) {
	pairs := int64(0)
	for i := range tanks {
		pairs += work.Pairs(len(tanks[i].Lines))
	}
	if pairs > maxPairingsOfTanks {
		r.Impossible("/tanks", "The residents of all tanks make "+strconv.FormatInt(pairs, 10)+" pairings, which is too many for one request.",
			"give tanks with at most "+strconv.Itoa(maxPairingsOfTanks)+" pairings together: n lines in a tank make n × (n + 1) / 2")
	}
}

// price is what the placements are likely to cost.
func (q *placementsAsked) price() int64 {
	var lived, pairs int64
	grow := false
	for i := range q.tanks {
		lived, pairs = lived+int64(len(q.tanks[i].Lines)), pairs+work.Pairs(len(q.tanks[i].Lines))
		grow = grow || growing(q.tanks[i].Lines)
	}
	for i := range q.arrivals {
		grow = grow || q.arrivals[i].AgeMonth > 0 || q.arrivals[i].LengthCM > 0
	}
	return work.PriceOfPlacements(len(q.arrivals), lived+int64(len(q.tanks)), pairs, grow)
}

// together names the lines that share a tank. A line on several lists joins them all.
func (r *Reader) together(arrivals []placements.Arrival, lists [][]float64) {
	for n, list := range lists {
		name := strconv.Itoa(n)
		for k, at := range list {
			if int(at) >= len(arrivals) {
				r.Impossible("/together/"+strconv.Itoa(n)+"/"+strconv.Itoa(k), "There is no line "+wire.Plain(at)+" in incoming.", "count from 0 to "+strconv.Itoa(len(arrivals)-1))
				continue
			}
			if was := arrivals[int(at)].Together; was != "" && was != name {
				rename(arrivals, was, name)
			}
			arrivals[int(at)].Together = name
		}
	}
}

func rename(arrivals []placements.Arrival, from, to string) {
	for i := range arrivals {
		if arrivals[i].Together == from {
			arrivals[i].Together = to
		}
	}
}

// adopter reads one tank with its residents.
func (r *Reader) adopter(at string, in *gen.AdopterInput) placements.Adopter {
	r.OneLine(at+"/label", in.Label)
	r.OneLine(at+"/external_ref", in.ExternalRef)
	a := placements.Adopter{Tank: r.tankAt(at+"/tank", in.Tank)}
	for i := range wire.Value(in.Residents) {
		a.Lines = append(a.Lines, r.Line(at+"/residents/"+strconv.Itoa(i), &(*in.Residents)[i]))
	}
	a.Wishes = r.Wishes(at+"/wishes", in.Wishes)
	return a
}

// storeRef refuses a number for a proposal that is not kept, and one that is no line of text.
func (r *Reader) storeRef(in *gen.PlacementsRequest) {
	r.OneLine("/store_ref", in.StoreRef)
	if in.StoreRef != nil && !wire.Value(in.Store) {
		r.Impossible("/store_ref", "/store_ref is for a proposal that is kept, and none is asked for.", "leave it out, or add store")
	}
}

// answer finds the placements and words them.
func (q *placementsAsked) answer(book *conflict.Book, job *work.Job, us bool) (*respond.Reply, error) {
	q.options.Budget = job.Budget
	if q.short() {
		q.options.Options, q.options.ByTank = 1, false
	}
	found, err := placements.Find(book, q.arrivals, q.wanted, q.tanks, q.options)
	if err != nil {
		return nil, judgeFaultAt(err, q.spot)
	}
	w := newListWire(book, &stocking.Stock{}, 0, us)
	if q.short() {
		brief := w.briefPlacements(&found, q)
		return briefReply(job, &brief, q.text, func() string { return slip.Placements(&brief, q.who(book.Snapshot, &found), slip.Columns) })
	}
	defer func() {
		q.found, q.summary, q.model, q.revision = found, w.words.Sentence(found.Summary), book.Model.Version(), book.Snapshot.Revision()
	}()
	return byAccept(encoded(job, func(tighter int) any {
		for i := range found.Arrivals {
			a := &found.Arrivals[i]
			a.Options = a.Options[:max(1, len(halved(a.Options, tighter)))] // where it goes is always told
		}
		for i := range found.ByTank {
			found.ByTank[i].Candidates = halved(found.ByTank[i].Candidates, tighter)
		}
		found.Complete = found.Complete && tighter == 0
		return w.placements(&found, q)
	}))
}

// spot is where a problem of a line lies: of an arrival, or of a tank after those.
func (q *placementsAsked) spot(line int) string {
	if line < len(q.arrivals) {
		return "/incoming/" + strconv.Itoa(line)
	}
	return "/tanks/" + strconv.Itoa(line-len(q.arrivals))
}

func (w *listWire) placements(p *placements.Placements, q *placementsAsked) gen.Placements {
	lines := make([]stocking.Line, len(q.arrivals))
	for i := range lines {
		lines[i] = q.arrivals[i].Line
		lines[i].Incoming, lines[i].Refs, lines[i].Weight = true, []int{i}, orOne(lines[i].Weight)
	}
	w.use(lines)
	out := gen.Placements{
		Summary: w.words.Sentence(p.Summary), WantedLevel: gen.Level(p.Wanted.String()), Incoming: w.checkedLines(),
		Arrivals: make([]gen.PlacedArrival, len(p.Arrivals)), Tanks: make([]gen.PlacedTank, len(p.Tanks)), Held: []int{},
		Lost: wire.Decimals(p.Lost, 3), LostBound: wire.Decimals(p.LostBound, 3), Harm: wire.Decimals(p.Harm, 1), HarmBound: wire.Decimals(p.HarmBound, 1),
		HarmParts: harmParts(&p.Parts), HarmSummary: w.harm(&p.Parts), HeldTanks: []gen.HeldTank{},
		Optimal: p.Optimal, Complete: p.Complete, Nodes: p.Nodes, Cautions: wire.Cautions(p.Cautions),
		ModelVersion: w.book.Model.Version(), CatalogueRevision: w.book.Snapshot.Revision(),
	}
	for i := range p.Arrivals {
		out.Arrivals[i] = w.placedArrival(&p.Arrivals[i], q)
	}
	for i := range p.Tanks {
		out.Tanks[i] = w.placedTank(&p.Tanks[i])
		name := q.names[p.Tanks[i].Tank]
		out.Tanks[i].Id, out.Tanks[i].Label, out.Tanks[i].ExternalRef = name.Id, name.Label, name.ExternalRef
	}
	if q.options.ByTank {
		list := w.byTank(p, q)
		out.ByTank = &list
	}
	for t, d := range p.Before {
		if d == stocking.Hold {
			held := p.Held[t]
			out.Held = append(out.Held, t)
			out.HeldTanks = append(out.HeldTanks, gen.HeldTank{Tank: t, Label: q.names[t].Label, ExternalRef: q.names[t].ExternalRef, Summary: w.words.Summary(&held)})
		}
	}
	return out
}

// orOne is 1 for a weight that was not given.
func orOne(weight float64) float64 {
	if weight == 0 {
		return 1
	}
	return weight
}

func (w *listWire) placedArrival(a *placements.Placed, q *placementsAsked) gen.PlacedArrival {
	out := gen.PlacedArrival{Lines: a.Refs, Fitting: a.Fitting, Reason: w.why(&a.Why, q), Options: make([]gen.TankOption, len(a.Options))}
	if a.Tank >= 0 {
		out.Tank = &a.Tank
	}
	for i := range a.Options {
		out.Options[i] = w.tankOption(&a.Options[i], q)
		out.Options[i].Chosen = a.Options[i].Tank == a.Tank
	}
	return out
}

// why says why an arrival goes where it goes, or nowhere.
func (w *listWire) why(y *placements.Why, q *placementsAsked) string {
	tank, reason := "", ""
	if y.Tank >= 0 {
		tank = nameOf(q.names[y.Tank], y.Tank)
	}
	if y.Reason.Code != "" {
		reason = w.words.Sentence(y.Reason)
	}
	return strings.NewReplacer("{tank}", tank, "{reason}", reason).Replace(w.words.Sentence(y.Statement))
}

// nameOf is what a sentence calls a tank.
func nameOf(in *gen.AdopterInput, position int) string {
	switch {
	case in.Label != nil:
		return *in.Label
	case in.ExternalRef != nil:
		return *in.ExternalRef
	}
	return "tank " + strconv.Itoa(position)
}

// harm is what is left of harm, in words.
func (w *listWire) harm(h *placements.HarmParts) string {
	var said []string
	for _, s := range h.Statements() {
		said = append(said, w.words.Sentence(s))
	}
	return strings.Join(said, " ")
}

func harmParts(h *placements.HarmParts) gen.HarmParts {
	return gen.HarmParts{Pairings: wire.Decimals(h.Pairings, 1), Advice: wire.Decimals(h.Advice, 1), Wishes: wire.Decimals(h.Wishes, 1)}
}

func (w *listWire) tankOption(o *placements.TankOption, q *placementsAsked) gen.TankOption {
	with, resident := against(o.With)
	name := q.names[o.Tank]
	out := gen.TankOption{Tank: o.Tank, Label: name.Label, ExternalRef: name.ExternalRef, Fits: o.Fits, Wanted: o.Wanted, Decision: gen.Decision(o.Decision.String()),
		With: gen.TankOptionWith(with), Resident: resident, Reason: w.words.Sentence(o.Reason)}
	if o.Fits {
		harm := wire.Decimals(o.Harm, 1)
		out.Harm = &harm
	}
	return out
}

// byTank tells for each tank what it could take, and where that goes instead.
func (w *listWire) byTank(p *placements.Placements, q *placementsAsked) []gen.Adoption {
	out := make([]gen.Adoption, len(p.ByTank))
	for i := range p.ByTank {
		a := &p.ByTank[i]
		out[i] = gen.Adoption{Tank: a.Tank, Label: q.names[a.Tank].Label, ExternalRef: q.names[a.Tank].ExternalRef, Candidates: make([]gen.Candidate, len(a.Candidates))}
		for k := range a.Candidates {
			c := &a.Candidates[k]
			o, arrival := w.tankOption(&c.TankOption, q), &p.Arrivals[c.Arrival]
			out[i].Candidates[k] = gen.Candidate{Lines: arrival.Refs, Fits: o.Fits, Wanted: o.Wanted, Harm: o.Harm, Decision: o.Decision,
				With: gen.CandidateWith(o.With), Resident: o.Resident, Reason: o.Reason}
			if arrival.Tank >= 0 {
				out[i].Candidates[k].Placed = &arrival.Tank
			}
		}
	}
	return out
}

func (w *listWire) placedTank(t *placements.PlacedTank) gen.PlacedTank {
	out := gen.PlacedTank{Tank: t.Tank, Lines: t.Refs, Harm: wire.Decimals(t.Harm, 1), HarmParts: harmParts(&t.Parts), HarmSummary: w.harm(&t.Parts), Decision: gen.Decision(t.Decision.String()), Summary: w.words.Summary(&t.Summary)}
	if t.Worst != nil {
		out.Worst = w.joining(&additions.Joining{With: -1, Score: t.Worst.Score, Summary: t.Worst.Summary, SpeciesLevel: t.Worst.SpeciesLevel})
	}
	return out
}
