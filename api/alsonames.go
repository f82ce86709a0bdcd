package api

import (
	"strconv"

	"commensal/api/gen"
)

// alsoNames gathers the species of a list that do not resolve, from a body that breaks the
// contract elsewhere: whoever mends a list learns of all of it at once.
func (s *Server) alsoNames(body any) []gen.FieldError {
	sh, err := s.current()
	if err != nil {
		return nil
	}
	r := newListReader(sh.book.Snapshot)
	look := func(pointer string, v any) {
		if name, ok := v.(string); ok && name != "" {
			r.species(pointer, name)
		}
	}
	fields := asMap(body)
	for _, list := range [...]string{"residents", "incoming"} {
		for i, line := range firstOf(asList(fields[list])) {
			look("/"+list+"/"+strconv.Itoa(i)+"/species", asMap(line)["species"])
		}
	}
	for _, list := range [...]string{"keep", "in_stock"} {
		for i, item := range firstOf(asList(fields[list])) {
			at := "/" + list + "/" + strconv.Itoa(i)
			look(at, item)
			look(at+"/species", asMap(item)["species"])
		}
	}
	for t, tank := range firstOf(asList(fields["tanks"])) {
		for i, line := range firstOf(asList(asMap(tank)["residents"])) {
			look("/tanks/"+strconv.Itoa(t)+"/residents/"+strconv.Itoa(i)+"/species", asMap(line)["species"])
		}
	}
	for _, field := range [...]string{"instead_of", "first", "second"} {
		look("/"+field, fields[field])
	}
	return r.names.fields
}

// maxLooked bounds the work for a list that is refused anyway.
const maxLooked = 400

func firstOf(list []any) []any { return list[:min(len(list), maxLooked)] }
