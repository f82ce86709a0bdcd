#!/usr/bin/env bash
# Starts the service with `make run` on free ports and an empty data directory, runs
# the curl line that it prints, and stops it. Bounded in time; loopback only.
set -euo pipefail
cd "$(dirname "$0")/.."

data=$(mktemp -d)
chmod 755 "$data"
log=$data/out
server=
stop() {
	if [ -n "$server" ]; then
		kill -INT "$server" 2>/dev/null || true
		wait "$server" 2>/dev/null || true
	fi
	rm -rf "$data"
}
trap stop EXIT

# The program is started as `make run` starts it; exec keeps its process id.
make build >/dev/null
sh deploy/ensure-postgres.sh run bin/commensal
COMMENSAL_ADDR=127.0.0.1:0 COMMENSAL_METRICS_ADDR=127.0.0.1:0 COMMENSAL_DATA_DIR=$data/db \
	bin/commensal serve >"$log" 2>"$data/err" &
server=$!

for _ in $(seq 1 120); do
	grep -q '^ *curl ' "$log" && break
	kill -0 "$server" 2>/dev/null || { cat "$log" "$data/err" >&2; exit 1; }
	sleep 0.5
done
line=$(grep -m1 '^ *curl ' "$log") || { cat "$log" "$data/err" >&2; exit 1; }
echo "$line"
answer=$(eval "$line --max-time 10 --fail-with-body")
printf '%s\n' "$answer" | head -c 300
echo
grep -q '"score"' <<<"$answer"
echo "the printed line works"
