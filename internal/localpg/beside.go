package localpg

import (
	"fmt"
	"net/url"
	"path/filepath"
	"strings"
)

// The fixed names in the private server. Access is by the socket folder's permissions,
// so none needs a secret.
const (
	// Owner makes the database, owns its tables and migrates them: a superuser.
	Owner = "commensal"
	// ServiceRole is whom the service works as: it is no superuser, owns nothing, makes no
	// roles and no databases, and cannot go around row-level security.
	ServiceRole = "commensal_login"
	// Database is the database of the service.
	Database = "commensal"
)

// clusterName is the folder of the cluster within the data directory.
const clusterName = "cluster"

// socketLine is the line of postmaster.pid, from 0, with the folder of the socket.
const socketLine = 4

// Access are the connection strings of a private server's database.
type Access struct {
	Owner   string // for migrations, as [Owner]
	Service string // for everything else, as [ServiceRole]
}

// Running is how to connect to the server that another process runs on a data directory, for short
// work beside it; [Start] found it in use. Whoever asks needs the right to enter the directory. It
// fails where the server is just starting or ending.
func Running(dataDir string) (Access, error) {
	text, err := readPidFile(dataDir)
	if err != nil {
		return Access{}, fmt.Errorf("localpg: the server of another process: %w", err)
	}
	lines := strings.Split(string(text), "\n")
	if len(lines) <= socketLine || !validSocket(strings.TrimSpace(lines[socketLine])) {
		return Access{}, fmt.Errorf("localpg: the server of another process on %s is not ready", dataDir)
	}
	return accessBy(strings.TrimSpace(lines[socketLine])), nil
}

// validSocket reports whether a text is one folder of a socket, and not a list of hosts.
func validSocket(text string) bool { return filepath.IsAbs(text) && !strings.Contains(text, ",") }

func accessBy(socket string) Access {
	return Access{Owner: socketDSN(socket, Owner, Database), Service: socketDSN(socket, ServiceRole, Database)}
}

// socketDSN is the connection string of a database behind a socket, in URL form.
func socketDSN(socket, user, database string) string {
	u := url.URL{Scheme: "postgres", User: url.User(user), Path: "/" + database,
		RawQuery: url.Values{"host": {socket}, "port": {"5432"}, "sslmode": {"disable"}}.Encode()}
	return u.String()
}
