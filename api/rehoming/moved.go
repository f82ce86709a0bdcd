package rehoming

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/species"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// askAnew mends a proposal that is no longer good.
const askAnew = "ask for placements anew"

// moved refuses tanks that are no longer what the proposal knows, and says what is different.
func (s *Rehoming) moved(p *plan, parts []part, now map[uuid.UUID]store.Stock) error {
	var fields []gen.FieldError
	told := map[uuid.UUID]bool{}
	for _, a := range parts {
		stock, there := now[a.tank.Tank]
		if told[a.tank.Tank] || there && stock.Tank.Revision == a.tank.Revision {
			continue
		}
		told[a.tank.Tank] = true
		detail := p.nameOf(a.tank.Position) + " is gone: it was deleted."
		if there {
			different, err := s.different(p, &a.tank, &stock)
			if err != nil {
				return err
			}
			detail = p.nameOf(a.tank.Position) + " has changed since the proposal: " + strings.Join(different, "; ") + "."
		}
		fields = append(fields, respond.AtField(gen.Body, a.pointer, detail, askAnew))
	}
	return outdated(fields)
}

// different is what is different about a tank: its residents by kind, and whether the tank itself was changed.
func (s *Rehoming) different(p *plan, known *store.PlacementTank, now *store.Stock) (out []string, err error) {
	if now.Tank.Version != known.Version {
		out = append(out, "the tank or its wishes were described anew")
	}
	before, after := map[string]int{}, map[string]int{}
	addLines(before, wire.Value(p.input.Tanks[known.Position].Residents))
	for _, a := range p.Acceptances {
		if a.Tank == known.Tank {
			addLines(before, s.linesOf(p, a.Arrival))
		}
	}
	_, lines, err := s.tanks.AsGiven(*now)
	if err != nil {
		return nil, err
	}
	addLines(after, lines)
	all := maps.Clone(before)
	maps.Copy(all, after)
	for _, id := range slices.Sorted(maps.Keys(all)) {
		if before[id] != after[id] {
			out = append(out, s.kind(id)+", "+counted(before[id])+" then and "+counted(after[id])+" now")
		}
	}
	if len(out) == 0 {
		out = []string{"lines of its residents were changed"}
	}
	return out, nil
}

// addLines adds up the fish of lines by kind. A line without a number counts as uncounted, which is -1.
func addLines(into map[string]int, lines []gen.LineInput) {
	for i := range lines {
		switch n := lines[i].Count; {
		case n == nil || into[lines[i].Species] < 0:
			into[lines[i].Species] = uncounted
		default:
			into[lines[i].Species] += int(*n)
		}
	}
}

// uncounted stands for some fish whose number is not given.
const uncounted = -1

func counted(n int) string {
	switch n {
	case 0:
		return "none"
	case uncounted:
		return "some"
	}
	return strconv.Itoa(n)
}

// kind is what people call a species, as of many.
func (s *Rehoming) kind(id string) string {
	if book, err := s.books.Book(); err == nil {
		if m, err := book.Snapshot.Resolve(id); err == nil {
			return species.Plural(species.Spoken(book.Snapshot.At(m.Index).VernacularName("en")))
		}
	}
	return id
}
