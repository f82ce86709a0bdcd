#!/bin/sh
# Fuzzes every fuzz target for a time each: deploy/fuzz.sh 5s
set -eu

time=$1
go=${GO:-go}
total=0

for package in $("$go" list ./...); do
	folder=$("$go" list -f '{{.Dir}}' "$package")
	for target in $(grep -ho '^func Fuzz[A-Za-z0-9_]*' "$folder"/*_test.go 2>/dev/null | sed 's/^func //' | sort); do
		"$go" test -run='^$' -fuzz="^$target\$" -fuzztime="$time" "$package"
		total=$((total + 1))
	done
done

echo "fuzzed $total targets for $time each"
[ "$total" -gt 0 ]
