package main

import (
	"fmt"
	"log/slog"
	"net/netip"
	"net/url"
	"strings"
	"time"

	"commensal/internal/localpg"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// settings are what can be set from outside. Each is a flag and an environment
// variable of the same name; the flag wins.
type settings struct {
	database       secret
	dataDir        string
	addr           string
	metricsAddr    string
	logLevel       slog.Level
	rateLimit      int
	keyRateLimit   int
	trustedProxies prefixes
	publicURL      string
	answerCacheMiB int
	drainDelay     time.Duration
	migrate        bool
	limits
}

// metricsOff is the metrics address that switches the metrics off.
const metricsOff = "off"

// secret is a text that logs and messages show masked.
type secret string

// String hides the text.
func (s secret) String() string {
	if s == "" {
		return ""
	}
	return "(set)"
}

// LogValue hides the text.
func (s secret) LogValue() slog.Value { return slog.StringValue(s.String()) }

// Set takes the text from a flag or a variable.
func (s *secret) Set(text string) error {
	*s = secret(text)
	return nil
}

// Type names the value in the help.
func (*secret) Type() string { return "dsn" }

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

// addDatabase adds the flags that choose the database.
func (s *settings) addDatabase(fs *pflag.FlagSet) {
	fs.Var(&s.database, "database-url", "PostgreSQL server to use; without it a private one runs in the data directory")
	fs.StringVar(&s.dataDir, "data-dir", "", "where the private PostgreSQL lives (default: the user's data folder)")
	withVariable(fs, "database-url", "DATABASE_URL")
	withVariable(fs, "data-dir", "COMMENSAL_DATA_DIR")
}

// addService adds the flags of the service.
func (s *settings) addService(fs *pflag.FlagSet) {
	fs.StringVar(&s.addr, "addr", "127.0.0.1:8080", "address to answer on; port 0 takes a free one")
	fs.StringVar(&s.metricsAddr, "metrics-addr", "127.0.0.1:9090", `address of /metrics, or "off"`)
	fs.TextVar(&s.logLevel, "log-level", slog.LevelInfo, "debug, info, warn or error; each request is logged at info")
	fs.IntVar(&s.rateLimit, "rate-limit", 600, "requests a minute from one client address, this machine excepted; 0 is no limit")
	fs.IntVar(&s.keyRateLimit, "key-rate-limit", 6000, "requests a minute with one key; 0 is no limit")
	fs.Var(&s.trustedProxies, "trusted-proxies", "networks whose X-Forwarded-For is believed")
	fs.StringVar(&s.publicURL, "public-url", "", "how people reach the pages, as in https://fish.example, for links in previews, embeds and posts (default: as each request says)")
	fs.IntVar(&s.answerCacheMiB, "answer-cache", 32, "MiB of memory for answers that are given again, and half as much for pages; 0 holds none")
	fs.DurationVar(&s.drainDelay, "drain-delay", time.Second, "at the end: how long /readyz says no while requests are still answered")
	withVariable(fs, "addr", "COMMENSAL_ADDR")
	withVariable(fs, "metrics-addr", "COMMENSAL_METRICS_ADDR")
	withVariable(fs, "log-level", "COMMENSAL_LOG_LEVEL")
	withVariable(fs, "rate-limit", "COMMENSAL_RATE_LIMIT")
	withVariable(fs, "key-rate-limit", "COMMENSAL_KEY_RATE_LIMIT")
	withVariable(fs, "trusted-proxies", "COMMENSAL_TRUSTED_PROXIES")
	withVariable(fs, "public-url", "COMMENSAL_PUBLIC_URL")
	withVariable(fs, "answer-cache", "COMMENSAL_ANSWER_CACHE")
	withVariable(fs, "drain-delay", "COMMENSAL_DRAIN_DELAY")
	s.addLimits(fs)
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

// privateDir is the data directory of the private PostgreSQL.
func (s *settings) privateDir() (string, error) {
	if s.dataDir != "" {
		return s.dataDir, nil
	}
	return localpg.DefaultDataDir()
}

// check reports settings that are legal one by one and wrong all the same.
func (s *settings) check() error {
	for flag, limit := range map[string]int{"--rate-limit (COMMENSAL_RATE_LIMIT)": s.rateLimit, "--key-rate-limit (COMMENSAL_KEY_RATE_LIMIT)": s.keyRateLimit} {
		if limit < 0 {
			return usagef("%s cannot be %d: it is a number of requests, or 0 for no limit", flag, limit)
		}
	}
	if s.answerCacheMiB < 0 || s.answerCacheMiB > maxAnswerCacheMiB {
		return usagef("--answer-cache (COMMENSAL_ANSWER_CACHE) cannot be %d: it is a number of MiB from 0 to %d", s.answerCacheMiB, maxAnswerCacheMiB)
	}
	if err := checkPublicURL(s.publicURL); err != nil {
		return err
	}
	if s.drainDelay < 0 || s.drainDelay > maxDrainDelay {
		return usagef("--drain-delay (COMMENSAL_DRAIN_DELAY) cannot be %v: it is a time from 0s to %v", s.drainDelay, maxDrainDelay)
	}
	return s.checkLimits()
}

// maxAnswerCacheMiB is 64 GiB, more than any machine of ours has to spare.
const maxAnswerCacheMiB = 64 << 10

// answerCache is the memory for answers in bytes, as the API wants it: a negative number holds none.
func (s *settings) answerCache() int64 {
	if s.answerCacheMiB == 0 {
		return -1
	}
	return int64(s.answerCacheMiB) << 20
}

// checkPublicURL wants a scheme and a host and nothing behind them.
func checkPublicURL(text string) error {
	u, err := url.Parse(text)
	if text == "" || err == nil && (u.Scheme == "https" || u.Scheme == "http") && u.Host != "" && strings.Trim(u.Path, "/") == "" && u.RawQuery == "" && u.Fragment == "" && u.User == nil {
		return nil
	}
	return usagef("--public-url (COMMENSAL_PUBLIC_URL) cannot be %q: write scheme and host, as in https://fish.example", text)
}
