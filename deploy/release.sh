#!/bin/sh
# Builds the archives of a release into bin/release: deploy/release.sh [os/arch …]
#
# For each system an archive with the program, the licence and the README, and beside it the list of the
# modules that are compiled in (CycloneDX); then the checksums of all. RELEASE is stamped into the programs.
# On Windows there is no private PostgreSQL: the command line works, and serve with DATABASE_URL.
set -eu

cd "$(dirname "$0")/.."
go=${GO:-go}
cyclonedx=${CYCLONEDX:-github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod@v1.10.0}
out=${RELEASE_OUT:-bin/release}
release=${RELEASE:-$(git describe --tags --always --dirty 2>/dev/null || echo unknown)}
created=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct 2>/dev/null || echo 0)}
[ $# -gt 0 ] || set -- linux/amd64 linux/arm64 darwin/amd64 darwin/arm64 windows/amd64

rm -rf "$out"
mkdir -p "$out"
out=$(cd "$out" && pwd)
here=$(pwd)
for target in "$@"; do
	os=${target%/*} arch=${target#*/} program=commensal kind=tar.gz
	if [ "$os" = windows ]; then program=commensal.exe kind=zip; fi
	name=commensal_${release}_${os}_$arch
	work=$out/$name
	mkdir "$work"
	CGO_ENABLED=0 GOOS=$os GOARCH=$arch "$go" build -trimpath -buildvcs=false -ldflags "-s -w -X main.release=$release" -o "$work/$program" ./cmd/commensal
	"$go" run "$cyclonedx" bin -json -noserial -version "$release" -output "$out/$name.cdx.json" "$work/$program" 2>"$out/said" || {
		cat "$out/said" >&2
		exit 1
	}
	"$go" run -C deploy/packaging ./archive -out "$out/$name.$kind" -folder "$name" -created "$created" "$work/$program" "$here/LICENSE" "$here/README.md"
	rm -r "$work"
	echo "$name.$kind"
done
rm -f "$out/said"
cd "$out"
if command -v sha256sum >/dev/null 2>&1; then sha256sum ./commensal_*; else shasum -a 256 ./commensal_*; fi | sed 's# \([ *]\)\./# \1#' >SHA256SUMS
