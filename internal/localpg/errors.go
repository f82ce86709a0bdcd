package localpg

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
)

// ErrUnsupported says that this operating system has no unix sockets and process
// credentials of the kind the package needs.
var ErrUnsupported = errors.New("localpg: a private PostgreSQL needs a Unix system: set DATABASE_URL to a server of your own")

// InUseError says that another live service owns the data directory.
type InUseError struct {
	Dir string // the data directory
	PID int    // the process that holds it, 0 when it has not said yet
}

func (e *InUseError) Error() string {
	holder := "another process"
	if e.PID > 0 {
		holder = fmt.Sprintf("process %d", e.PID)
	}
	return fmt.Sprintf("localpg: %s is in use by %s: stop it, choose another data directory, or let both use one server through DATABASE_URL", e.Dir, holder)
}

// NotFoundError says that no folder with both initdb and postgres was found.
type NotFoundError struct {
	// Override is the value of COMMENSAL_PG_BINDIR when that is what failed.
	Override string
	// Searched lists the folders and patterns that were looked at.
	Searched []string
}

func (e *NotFoundError) Error() string {
	if e.Override != "" {
		return fmt.Sprintf("localpg: %s is %q, which does not hold initdb and postgres: correct it or unset it", BindirVariable, e.Override)
	}
	return "localpg: PostgreSQL is not installed (initdb and postgres were looked for in " + strings.Join(e.Searched, ", ") + ").\n" +
		"Install it, or set DATABASE_URL to a server you have:\n" +
		"  Debian, Ubuntu:  apt-get install postgresql\n" +
		"  Fedora, RHEL:    dnf install postgresql-server\n" +
		"  Alpine:          apk add postgresql\n" +
		"  Arch:            pacman -S postgresql\n" +
		"  macOS:           brew install postgresql@16\n" +
		"or set " + BindirVariable + " to the folder that holds initdb and postgres."
}

// VersionError says that the cluster was made by a major version of PostgreSQL
// for which no binaries are installed. PostgreSQL cannot read another's files.
type VersionError struct {
	Dir     string // the data directory
	Cluster string // the cluster's major version, for example "15"
	Found   []Binaries
}

func (e *VersionError) Error() string {
	found := make([]string, len(e.Found))
	for i, b := range e.Found {
		found[i] = fmt.Sprintf("%s in %s", b.Major, b.Dir)
	}
	return fmt.Sprintf("localpg: %s was made by PostgreSQL %s, but the binaries found are %s: "+
		"install PostgreSQL %s again (or point %s at it), or move the data with pg_upgrade, or with pg_dumpall into a new data directory",
		e.Dir, e.Cluster, strings.Join(found, ", "), e.Cluster, BindirVariable)
}

// UnreachableError says that the user the server runs as may not enter a folder
// on the way to its data.
type UnreachableError struct {
	Folder string
	Mode   fs.FileMode
	User   string
	Target string
}

func (e *UnreachableError) Error() string {
	return fmt.Sprintf("localpg: user %s, as whom PostgreSQL runs, may not enter %s (%s) on the way to %s: "+
		"run chmod o+x %s, or choose a data directory elsewhere, for example /var/lib/commensal",
		e.User, e.Folder, e.Mode, e.Target, e.Folder)
}

// OwnerError says that the cluster belongs to another user than this process,
// which is not root and so cannot become that user.
type OwnerError struct {
	Dir         string
	Owner, Self int // user ids
}

func (e *OwnerError) Error() string {
	return fmt.Sprintf("localpg: %s belongs to user id %d, and this process runs as user id %d: "+
		"run it as that user or as root, or choose another data directory", e.Dir, e.Owner, e.Self)
}

// StartError says that initdb or the server failed. Tail is the end of what it
// printed; the whole is in LogFile.
type StartError struct {
	What    string // "initdb" or "postgres"
	Err     error
	LogFile string
	Tail    string
}

func (e *StartError) Error() string {
	msg := fmt.Sprintf("localpg: %s: %v (log: %s)", e.What, e.Err, e.LogFile)
	if e.Tail != "" {
		msg += "\n" + e.Tail
	}
	return msg
}

// Unwrap gives the cause.
func (e *StartError) Unwrap() error { return e.Err }
