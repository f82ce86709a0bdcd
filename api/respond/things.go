package respond

import (
	"net/http"
)

// Created answers 201 with what was made and where it is; "" where it has no path.
func Created(at string, value any) (*Reply, error) {
	r, err := JSON(value)
	if err != nil {
		return nil, err
	}
	r.Status, r.Location = http.StatusCreated, at
	return r, nil
}

// Listed answers with a page of a list.
func Listed(value any, link string) (*Reply, error) {
	r, err := JSON(value)
	if err != nil {
		return nil, err
	}
	r.Link = link
	return r, nil
}

// NoContent answers 204.
func NoContent() *Reply { return &Reply{Status: http.StatusNoContent} }

// CreatedThing answers 201 with a thing that has a version.
func CreatedThing[T, U any](at string, version int64, wire func(T) (U, error), of T) (*Reply, error) {
	r, err := Thing(version, wire, of)
	if err != nil {
		return nil, err
	}
	r.Status, r.Location, r.Caching = http.StatusCreated, at, NoStore
	return r, nil
}

// Thing answers with a thing that has a version.
func Thing[T, U any](version int64, wire func(T) (U, error), of T) (*Reply, error) {
	v, err := wire(of)
	if err != nil {
		return nil, err
	}
	r, err := JSON(v)
	if err != nil {
		return nil, err
	}
	r.ETag, r.Caching = VersionTag(version), Revalidate
	return r, nil
}
