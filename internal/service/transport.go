package service

import (
	"context"
	"net"

	"commensal/internal/certfile"
)

// openCertificate reads the certificate, where one is set, and follows its files.
func (s *service) openCertificate() (err error) {
	if s.set.TLSCert == "" {
		return nil
	}
	if s.secure, err = certfile.Open(s.set.TLSCert, s.set.TLSKey); err != nil {
		return settingf("--tls-cert (COMMENSAL_TLS_CERT), --tls-key (COMMENSAL_TLS_KEY): %w", err)
	}
	s.inBackground(func(ctx context.Context) { s.secure.Follow(ctx, certfile.Every, s.tellOfCertificate) })
	return nil
}

func (s *service) tellOfCertificate(err error) {
	if err != nil {
		s.log.Error("the new certificate cannot be used; the one before is served", "error", err)
		return
	}
	s.log.Info("a new certificate is served")
}

// warnOfPlainText says once that keys and lists can be read on the way, where other
// machines can reach the service and nothing secures that.
func (s *service) warnOfPlainText() {
	if s.secure == nil && reachesOthers(s.public) {
		s.log.Warn("other machines can reach this address and it is not encrypted: keys can be read on the way; "+
			"set COMMENSAL_TLS_CERT and COMMENSAL_TLS_KEY, or let only a proxy that has TLS reach it", "addr", s.public.Addr().String())
	}
}

// reachesOthers reports a listener that is not bound to loopback.
func reachesOthers(l net.Listener) bool {
	addr, ok := l.Addr().(*net.TCPAddr)
	return ok && !addr.IP.IsLoopback()
}

// scheme is what the service's addresses begin with.
func (s *service) scheme() string {
	if s.secure != nil {
		return "https"
	}
	return "http"
}
