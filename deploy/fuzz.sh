#!/bin/sh
# Fuzzes every fuzz target for so many executions each: deploy/fuzz.sh 2000x
#
# A count and no time: where -fuzztime is a duration, Go before 1.27 may report a
# bare "context deadline exceeded" as a failure when the time is up while a worker
# is still at its input (golang.org/issue/75804), which happens on busy machines.
set -eu

runs=$1
if ! expr "$runs" : '[1-9][0-9]*x$' >/dev/null; then
	echo "fuzz.sh: say how many executions each, like 2000x, not '$runs'" >&2
	exit 2
fi
go=${GO:-go}
total=0

for package in $("$go" list ./...); do
	folder=$("$go" list -f '{{.Dir}}' "$package")
	for target in $(grep -ho '^func Fuzz[A-Za-z0-9_]*' "$folder"/*_test.go 2>/dev/null | sed 's/^func //' | sort); do
		"$go" test -run='^$' -fuzz="^$target\$" -fuzztime="$runs" -fuzzminimizetime=50x "$package"
		total=$((total + 1))
	done
done

echo "fuzzed $total targets, $runs each"
[ "$total" -gt 0 ]
