#!/bin/sh
# Makes sure that there is a PostgreSQL to work with:
#
#     deploy/ensure-postgres.sh run bin/commensal     before make run
#     deploy/ensure-postgres.sh test bin/commensal    before make test
#
# It looks for one that the task can use, and where there is none it installs the
# postgresql package, but only as root on a system with apt-get; it says so first.
# Anywhere else it says what to install. The second argument is the built program,
# which knows best where PostgreSQL binaries may lie.
#
# Exit status: 0 all is there; 3 (test only) no PostgreSQL binaries are installed, but
# there is a server or a Docker engine; 1 there is nothing.
set -eu

task=$1
commensal=$2

say() { printf '%s\n' "$*" >&2; }

elsewhere() { # the tests have another place for their databases
	case ${COMMENSAL_TEST_DB:-} in
	url | container) return 0 ;;
	local) return 1 ;;
	esac
	[ -n "${TEST_DATABASE_URL:-}" ] && return 0
	command -v docker >/dev/null 2>&1 && docker version >/dev/null 2>&1
}

install() { # with apt-get, as root
	say "PostgreSQL is not installed: installing the package postgresql with apt-get."
	log=$(mktemp)
	for attempt in 1 2 3; do
		if { apt-get update && DEBIAN_FRONTEND=noninteractive apt-get install -y postgresql; } >"$log" 2>&1 </dev/null &&
			"$commensal" postgres >&2; then
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

why=$("$commensal" postgres 2>&1) && exit 0
if [ "$task" = test ] && elsewhere; then
	exit 3
fi
if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null 2>&1 && install; then
	exit 0
fi
say "$why"
exit 1
