//go:build unix

package connections

import "syscall"

// reserved is how many files are kept for all else: the database's pool, exports, the log,
// certificates, the metrics.
const reserved = 128

// Most is how many connections fit below the process's limit of open files, at most wanted.
// Where the limit is so low that nothing would be left, half of it is used.
func Most(wanted int) int {
	var limit syscall.Rlimit
	if syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit) != nil || limit.Cur > 1<<30 {
		return wanted
	}
	return min(wanted, below(int(limit.Cur)))
}

func below(files int) int { return max(1, files/2, files-reserved) }
