package localpg

import (
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
)

// clusterName is the folder of the cluster within the data directory.
const clusterName = "cluster"

// socketLine is the line of postmaster.pid, from 0, with the folder of the socket.
const socketLine = 4

// RunningDSN is the connection string of the server that another process runs on a data
// directory, for short work beside it; [Start] found it in use. Whoever asks needs the
// right to enter the directory. It fails where the server is just starting or ending.
func RunningDSN(dataDir string) (string, error) {
	text, err := os.ReadFile(filepath.Join(dataDir, clusterName, "postmaster.pid"))
	if err != nil {
		return "", fmt.Errorf("localpg: the server of another process: %w", err)
	}
	lines := strings.Split(string(text), "\n")
	if len(lines) <= socketLine || lines[socketLine] == "" {
		return "", fmt.Errorf("localpg: the server of another process on %s is not ready", dataDir)
	}
	return socketDSN(strings.TrimSpace(lines[socketLine]), Database), nil
}

// socketDSN is the connection string of a database behind a socket, in URL form.
func socketDSN(socket, database string) string {
	u := url.URL{Scheme: "postgres", User: url.User(Superuser), Path: "/" + database,
		RawQuery: url.Values{"host": {socket}, "port": {"5432"}, "sslmode": {"disable"}}.Encode()}
	return u.String()
}
