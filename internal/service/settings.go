package service

import (
	"fmt"
	"io"
	"log/slog"
	"net/netip"
	"net/url"
	"strings"
	"time"

	"commensal/internal/clientaddr"
	"commensal/internal/conflict"
	"commensal/internal/localpg"
)

// Settings are what can be set from outside. Messages name each as its flag and its variable do.
type Settings struct {
	Database
	// Addr is where it is answered, and MetricsAddr where /metrics is, or [MetricsOff]: host:port, port 0
	// takes a free one.
	Addr, MetricsAddr string
	// Migrate applies missing migrations to a database that DATABASE_URL names, and keeps the built-in
	// catalogue current there unless another was loaded.
	Migrate bool
	// RateLimit and KeyRateLimit are requests a minute from one client address and with one key; 0 is no
	// limit.
	RateLimit, KeyRateLimit int
	TrustedProxies          []netip.Prefix // whose X-Forwarded-For is believed
	// PublicURL is scheme and host by which people reach the pages; empty is as each request says.
	PublicURL string
	// AnswerCacheMiB is memory for answers that are given again, and half as much for pages; 0 holds none.
	AnswerCacheMiB int
	// DrainDelay is for how long, at the end, /readyz says no while requests are still answered.
	DrainDelay time.Duration
	Limits

	// TracesTo is a collector that speaks OTLP over HTTP, and TracesShare the part of the requests, from 0 to 1,
	// that is traced where the caller does not say. Empty traces nothing.
	TracesTo    string
	TracesShare float64

	// Version is that of the program, as it stands in answers.
	Version string
	// Log takes the log of the service, a line of JSON for each event from LogLevel up.
	Log      io.Writer
	LogLevel slog.Level
	// Getenv reads GOGC, GOMEMLIMIT and GOMAXPROCS, by which the memory and the processors of the process are set where they say so.
	Getenv func(string) string
	// Ready, where set, is called once when lookups are answered: with the address as a program on this
	// machine can call it (http://host:port), and the book, which is nil while there is no catalogue.
	Ready func(base string, book *conflict.Book)
}

// Limits are the settings of what the service lets itself be asked for, and by whom.
type Limits struct {
	TLSCert, TLSKey string // PEM files of a certificate chain and its key; both or neither
	MaxConnections  int    // held at once; lowered to what the limit of open files allows
	ExemptLoopback  bool   // programs on this machine ask without limit
	LogAddresses    clientaddr.Shown
	KeyLife         time.Duration // of a key made without an end; 0 is for ever
	WorkLimit       int64         // how much a list may cost, in pairings scored
}

// Database chooses where the data lives.
type Database struct {
	URL     Secret // PostgreSQL server to use; empty runs a private one
	DataDir string // where the private one lives; empty is the user's data folder
	// WatchURL is where the service listens for new catalogues: the same database, past a pooler that URL
	// names; empty is URL itself.
	WatchURL Secret
	// ReplicaURL is a copy of the database that follows it, for lists, exports and histories; empty is none.
	ReplicaURL Secret
	// ReplicaMaxLag is how far behind it may be to be asked at all.
	ReplicaMaxLag time.Duration
}

// Private reports that the database is the program's own private one.
func (d *Database) Private() bool { return d.URL == "" }

// dir is the data directory of the private PostgreSQL.
func (d *Database) dir() (string, error) {
	if d.DataDir != "" {
		return d.DataDir, nil
	}
	return localpg.DefaultDataDir()
}

// MetricsOff is the metrics address that switches the metrics off.
const MetricsOff = "off"

// Secret is a text that logs and messages show masked. It is the value of a flag.
type Secret string

// String hides the text.
func (s Secret) String() string {
	if s == "" {
		return ""
	}
	return "(set)"
}

// LogValue hides the text.
func (s Secret) LogValue() slog.Value { return slog.StringValue(s.String()) }

// Set takes the text from a flag or a variable.
func (s *Secret) Set(text string) error {
	*s = Secret(text)
	return nil
}

// Type names the value in the help.
func (*Secret) Type() string { return "dsn" }

// SettingError is a setting that cannot be right: a mistake in what was asked, as opposed to a
// failure in doing it.
type SettingError struct{ err error }

func (e *SettingError) Error() string { return e.err.Error() }

// Unwrap gives the cause.
func (e *SettingError) Unwrap() error { return e.err }

func settingf(format string, args ...any) error { return &SettingError{fmt.Errorf(format, args...)} }

