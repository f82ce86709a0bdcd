#!/bin/sh
# Makes clients of the contract with two generators, and lets each of them ask the service: deploy/clients/run.sh BINARY
# The service runs on loopback with a private PostgreSQL in a folder of its own, and ends with this script.
set -eu

go=${GO:-go}
here=$(cd "$(dirname "$0")" && pwd)
binary=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
folder=$(mktemp -d)
chmod 755 "$folder" # the private PostgreSQL may run as another user
service=
trap '[ -z "$service" ] || { kill "$service" 2>/dev/null && wait "$service" || true; }; rm -rf "$folder"' EXIT
trap 'exit 130' INT TERM

"$binary" serve --addr 127.0.0.1:0 --metrics-addr off --data-dir "$folder/data" --log-level info >"$folder/log" 2>&1 &
service=$!
tries=0
until address=$(sed -n 's#.*"msg":"ready","addr":"\([0-9.:]*\)".*#\1#p' "$folder/log") && [ -n "$address" ]; do
	tries=$((tries + 1))
	if [ "$tries" -gt 300 ] || ! kill -0 "$service" 2>/dev/null; then
		echo "the service does not start:" >&2
		cat "$folder/log" >&2
		exit 1
	fi
	sleep 0.2
done
COMMENSAL_URL=http://$address
COMMENSAL_KEY=$("$binary" key create --data-dir "$folder/data" --organization clients --scope tanks:read,tanks:write)
export COMMENSAL_URL COMMENSAL_KEY

cd "$here/oapi"
mkdir -p client
"$go" tool oapi-codegen -config oapi.yaml ../../../openapi.yaml
"$go" vet ./...
"$go" test -count=1 ./...

cd "$here/ogen"
"$go" tool ogen --config ogen.yaml --target client --package client --clean ../../../openapi.yaml >"$folder/ogen" 2>&1 || {
	cat "$folder/ogen" >&2
	exit 1
}
"$go" vet ./...
"$go" test -count=1 ./...
