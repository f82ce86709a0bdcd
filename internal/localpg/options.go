package localpg

import (
	"errors"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"time"
)

// BindirVariable is the environment variable that names the folder of initdb
// and postgres when they should not be searched for.
const BindirVariable = "COMMENSAL_PG_BINDIR"

// defaultStartTimeout bounds a start. Recovery after an unclean end can take
// minutes on a slow disk; an ordinary start takes well under two seconds.
const defaultStartTimeout = 2 * time.Minute

// Options says where and how the private server runs.
type Options struct {
	// DataDir is the folder that holds everything. It is created when absent.
	DataDir string
	// Logger receives starts, stops and recoveries. Nil discards them.
	Logger *slog.Logger
	// Throwaway trades all durability for speed. For tests only: a crash of the
	// machine, and even an ordinary kill, may corrupt the cluster.
	Throwaway bool
	// StartTimeout bounds the start including recovery. Zero means two minutes.
	StartTimeout time.Duration
	// Settings are further server settings (name, value), for example
	// "max_connections": "300". They win over the package's own.
	Settings map[string]string
}

func (o Options) withDefaults() (Options, error) {
	if o.DataDir == "" {
		return o, errors.New("localpg: no data directory given")
	}
	dir, err := filepath.Abs(o.DataDir)
	if err != nil {
		return o, err
	}
	o.DataDir = dir
	if o.Logger == nil {
		o.Logger = slog.New(slog.NewTextHandler(io.Discard, nil))
	}
	if o.StartTimeout <= 0 {
		o.StartTimeout = defaultStartTimeout
	}
	return o, nil
}

// DefaultDataDir is where a service keeps its private server when nothing else
// is said: /var/lib/commensal for root (whose home folder the server's own user
// cannot enter), otherwise the user's customary data folder.
func DefaultDataDir() (string, error) {
	if os.Geteuid() == 0 {
		return "/var/lib/commensal", nil
	}
	if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "commensal"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", err
	}
	if runtime.GOOS == "darwin" {
		return filepath.Join(home, "Library", "Application Support", "commensal"), nil
	}
	return filepath.Join(home, ".local", "share", "commensal"), nil
}
