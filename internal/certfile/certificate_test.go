package certfile_test

import (
	"context"
	"crypto/tls"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	"commensal/internal/certfile"
	"commensal/internal/certfile/certtest"
)

func put(t *testing.T, file string, text []byte) {
	t.Helper()
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
}

// served is the name of the certificate that a handshake gets.
func served(t *testing.T, config *tls.Config) string {
	t.Helper()
	here, there := net.Pipe()
	defer func() { _ = here.Close(); _ = there.Close() }()
	go func() { _ = tls.Server(there, config).Handshake() }()
	client := tls.Client(here, &tls.Config{InsecureSkipVerify: true}) // the name is looked at below
	if err := client.Handshake(); err != nil {
		t.Fatal(err)
	}
	return client.ConnectionState().PeerCertificates[0].Subject.CommonName
}

func TestANewCertificateIsServedWithoutARestart(t *testing.T) {
	dir := t.TempDir()
	cert, key := filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	if _, err := certfile.Open(cert, key); err == nil {
		t.Fatal("missing files pass")
	}
	certtest.Write(t, "first.example", cert, key)
	c, err := certfile.Open(cert, key)
	if err != nil {
		t.Fatal(err)
	}
	config := c.Config()
	if got := served(t, config); got != "first.example" {
		t.Fatalf("serves %s", got)
	}
	ctx, cancel := context.WithCancel(t.Context())
	told := make(chan error, 100)
	done := make(chan struct{})
	go func() { defer close(done); c.Follow(ctx, time.Millisecond, func(err error) { told <- err }) }()

	put(t, cert, []byte("not a certificate"))
	if err := <-told; err == nil {
		t.Error("a broken file is good news")
	}
	if got := served(t, config); got != "first.example" {
		t.Errorf("with a broken file it serves %s", got)
	}
	certtest.Write(t, "second.example", cert, key)
	for err := <-told; err != nil; err = <-told { // key and chain are written one after the other
	}
	if got := served(t, config); got != "second.example" {
		t.Errorf("serves %s after the change", got)
	}
	cancel()
	<-done
	if len(told) > 0 {
		t.Errorf("%d changes are told of none", len(told))
	}
}

func TestAKeyOfAnotherCertificateIsRefused(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	certtest.Write(t, "a.example", at("a.pem"), at("a.key"))
	certtest.Write(t, "b.example", at("b.pem"), at("b.key"))
	if _, err := certfile.Open(at("a.pem"), at("b.key")); err == nil {
		t.Error("passes")
	}
}
