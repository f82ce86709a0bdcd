#!/usr/bin/env bash
# Runs compose.yaml as it stands, on the image built here, and takes a replica away while it is asked:
#
#     deploy/compose-check.sh
#
# Where no registry can be reached, PostgreSQL and HAProxy come out of the image that test-image/build.sh makes
# of Debian packages. Without a Docker engine or docker-compose (Debian package) it says so and tries nothing.
set -euo pipefail
cd "$(dirname "$0")/.."

fail() { echo "compose-check: $*" >&2; exit 1; }
if ! docker version >/dev/null 2>&1 || ! command -v docker-compose >/dev/null 2>&1; then
	echo "skipped: no Docker engine answers, or docker-compose is not installed"
	exit 0
fi

RELEASE=$(git describe --tags --always --dirty) REVISION=$(git rev-parse HEAD) SOURCE_DATE_EPOCH=$(git log -1 --format=%ct)
POSTGRES_PASSWORD=$(od -An -N16 -tx1 /dev/urandom | tr -d ' \n')
export RELEASE REVISION SOURCE_DATE_EPOCH POSTGRES_PASSWORD
if ! deploy/test-image/build.sh; then
	echo "skipped: the image with PostgreSQL and HAProxy cannot be built here"
	exit 0
fi
deploy/image.sh >/dev/null
docker load --quiet --input bin/image/commensal.tar

# The older docker-compose of Debian knows no name inside the file. Everything else is read as it stands.
file=deploy/.compose-check.yaml other=deploy/.compose-check.images.yaml
sed '/^name: /d' deploy/compose.yaml >"$file"
cat >"$other" <<'END'
version: "3.9"
services:
  proxy:
    image: commensal-test-services
    entrypoint: [haproxy, -W, -db, -f, /usr/local/etc/haproxy/haproxy.cfg]
  database:
    image: commensal-test-services
END
compose() { docker-compose --project-name commensal-check --file "$file" --file "$other" "$@"; }
asked=
cleanup() {
	[ -z "$asked" ] || kill "$asked" 2>/dev/null || true
	compose down --volumes --timeout 20 >/dev/null 2>&1 || true
	rm -f "$file" "$other" "${answers:-}"
}
trap cleanup EXIT
trap 'exit 130' INT TERM
answers=$(mktemp)

compose up --detach --no-build --scale commensal=2 >/dev/null 2>&1 || { compose logs --tail 20 >&2; fail "it does not start"; }
base=http://127.0.0.1:8080
answered() { curl --silent --fail --max-time 5 --output /dev/null "$base$1"; }
for _ in $(seq 60); do
	! answered /readyz || break
	sleep 1
done
answered /readyz || { compose logs --tail 20 >&2; fail "nobody is ready behind HAProxy"; }
curl --silent --fail "$base/v1/pairings/neon%20tetra/oscar" | grep -q '"level"' || fail "a pairing is not answered"

# Ten answers a second for twenty seconds, while one replica is stopped and started again.
(
	for _ in $(seq 200); do
		if answered "/v1/pairings/neon%20tetra/oscar"; then echo ok; else echo failed; fi
		sleep 0.1
	done >"$answers"
) &
asked=$!
replica=$(docker ps --quiet --filter label=com.docker.compose.project=commensal-check --filter label=com.docker.compose.service=commensal | head -n 1)
[ -n "$replica" ] || fail "no replica runs"
docker stop --time 35 "$replica" >/dev/null
[ "$(docker inspect --format '{{.State.ExitCode}}' "$replica")" = 0 ] || fail "a replica that is stopped does not end cleanly"
docker start "$replica" >/dev/null
wait "$asked"
asked=
failed=$(grep -c failed "$answers" || true)
[ "$failed" = 0 ] || fail "$failed of $(wc -l <"$answers") requests failed while one of two replicas was away"
echo "compose: PostgreSQL, two replicas and HAProxy run; $(wc -l <"$answers") requests, none failed while a replica was stopped and started"
