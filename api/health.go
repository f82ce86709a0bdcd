package api

import (
	"context"

	"commensal/api/gen"
)

// GetLivez says that the process is alive.
func (s *Server) GetLivez(context.Context, gen.GetLivezRequestObject) (gen.GetLivezResponseObject, error) {
	return jsonReply(gen.Health{Status: gen.Ok, Version: optional(s.cfg.Version)})
}

// GetReadyz says whether lookups are answered, and whether the database answers.
func (s *Server) GetReadyz(ctx context.Context, _ gen.GetReadyzRequestObject) (gen.GetReadyzResponseObject, error) {
	if s.cfg.Stopping() {
		return nil, errStopping
	}
	sh, err := s.current()
	if err != nil {
		return nil, err
	}
	revision := sh.book.Snapshot.Revision()
	h := gen.Health{Status: gen.Ok, Version: optional(s.cfg.Version), CatalogueRevision: &revision,
		ModelVersion: optional(sh.book.Model.Version())}
	if s.ready.check(ctx) != nil {
		h.Status = gen.Degraded
		h.Detail = optional("Lookups are answered from memory; the database does not answer.")
	}
	return jsonReply(h)
}

// optional is nil for an empty text.
func optional[T ~string](text T) *T {
	if text == "" {
		return nil
	}
	return &text
}
