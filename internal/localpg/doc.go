// Package localpg runs a private PostgreSQL from installed binaries, for people
// who have no database server.
//
// The server listens on a unix socket in a folder that only its user can enter,
// never on the network. Its files live under one data directory:
//
//	lock           held (flock) by the service that owns the directory, with its pid
//	cluster/       the database cluster; it appears whole, by a rename, or not at all
//	socket/        the unix socket, unless the path would be too long for one
//	postgres.log   what the server and initdb print, moved to postgres.log.1 when large
//
// PostgreSQL refuses to run as root. A service that does runs it as another user, who
// owns cluster/ and socket/ and cannot write beside them; inside what that user can
// write, nothing is opened through a link. The service works as a role that is no
// superuser ([Access]).
//
// What an acknowledged commit wrote survives a kill of the service, of the
// server or of the machine: the next [Start] clears what was left behind and
// PostgreSQL recovers from its log. Two services never share a directory: the
// second gets an [InUseError].
//
// The binaries come from the system ([FindBinaries]); nothing is downloaded. The
// package works on Unix systems only; elsewhere Start returns [ErrUnsupported].
package localpg
