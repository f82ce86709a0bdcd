#!/usr/bin/env bash
# Does what a newcomer does: starts the service with `make run`, on free ports and an
# empty data directory, runs the lines that it prints, and ends it with an interrupt
# that reaches make alone. Bounded in time; loopback only. It needs no curl.
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

fail() {
	echo "$*" >&2
	cat "$data/out" "$data/err" >&2
	exit 1
}

set -m # a job of its own, which takes interrupts as one in a terminal does
COMMENSAL_ADDR=127.0.0.1:0 COMMENSAL_METRICS_ADDR=127.0.0.1:0 COMMENSAL_DATA_DIR=$data/db \
	make run >"$data/out" 2>"$data/err" &
server=$!
set +m

printed() { grep -m1 "^$1 " "$data/out"; } # the line that begins with a command

for _ in $(seq "$patience"); do
	printed curl >/dev/null && break
	kill -0 "$server" 2>/dev/null || break
	sleep 0.5
done
ask=$(printed bin/commensal) || fail "make run printed no line that works without curl"
request=$(printed curl) || fail "make run printed no curl line"

echo "$ask"
answer=$(eval "$ask")
printf '%s\n' "${answer%%$'\n'*}"
grep -q 'conflict' <<<"$answer"

address=$(sed -n 's/.* on http:\/\/\([^ ]*\) .*/\1/p' "$data/out")
bin/commensal ready --addr "$address" >/dev/null || fail "the service is not ready"

echo "$request"
if command -v curl >/dev/null 2>&1; then
	answer=$(eval "$request --max-time 10 --fail-with-body")
	printf '%s\n' "${answer:0:300}"
	grep -q '"score"' <<<"$answer"
else
	echo "no curl here: the line is left to the tests, which bring their own"
fi

process=$(cat "$data/db/lock")
kill -INT "$server"
wait "$server" || true
server=
if kill -0 "$process" 2>/dev/null; then
	fail "make run was interrupted and left the service running"
fi
echo "the printed lines work, and the service has ended"
