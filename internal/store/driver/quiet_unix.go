//go:build unix

package driver

import (
	"errors"
	"syscall"

	"github.com/jackc/pgx/v5"
)

// Quiet reports that the other end of a connection has neither said anything nor gone away, as far as this machine
// knows: what is sent now is not sent to a server that is known to have ended. It asks nobody. Where it cannot tell, as
// with TLS, it is false.
func Quiet(conn *pgx.Conn) bool {
	plain, ok := conn.PgConn().Conn().(syscall.Conn)
	if !ok {
		return false
	}
	raw, err := plain.SyscallConn()
	if err != nil {
		return false
	}
	quiet := false
	err = raw.Read(func(fd uintptr) (done bool) {
		var one [1]byte
		_, _, err := syscall.Recvfrom(int(fd), one[:], syscall.MSG_PEEK|syscall.MSG_DONTWAIT)
		quiet = errors.Is(err, syscall.EAGAIN)
		return true
	})
	return err == nil && quiet
}
