#!/bin/sh
# Makes sure, before anything is built, that there is a PostgreSQL to work with:
#
#     deploy/ensure-postgres.sh run     before make run
#     deploy/ensure-postgres.sh test    before make test
#
# It looks where the program looks (internal/localpg). Where there is none, it installs the
# package postgresql, but only as root on a system with apt-get; it says so first. Anywhere
# else the first line that it prints is what to type as an administrator.
#
# Exit status: 0 all is there; 3 (test only) no PostgreSQL binaries are installed, but
# there is a server or a Docker engine; 1 there is nothing.
set -eu

here=$(cd "$(dirname "$0")" && pwd)
task=${1:-}

say() { printf '%s\n' "$*" >&2; }

holds() { [ -x "$1/initdb" ] && [ -x "$1/postgres" ]; }

installed() { # the folder of the program's own search, or one on PATH, holds the binaries
	if [ -n "${COMMENSAL_PG_BINDIR:-}" ]; then
		holds "$COMMENSAL_PG_BINDIR"
		return
	fi
	# postgres on PATH may be a link; its folder then has initdb all the same, or a pattern matches.
	command -v initdb >/dev/null 2>&1 && command -v postgres >/dev/null 2>&1 && return 0
	command -v pg_config >/dev/null 2>&1 && holds "$(pg_config --bindir 2>/dev/null)" && return 0
	# The patterns are meant to be expanded.
	# shellcheck disable=SC2013
	for folder in $(sed 's/#.*//' "$here/../internal/localpg/usualfolders.txt"); do
		holds "$folder" && return 0
	done
	return 1
}

elsewhere() { # the tests have another place for their databases
	case ${COMMENSAL_TEST_DB:-} in
	url | container) return 0 ;;
	local) return 1 ;;
	esac
	[ -n "${TEST_DATABASE_URL:-}" ] && return 0
	command -v docker >/dev/null 2>&1 && docker version >/dev/null 2>&1
}

has() { command -v "$1" >/dev/null 2>&1; }

what_to_type() { # on this system, as an administrator
	if has apt-get; then
		echo "apt-get update && apt-get install --no-install-recommends postgresql"
	elif has dnf; then
		echo "dnf install postgresql-server"
	elif has apk; then
		echo "apk add postgresql"
	elif has pacman; then
		echo "pacman -S postgresql"
	elif has zypper; then
		echo "zypper install postgresql-server"
	elif has brew; then
		echo "brew install postgresql@16"
	fi
}

install() { # with apt-get, as root
	say "PostgreSQL is not installed: installing the package postgresql with apt-get."
	log=$(mktemp)
	for attempt in 1 2 3; do
		if { apt-get update && DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends postgresql; } >"$log" 2>&1 </dev/null &&
			installed; then
			rm -f "$log"
			return 0
		fi
		say "apt-get did not succeed (attempt $attempt of 3)."
		sleep $((attempt * 5))
	done
	tail -n 20 "$log" >&2
	rm -f "$log"
	return 1
}

case $task in
run) [ -z "${DATABASE_URL:-}" ] || exit 0 ;;
test) ;;
*)
	say "ensure-postgres: the task is run or test, not $task"
	exit 1
	;;
esac

if installed; then
	exit 0
fi
if [ "$task" = test ] && elsewhere; then
	exit 3
fi
if [ -n "${COMMENSAL_PG_BINDIR:-}" ]; then
	say "COMMENSAL_PG_BINDIR is $COMMENSAL_PG_BINDIR, which does not hold initdb and postgres: correct it or unset it."
	exit 1
fi
if [ "$(id -u)" -eq 0 ] && has apt-get && install; then
	exit 0
fi
line=$(what_to_type)
say "As an administrator, type:  ${line:-install PostgreSQL with the package manager of this system}"
say "Then make $task again. commensal keeps its data in PostgreSQL, and none is installed here."
say "Or set DATABASE_URL to a server that you have, or COMMENSAL_PG_BINDIR to the folder that holds initdb and postgres."
exit 1
