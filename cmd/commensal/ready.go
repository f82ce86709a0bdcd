package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"time"

	"github.com/spf13/cobra"
)

// readyPatience bounds the question whether a service is ready.
const readyPatience = 3 * time.Second

// readyCommand asks a running service whether it answers lookups: the health check of
// a container that holds nothing but this binary.
func (p *Program) readyCommand() *cobra.Command {
	var addr, cert string
	cmd := &cobra.Command{
		Use:   "ready",
		Short: "Say whether the service on this machine answers lookups",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := p.fromEnvironment(cmd); err != nil {
				return err
			}
			return askReady(cmd.Context(), p.Stdout, addr, cert != "")
		},
	}
	cmd.Flags().StringVar(&addr, "addr", "127.0.0.1:8080", "address the service answers on")
	cmd.Flags().StringVar(&cert, "tls-cert", "", "set where the service has a certificate: ask over HTTPS")
	withVariable(cmd.Flags(), "addr", "COMMENSAL_ADDR")
	withVariable(cmd.Flags(), "tls-cert", "COMMENSAL_TLS_CERT")
	return cmd
}

func askReady(ctx context.Context, w io.Writer, addr string, secure bool) error {
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return usagef("--addr (COMMENSAL_ADDR) cannot be %q: write host:port: %w", addr, err)
	}
	if ip := net.ParseIP(host); host == "" || (ip != nil && ip.IsUnspecified()) {
		host = "127.0.0.1"
	}
	ctx, cancel := context.WithTimeout(ctx, readyPatience)
	defer cancel()
	client, scheme := http.DefaultClient, "http://"
	if secure {
		client, scheme = trusting, "https://"
	}
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, scheme+net.JoinHostPort(host, port)+"/readyz", nil)
	if err != nil {
		return usagef("--addr (COMMENSAL_ADDR) cannot be %q: %w", addr, err)
	}
	response, err := client.Do(request)
	if err != nil {
		return err
	}
	defer response.Body.Close()
	body, err := io.ReadAll(io.LimitReader(response.Body, 64<<10))
	if err != nil {
		return err
	}
	if response.StatusCode != http.StatusOK {
		return errors.New(response.Status)
	}
	_, err = fmt.Fprintf(w, "%s", body)
	return err
}

// trusting asks whatever certificate is shown: it is for another name than that of this
// machine, and nothing secret is asked or sent.
var trusting = &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}
