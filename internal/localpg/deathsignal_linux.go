package localpg

import "syscall"

// setDeathSignal makes the kernel stop the child at once when this process ends,
// however it ends. SIGQUIT is PostgreSQL's immediate shutdown: nothing committed
// is lost, and the next start recovers. The signal is tied to the thread that
// starts the child, so that thread must be locked until the child has ended.
func setDeathSignal(attr *syscall.SysProcAttr) { attr.Pdeathsig = syscall.SIGQUIT }
