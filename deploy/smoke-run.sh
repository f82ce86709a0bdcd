#!/usr/bin/env bash
# Does what a newcomer does: starts the service with `make run`, on free ports and an
# empty data directory, runs the curl line that it prints, and ends it. Bounded in
# time; loopback only.
set -euo pipefail
cd "$(dirname "$0")/.."

patience=600 # half seconds: `make run` may have to build and to install PostgreSQL

unset DATABASE_URL # a newcomer has none

data=$(mktemp -d)
chmod 755 "$data"
server=
stop() {
	if [ -n "$server" ]; then
		kill -TERM "$server" 2>/dev/null || true
		wait "$server" 2>/dev/null || true
	fi
	rm -rf "$data"
}
trap stop EXIT

COMMENSAL_ADDR=127.0.0.1:0 COMMENSAL_METRICS_ADDR=127.0.0.1:0 COMMENSAL_DATA_DIR=$data/db \
	make run >"$data/out" 2>"$data/err" &
server=$! # make, which passes the signal on and waits

printed() { grep -m1 '^curl ' "$data/out"; }

for _ in $(seq "$patience"); do
	printed >/dev/null && break
	kill -0 "$server" 2>/dev/null || break
	sleep 0.5
done
line=$(printed) || {
	cat "$data/out" "$data/err" >&2
	echo "make run printed no curl line" >&2
	exit 1
}
echo "$line"
answer=$(eval "$line --max-time 10 --fail-with-body")
printf '%s\n' "${answer:0:300}"
grep -q '"score"' <<<"$answer"

process=$(cat "$data/db/lock")
kill -TERM "$server"
wait "$server" || true
server=
if kill -0 "$process" 2>/dev/null; then
	echo "make run was told to end and left the service running" >&2
	exit 1
fi
echo "the printed line works, and the service has ended"
