package api

import (
	"commensal/api/validate"
	"commensal/internal/auth"

	"github.com/labstack/echo/v4"
)

// permitsRecord lets a check be recorded only with a key for that, and tells the handler on whose
// behalf. A check that is not to be recorded needs none.
func (s *Server) permitsRecord(c echo.Context, body any) error {
	if wanted, _ := validate.AsMap(body)["record"].(bool); !wanted {
		return nil
	}
	return s.guard.Permit(c, auth.ChecksWrite)
}

// permitsStoredTanks lets stored tanks be named only with a key that may read them, and placements be kept only with
// one that may change tanks.
func (s *Server) permitsStoredTanks(c echo.Context, body any) error {
	if wanted, _ := validate.AsMap(body)["store"].(bool); wanted {
		if err := s.guard.Permit(c, auth.TanksWrite); err != nil {
			return err
		}
	}
	for _, tank := range validate.AsList(validate.AsMap(body)["tanks"]) {
		if _, named := validate.AsMap(tank)["id"]; named {
			return s.guard.Permit(c, auth.TanksRead)
		}
	}
	return nil
}
