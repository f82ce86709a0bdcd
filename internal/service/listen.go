package service

import (
	"context"
	"errors"
	"fmt"
	"net"
	"strconv"
	"syscall"
)

// listenOn claims an address. The error of an address in use names it and how to
// choose another.
func listenOn(ctx context.Context, addr, flag, variable string) (net.Listener, error) {
	l, err := (&net.ListenConfig{}).Listen(ctx, "tcp", addr)
	switch {
	case err == nil:
		return l, nil
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, fmt.Errorf("%s is in use by another program: stop it, or choose another address with %s or %s", addr, flag, variable)
	case errors.Is(err, syscall.EACCES), errors.Is(err, syscall.EADDRNOTAVAIL):
		return nil, fmt.Errorf("cannot listen on %s: choose another address with %s or %s: %w", addr, flag, variable, err)
	}
	return nil, settingf("%s (%s) cannot be %q: write host:port, for example 127.0.0.1:8080: %w", flag, variable, addr, err)
}

// closed drops the error of a listener that had been closed before.
func closed(err error) error {
	if errors.Is(err, net.ErrClosed) {
		return nil
	}
	return err
}

// reachable is the address of a listener as a program on this machine can call it:
// "every interface" becomes loopback.
func reachable(l net.Listener) string {
	addr, ok := l.Addr().(*net.TCPAddr)
	if !ok {
		return l.Addr().String()
	}
	ip := addr.IP
	if ip.IsUnspecified() {
		ip = net.IPv4(127, 0, 0, 1) // every IPv6 address takes IPv4 too, on the systems we know
	}
	return net.JoinHostPort(ip.String(), strconv.Itoa(addr.Port))
}
