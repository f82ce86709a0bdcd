package lists

import (
	"strconv"

	"commensal/api/gen"
	"commensal/api/validate"
	"commensal/api/wire"
)

// Unresolved gathers the species of a list that do not resolve, from a body that breaks the
// contract elsewhere: whoever mends a list learns of all of it at once.
func (s *Lists) Unresolved(body any) []gen.FieldError {
	book, err := s.books.Book()
	if err != nil {
		return nil
	}
	r := wire.NewBody(book.Snapshot)
	look := func(pointer string, v any) {
		name, ok := v.(string)
		if !ok || name == "" {
			return
		}
		if _, err := book.Snapshot.ReadLabel(name); err != nil { // a name with several meanings may do
			r.Species(pointer, name)
		}
	}
	fields := validate.AsMap(body)
	for _, list := range [...]string{"residents", "incoming"} {
		for i, line := range firstOf(validate.AsList(fields[list])) {
			look("/"+list+"/"+strconv.Itoa(i)+"/species", validate.AsMap(line)["species"])
		}
	}
	for _, list := range [...]string{"keep", "in_stock"} {
		for i, item := range firstOf(validate.AsList(fields[list])) {
			at := "/" + list + "/" + strconv.Itoa(i)
			look(at, item)
			look(at+"/species", validate.AsMap(item)["species"])
		}
	}
	for t, tank := range firstOf(validate.AsList(fields["tanks"])) {
		for i, line := range firstOf(validate.AsList(validate.AsMap(tank)["residents"])) {
			look("/tanks/"+strconv.Itoa(t)+"/residents/"+strconv.Itoa(i)+"/species", validate.AsMap(line)["species"])
		}
	}
	for _, field := range [...]string{"instead_of", "first", "second"} {
		look("/"+field, fields[field])
	}
	return r.Unresolved.Fields
}

// maxLooked bounds the work for a list that is refused anyway.
const maxLooked = 400

func firstOf(list []any) []any { return list[:min(len(list), maxLooked)] }
