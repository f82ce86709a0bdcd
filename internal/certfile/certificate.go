// Package certfile keeps a TLS certificate from two files and reads them again when they
// change, as those who renew certificates expect. A change that cannot be used leaves the
// certificate as it was.
package certfile

import (
	"context"
	"crypto/sha256"
	"crypto/tls"
	"fmt"
	"os"
	"sync/atomic"
	"time"
)

// Every is how often [Certificate.Follow] looks at the files. They are small, and reading
// them also notices a link that was turned, as Kubernetes does.
const Every = 10 * time.Second

// Certificate is what the files held when they were last read with success.
type Certificate struct {
	cert, key string
	current   atomic.Pointer[tls.Certificate]
	seen      [sha256.Size]byte // of both files, usable or not
}

// Open reads a certificate chain and its private key, both PEM.
func Open(cert, key string) (*Certificate, error) {
	c := &Certificate{cert: cert, key: key}
	_, err := c.reload()
	if err != nil {
		return nil, err
	}
	return c, nil
}

// Config serves TLS 1.2 and later with the certificate of the moment.
func (c *Certificate) Config() *tls.Config {
	return &tls.Config{
		MinVersion:     tls.VersionTLS12,
		GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return c.current.Load(), nil },
	}
}

// Follow reads the files again and again until ctx ends, and tells of every change: an error
// means that it cannot be used, and is told once for each change.
func (c *Certificate) Follow(ctx context.Context, every time.Duration, changed func(error)) {
	ticker := time.NewTicker(every)
	defer ticker.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
		if news, err := c.reload(); news {
			changed(err)
		}
	}
}

// reload reads the files. news is true where they are not as they were.
func (c *Certificate) reload() (news bool, err error) {
	chain, err := os.ReadFile(c.cert)
	key, keyErr := os.ReadFile(c.key)
	if err == nil {
		err = keyErr
	}
	before := c.seen
	if c.seen = fingerprint(chain, key, err); c.seen == before {
		return false, nil
	}
	if err != nil {
		return true, fmt.Errorf("certfile: %w", err)
	}
	pair, err := tls.X509KeyPair(chain, key)
	if err != nil {
		return true, fmt.Errorf("certfile: %s with %s: %w", c.cert, c.key, err)
	}
	c.current.Store(&pair)
	return true, nil
}

// fingerprint tells one state of the files from another.
func fingerprint(chain, key []byte, err error) [sha256.Size]byte {
	parts := [][]byte{chain, key, nil}
	if err != nil {
		parts[2] = []byte(err.Error())
	}
	var all []byte
	for _, p := range parts {
		sum := sha256.Sum256(p)
		all = append(all, sum[:]...)
	}
	return sha256.Sum256(all)
}
