//go:build !unix

package localpg

import "context"

// Server is a running private PostgreSQL. There is none on this system.
type Server struct{}

// Start returns [ErrUnsupported] on this system.
func Start(context.Context, Options) (*Server, error) { return nil, ErrUnsupported }

// DSN is the connection string for the database, in URL form.
func (s *Server) DSN() string { return "" }

// Done is closed when the server has ended.
func (s *Server) Done() <-chan struct{} { return nil }

// Stop ends the server.
func (s *Server) Stop(context.Context) error { return ErrUnsupported }
