//go:build !unix

package localpg

import "context"

// Server is a running private PostgreSQL. There is none on this system.
type Server struct{}

// Start returns [ErrUnsupported] on this system.
func Start(context.Context, Options) (*Server, error) { return nil, ErrUnsupported }

// Access are the connection strings for the database.
func (s *Server) Access() Access { return Access{} }

// DSN is the connection string of the owner.
func (s *Server) DSN() string { return "" }

// Done is closed when the server has ended.
func (s *Server) Done() <-chan struct{} { return nil }

// Stop ends the server.
func (s *Server) Stop(context.Context) error { return ErrUnsupported }

func readPidFile(string) ([]byte, error) { return nil, ErrUnsupported }
