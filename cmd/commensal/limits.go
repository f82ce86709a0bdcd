package main

import (
	"time"

	"commensal/api/work"
	"commensal/internal/clientaddr"

	"github.com/spf13/pflag"
)

// limits are the settings of what the service lets itself be asked for, and by whom.
type limits struct {
	tlsCert, tlsKey string
	maxConnections  int
	exemptLoopback  bool
	logAddresses    clientaddr.Shown
	keyLife         time.Duration
	workLimit       int64
}

// The defaults, each with its reason.
const (
	// defaultConnections is some 50 MB of idle connections; where more come the longest
	// idle makes room, so that more would help nobody.
	defaultConnections = 4096
	// defaultKeyLife makes a key that was forgotten somewhere end by itself, and is long
	// enough that a till is visited once a year anyway.
	defaultKeyLife = 365 * 24 * time.Hour
	// leastWork judges a list of ten lines in full.
	leastWork = 10_000
)

// addLimits adds the flags of the limits.
func (s *settings) addLimits(fs *pflag.FlagSet) {
	fs.StringVar(&s.tlsCert, "tls-cert", "", "PEM file of a certificate chain: serve HTTPS with it; read again when it changes")
	fs.StringVar(&s.tlsKey, "tls-key", "", "PEM file of the certificate's private key")
	fs.IntVar(&s.maxConnections, "max-connections", defaultConnections, "connections held at once; lowered to what the limit of open files allows")
	fs.BoolVar(&s.exemptLoopback, "exempt-loopback", false, "let programs on this machine ask without limit; not with a proxy on this machine")
	fs.TextVar(&s.logAddresses, "log-addresses", clientaddr.Full, "how much of a client's address the access log has: full, truncated or off")
	fs.DurationVar(&s.keyLife, "key-life", defaultKeyLife, "for how long a key is good that was made without expires_at; 0 is for ever")
	fs.Int64Var(&s.workLimit, "work-limit", work.DefaultLimit, "how much a list may cost, in pairings scored; a million is about a second of one processor")
	withVariable(fs, "work-limit", "COMMENSAL_WORK_LIMIT")
	withVariable(fs, "tls-cert", "COMMENSAL_TLS_CERT")
	withVariable(fs, "tls-key", "COMMENSAL_TLS_KEY")
	withVariable(fs, "max-connections", "COMMENSAL_MAX_CONNECTIONS")
	withVariable(fs, "exempt-loopback", "COMMENSAL_EXEMPT_LOOPBACK")
	withVariable(fs, "log-addresses", "COMMENSAL_LOG_ADDRESSES")
	withVariable(fs, "key-life", "COMMENSAL_KEY_LIFE")
}

// checkLimits reports limits that make no sense.
func (s *settings) checkLimits() error {
	switch {
	case (s.tlsCert == "") != (s.tlsKey == ""):
		return usagef("--tls-cert (COMMENSAL_TLS_CERT) and --tls-key (COMMENSAL_TLS_KEY) belong together: set both or neither")
	case s.maxConnections < 1:
		return usagef("--max-connections (COMMENSAL_MAX_CONNECTIONS) cannot be %d: it is at least 1", s.maxConnections)
	case s.workLimit < leastWork:
		return usagef("--work-limit (COMMENSAL_WORK_LIMIT) cannot be %d: it is at least %d", s.workLimit, leastWork)
	case s.keyLife < 0:
		return usagef("--key-life (COMMENSAL_KEY_LIFE) cannot be %v: it is a time such as 8760h, or 0 for ever", s.keyLife)
	}
	return nil
}
