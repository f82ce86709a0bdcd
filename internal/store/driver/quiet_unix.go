//go:build unix

package driver

import (
	"errors"
	"net"
	"syscall"

	"github.com/jackc/pgx/v5"
)

// Quiet reports that the other end of a connection has neither said anything nor gone away, as far as this machine
// knows: what is sent now is not sent to a server that is known to have ended. It asks nobody. Where it cannot tell, as
// with TLS, it is false.
func Quiet(conn *pgx.Conn) bool { return quiet(conn.PgConn().Conn()) }

func quiet(conn net.Conn) bool {
	plain, ok := conn.(syscall.Conn)
	if !ok {
		return false
	}
	raw, err := plain.SyscallConn()
	if err != nil {
		return false
	}
	silent := false
	// Control and not Read: the driver may have left a reader waiting, which holds the lock that Read takes.
	err = raw.Control(func(fd uintptr) {
		var one [1]byte
		_, _, err := syscall.Recvfrom(int(fd), one[:], syscall.MSG_PEEK|syscall.MSG_DONTWAIT)
		silent = errors.Is(err, syscall.EAGAIN)
	})
	return err == nil && silent
}
