#!/bin/sh
# Starts PostgreSQL in the test image. It honours the three variables the tests
# need: POSTGRES_USER (default postgres), POSTGRES_PASSWORD (required) and
# POSTGRES_DB (default: the user's name). Arguments beginning with "postgres" or
# "-" are the server's; anything else is run as it is.
set -eu

case "${1:-postgres}" in
postgres) [ $# -eq 0 ] || shift ;;
-*) ;;
*) exec "$@" ;;
esac

user=${POSTGRES_USER:-postgres}
database=${POSTGRES_DB:-$user}

as_postgres() {
	if [ "$(id -u)" -eq 0 ]; then
		setpriv --reuid=postgres --regid=postgres --init-groups "$@"
	else
		"$@"
	fi
}

if [ "$(id -u)" -eq 0 ]; then
	mkdir -p "$PGDATA" /var/run/postgresql
	chown postgres:postgres "$PGDATA" /var/run/postgresql
	chmod 700 "$PGDATA"
fi

if [ ! -s "$PGDATA/PG_VERSION" ]; then
	if [ -z "${POSTGRES_PASSWORD:-}" ]; then
		echo 'POSTGRES_PASSWORD must be set and not empty' >&2
		exit 1
	fi
	secret=$(mktemp)
	printf '%s\n' "$POSTGRES_PASSWORD" >"$secret"
	[ "$(id -u)" -ne 0 ] || chown postgres "$secret"
	as_postgres initdb --no-sync --username="$user" --pwfile="$secret" --encoding=UTF8 \
		--locale=C.UTF-8 --auth-local=trust --auth-host=scram-sha-256 >/dev/null
	rm -f "$secret"
	echo 'host all all all scram-sha-256' >>"$PGDATA/pg_hba.conf"
	if [ "$database" != postgres ]; then
		# Single-user mode: no listener exists until the database does.
		printf 'CREATE DATABASE "%s"\n' "$(printf '%s' "$database" | sed 's/"/""/g')" |
			as_postgres postgres --single -D "$PGDATA" -c fsync=off postgres >/dev/null
	fi
fi

set -- postgres -D "$PGDATA" -c "listen_addresses=*" -c jit=off "$@"
if [ "$(id -u)" -eq 0 ]; then
	exec setpriv --reuid=postgres --regid=postgres --init-groups "$@"
fi
exec "$@"
