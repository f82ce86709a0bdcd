package main

import (
	"fmt"
	"log/slog"
	"net/netip"
	"strings"
	"time"

	"commensal/api/work"
	"commensal/internal/clientaddr"
	"commensal/internal/service"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// What can be set from outside is a flag and an environment variable of the same name; the flag wins.

// addDatabase adds the flags that choose the database.
func addDatabase(s *service.Database, fs *pflag.FlagSet) {
	fs.Var(&s.URL, "database-url", "PostgreSQL server to use; without it a private one runs in the data directory")
	fs.StringVar(&s.DataDir, "data-dir", "", "where the private PostgreSQL lives (default: the user's data folder)")
	withVariable(fs, "database-url", "DATABASE_URL")
	withVariable(fs, "data-dir", "COMMENSAL_DATA_DIR")
}

// addService adds the flags of the service.
func addService(s *service.Settings, fs *pflag.FlagSet) {
	fs.Var(&s.WatchURL, "database-watch-url", "the same database, past a pooler that --database-url names: where the service listens for new catalogues")
	withVariable(fs, "database-watch-url", "COMMENSAL_DATABASE_WATCH_URL")
	fs.Var(&s.ReplicaURL, "database-replica-url", "a copy of the database that follows it: lists, exports and histories are read there where it has all that was stored")
	fs.DurationVar(&s.ReplicaMaxLag, "replica-max-lag", 2*time.Second, "how far behind the replica may be to be asked at all, up to 1m")
	withVariable(fs, "database-replica-url", "DATABASE_REPLICA_URL")
	withVariable(fs, "replica-max-lag", "COMMENSAL_REPLICA_MAX_LAG")
	fs.StringVar(&s.Addr, "addr", "127.0.0.1:8080", "address to answer on; port 0 takes a free one")
	fs.StringVar(&s.MetricsAddr, "metrics-addr", "127.0.0.1:9090", `address of /metrics, or "off"`)
	fs.TextVar(&s.LogLevel, "log-level", slog.LevelInfo, "debug, info, warn or error; each request is logged at info")
	fs.IntVar(&s.RateLimit, "rate-limit", 600, "requests a minute from one client address, this machine excepted; 0 is no limit")
	fs.IntVar(&s.KeyRateLimit, "key-rate-limit", 6000, "requests a minute with one key; 0 is no limit")
	fs.Var((*prefixes)(&s.TrustedProxies), "trusted-proxies", "networks whose X-Forwarded-For is believed")
	fs.StringVar(&s.PublicURL, "public-url", "", "how people reach the pages, as in https://fish.example, for links in previews, embeds and posts (default: as each request says)")
	fs.IntVar(&s.AnswerCacheMiB, "answer-cache", 32, "MiB of memory for answers that are given again, and half as much for pages; 0 holds none")
	fs.DurationVar(&s.DrainDelay, "drain-delay", time.Second, "at the end: how long /readyz says no while requests are still answered")
	fs.StringVar(&s.TracesTo, "traces-to", "", "collector that speaks OTLP over HTTP, as in http://127.0.0.1:4318; nothing is traced without one")
	fs.Float64Var(&s.TracesShare, "traces-share", 0.01, "part of the requests that is traced where the caller does not say, from 0 to 1")
	withVariable(fs, "traces-to", "COMMENSAL_TRACES_TO")
	withVariable(fs, "traces-share", "COMMENSAL_TRACES_SHARE")
	withVariable(fs, "addr", "COMMENSAL_ADDR")
	withVariable(fs, "metrics-addr", "COMMENSAL_METRICS_ADDR")
	withVariable(fs, "log-level", "COMMENSAL_LOG_LEVEL")
	withVariable(fs, "rate-limit", "COMMENSAL_RATE_LIMIT")
	withVariable(fs, "key-rate-limit", "COMMENSAL_KEY_RATE_LIMIT")
	withVariable(fs, "trusted-proxies", "COMMENSAL_TRUSTED_PROXIES")
	withVariable(fs, "public-url", "COMMENSAL_PUBLIC_URL")
	withVariable(fs, "answer-cache", "COMMENSAL_ANSWER_CACHE")
	withVariable(fs, "drain-delay", "COMMENSAL_DRAIN_DELAY")
	addLimits(&s.Limits, fs)
}

// The defaults, each with its reason.
const (
	// defaultConnections is some 50 MB of idle connections; where more come the longest
	// idle makes room, so that more would help nobody.
	defaultConnections = 4096
	// defaultKeyLife makes a key that was forgotten somewhere end by itself, and is long
	// enough that a till is visited once a year anyway.
	defaultKeyLife = 365 * 24 * time.Hour
)

// addLimits adds the flags of the limits.
func addLimits(s *service.Limits, fs *pflag.FlagSet) {
	fs.StringVar(&s.TLSCert, "tls-cert", "", "PEM file of a certificate chain: serve HTTPS with it; read again when it changes")
	fs.StringVar(&s.TLSKey, "tls-key", "", "PEM file of the certificate's private key")
	fs.IntVar(&s.MaxConnections, "max-connections", defaultConnections, "connections held at once; lowered to what the limit of open files allows")
	fs.BoolVar(&s.ExemptLoopback, "exempt-loopback", false, "let programs on this machine ask without limit; not with a proxy on this machine")
	fs.TextVar(&s.LogAddresses, "log-addresses", clientaddr.Full, "how much of a client's address the access log has: full, truncated or off")
	fs.DurationVar(&s.KeyLife, "key-life", defaultKeyLife, "for how long a key is good that was made without expires_at; 0 is for ever")
	fs.Int64Var(&s.WorkLimit, "work-limit", work.DefaultLimit, "how much a list may cost, in pairings scored; a million is about a second of one processor")
	withVariable(fs, "work-limit", "COMMENSAL_WORK_LIMIT")
	withVariable(fs, "tls-cert", "COMMENSAL_TLS_CERT")
	withVariable(fs, "tls-key", "COMMENSAL_TLS_KEY")
	withVariable(fs, "max-connections", "COMMENSAL_MAX_CONNECTIONS")
	withVariable(fs, "exempt-loopback", "COMMENSAL_EXEMPT_LOOPBACK")
	withVariable(fs, "log-addresses", "COMMENSAL_LOG_ADDRESSES")
	withVariable(fs, "key-life", "COMMENSAL_KEY_LIFE")
}

// variableKey is the annotation of a flag that names its environment variable.
const variableKey = "variable"

// withVariable lets a flag be set by an environment variable too.
func withVariable(fs *pflag.FlagSet, name, variable string) {
	f := fs.Lookup(name)
	f.Annotations = map[string][]string{variableKey: {variable}}
	f.Usage += " [" + variable + "]"
}

// fromEnvironment sets the flags that the command line does not, and checks what all
// commands share.
func (p *Program) fromEnvironment(cmd *cobra.Command) error {
	var err error
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		names := f.Annotations[variableKey]
		if err != nil || f.Changed || len(names) == 0 {
			return
		}
		if value := p.Getenv(names[0]); value != "" {
			if cause := f.Value.Set(value); cause != nil {
				err = usagef("%s cannot be %q: %w", names[0], value, cause)
			}
		}
	})
	return err
}

// prefixes is a comma-separated list of networks in CIDR form; a bare address stands
// for itself.
type prefixes []netip.Prefix

// String is the list as it is written.
func (p prefixes) String() string {
	texts := make([]string, len(p))
	for i, prefix := range p {
		texts[i] = prefix.String()
	}
	return strings.Join(texts, ",")
}

// Set reads the list.
func (p *prefixes) Set(text string) error {
	var list prefixes
	for _, part := range strings.Split(text, ",") {
		part = strings.TrimSpace(part)
		if addr, err := netip.ParseAddr(part); err == nil {
			list = append(list, netip.PrefixFrom(addr, addr.BitLen()))
			continue
		}
		prefix, err := netip.ParsePrefix(part)
		if err != nil {
			return fmt.Errorf("%q is neither a network such as 10.0.0.0/8 nor an address", part)
		}
		list = append(list, prefix.Masked())
	}
	*p = list
	return nil
}

// Type names the value in the help.
func (*prefixes) Type() string { return "cidr,…" }