// The ends of what can be set.
const (
	// maxAnswerCacheMiB is 64 GiB, more than any machine of ours has to spare.
	maxAnswerCacheMiB = 64 << 10
	// maxDrainDelay is as long as the end of a service may be put off.
	maxDrainDelay = 5 * time.Minute
	// mostReplicaLag is as long as the service can tell how far behind a replica is.
	mostReplicaLag = time.Minute
	// leastWork judges a list of ten lines in full.
	leastWork = 10_000
)

// Check reports settings that are legal one by one and wrong all the same, as a [SettingError].
func (s *Settings) Check() error {
	for flag, limit := range map[string]int{"--rate-limit (COMMENSAL_RATE_LIMIT)": s.RateLimit, "--key-rate-limit (COMMENSAL_KEY_RATE_LIMIT)": s.KeyRateLimit} {
		if limit < 0 {
			return settingf("%s cannot be %d: it is a number of requests, or 0 for no limit", flag, limit)
		}
	}
	if s.AnswerCacheMiB < 0 || s.AnswerCacheMiB > maxAnswerCacheMiB {
		return settingf("--answer-cache (COMMENSAL_ANSWER_CACHE) cannot be %d: it is a number of MiB from 0 to %d", s.AnswerCacheMiB, maxAnswerCacheMiB)
	}
	if err := checkPublicURL(s.PublicURL); err != nil {
		return err
	}
	if err := checkCollector(s.TracesTo); err != nil {
		return err
	}
	if !(s.TracesShare >= 0 && s.TracesShare <= 1) {
		return settingf("--traces-share (COMMENSAL_TRACES_SHARE) cannot be %v: it is from 0 to 1", s.TracesShare)
	}
	if s.WatchURL != "" && s.Private() {
		return settingf("--database-watch-url (COMMENSAL_DATABASE_WATCH_URL) is of no use without --database-url (DATABASE_URL): the private PostgreSQL has no pooler before it")
	}
	if s.ReplicaURL != "" && s.Private() {
		return settingf("--database-replica-url (DATABASE_REPLICA_URL) is of no use without --database-url (DATABASE_URL): the private PostgreSQL has no replica")
	}
	if s.ReplicaURL != "" && (s.ReplicaMaxLag <= 0 || s.ReplicaMaxLag > mostReplicaLag) {
		return settingf("--replica-max-lag (COMMENSAL_REPLICA_MAX_LAG) cannot be %v: it is a time above 0s, up to %v", s.ReplicaMaxLag, mostReplicaLag)
	}
	if s.DrainDelay < 0 || s.DrainDelay > maxDrainDelay {
		return settingf("--drain-delay (COMMENSAL_DRAIN_DELAY) cannot be %v: it is a time from 0s to %v", s.DrainDelay, maxDrainDelay)
	}
	return s.Limits.check()
}

// check reports limits that make no sense.
func (l *Limits) check() error {
	switch {
	case (l.TLSCert == "") != (l.TLSKey == ""):
		return settingf("--tls-cert (COMMENSAL_TLS_CERT) and --tls-key (COMMENSAL_TLS_KEY) belong together: set both or neither")
	case l.MaxConnections < 1:
		return settingf("--max-connections (COMMENSAL_MAX_CONNECTIONS) cannot be %d: it is at least 1", l.MaxConnections)
	case l.WorkLimit < leastWork:
		return settingf("--work-limit (COMMENSAL_WORK_LIMIT) cannot be %d: it is at least %d", l.WorkLimit, leastWork)
	case l.KeyLife < 0:
		return settingf("--key-life (COMMENSAL_KEY_LIFE) cannot be %v: it is a time such as 8760h, or 0 for ever", l.KeyLife)
	}
	return nil
}

// answerCache is the memory for answers in bytes, as the API wants it: a negative number holds none.
func (s *Settings) answerCache() int64 {
	if s.AnswerCacheMiB == 0 {
		return -1
	}
	return int64(s.AnswerCacheMiB) << 20
}

// checkCollector wants a scheme and a host.
func checkCollector(text string) error {
	u, err := url.Parse(text)
	if text == "" || err == nil && (u.Scheme == "https" || u.Scheme == "http") && u.Host != "" {
		return nil
	}
	return settingf("--traces-to (COMMENSAL_TRACES_TO) cannot be %q: write the address of a collector, as in http://127.0.0.1:4318", text)
}

// checkPublicURL wants a scheme and a host and nothing behind them.
func checkPublicURL(text string) error {
	u, err := url.Parse(text)
	if text == "" || err == nil && (u.Scheme == "https" || u.Scheme == "http") && u.Host != "" && strings.Trim(u.Path, "/") == "" && u.RawQuery == "" && u.Fragment == "" && u.User == nil {
		return nil
	}
	return settingf("--public-url (COMMENSAL_PUBLIC_URL) cannot be %q: write scheme and host, as in https://fish.example", text)
}
