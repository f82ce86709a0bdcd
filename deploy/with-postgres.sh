#!/usr/bin/env bash
# Runs a command with a PostgreSQL of its own, which is gone afterwards:
#
#     deploy/with-postgres.sh COMMAND [ARGUMENT …]
#
# The server listens on loopback alone, on a free port; DATABASE_URL names it, for a user who owns the
# database and is no superuser. As root it runs as the user postgres.
set -euo pipefail

bindir=${COMMENSAL_PG_BINDIR:-$(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort -V | tail -n 1 || true)}
[ -x "$bindir/initdb" ] || { command -v initdb >/dev/null && bindir=$(dirname "$(readlink -f "$(command -v initdb)")"); }

folder=$(mktemp -d "${TMPDIR:-/tmp}/commensal-pg.XXXXXX")
chmod 755 "$folder"
as_postgres() { "$@"; }
if [ "$(id -u)" -eq 0 ]; then
	chown postgres "$folder"
	as_postgres() { setpriv --reuid=postgres --regid=postgres --init-groups "$@"; }
fi
cleanup() {
	as_postgres "$bindir/pg_ctl" -D "$folder/data" -m immediate -w stop >/dev/null 2>&1 || true
	rm -rf "$folder"
}
trap cleanup EXIT
trap 'exit 130' INT TERM

cd "$folder"
as_postgres "$bindir/initdb" --no-sync -D "$folder/data" -U postgres --auth=trust --encoding=UTF8 --locale=C.UTF-8 >/dev/null
started=
for _ in 1 2 3 4 5; do # a port that is taken meanwhile is one attempt
	port=$((20000 + RANDOM % 12000))
	if as_postgres "$bindir/pg_ctl" -D "$folder/data" -l "$folder/log" -w \
		-o "-p $port -c listen_addresses=127.0.0.1 -c unix_socket_directories=$folder -c fsync=off" start >/dev/null; then
		started=yes
		break
	fi
done
[ -n "$started" ] || { cat "$folder/log" >&2; exit 1; }
as_postgres "$bindir/psql" -qAt -h 127.0.0.1 -p "$port" -U postgres -c 'CREATE ROLE commensal LOGIN CREATEROLE' -c 'CREATE DATABASE commensal OWNER commensal'
cd "$OLDPWD"
DATABASE_URL="postgres://commensal@127.0.0.1:$port/commensal?sslmode=disable" "$@"
