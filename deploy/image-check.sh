#!/usr/bin/env bash
# Builds the image twice, from two places and with nothing left of the first build, and runs it:
#
#     deploy/image-check.sh
#
# Where a Docker engine answers the image runs as it is meant to: no rights, a root that cannot be written,
# the health check that it brings. Without one it says so, and runs the program of the image in an empty
# root. COMMENSAL_IMAGE_COLD=1 compiles everything anew for the second build.
set -euo pipefail
cd "$(dirname "$0")/.."

limit=25000000 # bytes compressed
work=$(mktemp -d "${TMPDIR:-/tmp}/commensal-image.XXXXXX")
container=
cleanup() {
	[ -z "$container" ] || docker rm -f "$container" >/dev/null 2>&1 || true
	rm -rf "$work"
}
trap cleanup EXIT
trap 'exit 130' INT TERM
fail() { echo "$*" >&2; exit 1; }

RELEASE=$(git describe --tags --always --dirty) REVISION=$(git rev-parse HEAD) SOURCE_DATE_EPOCH=$(git log -1 --format=%ct)
export RELEASE REVISION SOURCE_DATE_EPOCH

first=$(deploy/image.sh)
echo "$first"
mkdir "$work/elsewhere"
git ls-files -z --cached --others --exclude-standard | while IFS= read -r -d '' file; do
	[ ! -e "$file" ] || printf '%s\0' "$file"
done | tar --create --null --files-from=- | tar --extract --directory="$work/elsewhere"
second=$(
	if [ -n "${COMMENSAL_IMAGE_COLD:-}" ]; then export GOCACHE="$work/cache"; fi
	cd "$work/elsewhere" && deploy/image.sh
)
[ "$first" = "$second" ] || fail "two builds differ:
$first
$second"
size=$(sed -n 's/^\([0-9]*\) bytes compressed.*/\1/p' <<<"$first")
[ "$size" -lt "$limit" ] || fail "the image has $size bytes compressed, $limit or more"
echo "two builds give the same digest"

program=bin/image/root/out/commensal
if ldd "$program" >/dev/null 2>&1; then fail "the program is linked to libraries"; fi

if ! docker version >/dev/null 2>&1; then
	echo "skipped: no Docker engine answers, the image is not run"
	exit 0
fi
docker load --quiet --input bin/image/commensal.tar
image=commensal:$RELEASE
inspect() { docker image inspect --format "$1" "$image"; }
[ "$(inspect '{{.Config.User}}')" = 65532:65532 ] || fail "the image runs as $(inspect '{{.Config.User}}')"
[ "$(inspect '{{index .Config.Labels "org.opencontainers.image.revision"}}')" = "$REVISION" ] || fail "the label of the revision is wrong"

cat >"$work/run.sh" <<'RUN'
set -euo pipefail
docker run --detach --name "$1" --network host --read-only --cap-drop ALL --security-opt no-new-privileges --memory 512m \
	--env DATABASE_URL --env TZ=Pacific/Auckland --env COMMENSAL_ADDR=127.0.0.1:18080 --env COMMENSAL_METRICS_ADDR=off "$2" >/dev/null
for _ in $(seq 120); do
	health=$(docker inspect --format '{{.State.Health.Status}}' "$1")
	[ "$health" != healthy ] || break
	sleep 0.5
done
docker logs "$1" 2>"$3" >/dev/null
[ "$health" = healthy ] || { cat "$3" >&2; echo "the container is $health" >&2; exit 1; }
docker exec "$1" /commensal ready --addr 127.0.0.1:18080 >/dev/null
docker stop --time 15 "$1" >/dev/null
[ "$(docker inspect --format '{{.State.ExitCode}}' "$1")" = 0 ] || { docker logs "$1" >&2; exit 1; }
RUN
container=commensal-image-check-$$
deploy/with-postgres.sh bash "$work/run.sh" "$container" "$image" "$work/log"
grep -q '+1[23]:00"' "$work/log" || fail "the image knows no time zones: $(head -n 1 "$work/log")"
echo "the image runs without rights on a root that cannot be written, becomes healthy and ends cleanly"
