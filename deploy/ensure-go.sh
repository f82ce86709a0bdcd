#!/bin/sh
# Makes sure that Go is there and new enough: deploy/ensure-go.sh [go]
set -eu

go=${1:-go}
cd "$(dirname "$0")/.."
need=$(sed -n 's/^go \([0-9]*\.[0-9]*\).*/\1/p' go.mod)

say() { printf '%s\n' "$*" >&2; }

advise() {
	say "Install Go $need or newer: https://go.dev/doc/install says how for every system."
	exit 1
}

command -v "$go" >/dev/null 2>&1 || {
	say "Go is not installed, and everything here is built with it."
	advise
}

# From 1.21 on, Go fetches the version that go.mod asks for by itself, unless it is told not to.
if ! version=$("$go" env GOVERSION 2>&1); then
	say "Go $need is needed, and the Go installed here does not come by it: $version"
	advise
fi
have=$(printf '%s' "$version" | sed -n 's/^go\([0-9]*\.[0-9]*\).*/\1/p')
# A version between releases ("devel ...") is taken as new enough.
[ -n "$have" ] || exit 0
if [ "${have%%.*}" -lt "${need%%.*}" ] || { [ "${have%%.*}" -eq "${need%%.*}" ] && [ "${have#*.}" -lt "${need#*.}" ]; }; then
	say "Go $need or newer is needed, and $(command -v "$go") is Go $have."
	advise
fi
