// Package bench measures the program on this machine, as commensal bench does: a service with a private
// PostgreSQL in a process of its own, beside it a bare handler that answers with the same bytes in another, and a
// client that costs little. Runs of the two sides alternate, so that a machine that slows down slows both, and a
// ratio is the median of the ratios of neighbouring runs. It talks to loopback only.
package bench
