#!/bin/sh
# Runs the tests: deploy/test.sh [arguments of go test]
#
# The race detector is on where a C compiler is found, which it needs. What is left
# out, and why, is said before the tests begin.
set -eu

go=${GO:-go}

say() { printf '%s\n' "$*" >&2; }

race=
if [ "$("$go" env CGO_ENABLED)" = 1 ] && command -v "$("$go" env CC)" >/dev/null 2>&1; then
	race=-race
else
	say "No C compiler: the tests run without the race detector (install gcc to have it)."
fi

here=$(dirname "$0")
without= # patterns of packages that cannot be tested here
status=0
sh "$here/ensure-postgres.sh" test || status=$?
if [ "$status" -eq 3 ]; then
	if [ -z "${COMMENSAL_TEST_DB:-}" ]; then
		COMMENSAL_TEST_DB=container
		[ -z "${TEST_DATABASE_URL:-}" ] || COMMENSAL_TEST_DB=url
		export COMMENSAL_TEST_DB
	fi
	say "No PostgreSQL is installed: the tests get their databases by the way \"$COMMENSAL_TEST_DB\"."
	say "Left out: what tests the private PostgreSQL (internal/localpg, internal/torture, parts of internal/service and cmd/commensal)."
	say "Install PostgreSQL to run everything."
	without="-e /internal/localpg -e /internal/torture"
elif [ "$status" -ne 0 ]; then
	exit "$status"
fi
sh "$here/ensure-chromium.sh" || say "No chromium: what looks at the pages with a browser fails (internal/pages/browsertest)."

packages=./...
# shellcheck disable=SC2086  # the patterns and the list of packages are meant to be split
[ -z "$without" ] || packages=$("$go" list ./... | grep -v $without)

# One package alone takes some minutes with the race detector, and longer on a busy machine than the ten that Go allows.
# shellcheck disable=SC2086
exec "$go" test $race -timeout=20m "$@" $packages
