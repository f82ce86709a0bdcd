#!/usr/bin/env bash
# Builds the archive of a release for this machine, and looks at what it holds: deploy/release-check.sh
set -euo pipefail
cd "$(dirname "$0")/.."

go=${GO:-go}
work=$(mktemp -d "${TMPDIR:-/tmp}/commensal-release.XXXXXX")
trap 'rm -rf "$work"' EXIT
fail() { echo "$*" >&2; exit 1; }
# The other systems, their types only: a file that one of them has not is noticed here and not on the day of the release.
"$go" run -C deploy/packaging ./elsewhere -in ../.. ./cmd/commensal windows/amd64 darwin/arm64 || fail "the program does not compile for other systems"
target=$("$go" env GOHOSTOS)/$("$go" env GOHOSTARCH)
name=commensal_v0.0.0-check_${target/\//_}

RELEASE=v0.0.0-check RELEASE_OUT=$work deploy/release.sh "$target"
cd "$work"
[ "$(ls | sort | tr '\n' ' ')" = "SHA256SUMS $name.cdx.json $name.tar.gz " ] || fail "the release holds $(ls)"
sha256sum --check --strict --quiet SHA256SUMS
[ "$(wc -l <SHA256SUMS)" -eq 2 ]
tar -xzf "$name.tar.gz"
said=$("$name/commensal" --version)
[[ $said = *"commensal v0.0.0-check "* ]] || fail "the program says $said"
"$name/commensal" pair oscar 'neon tetra' | head -n 1
[ -s "$name/LICENSE" ] && [ -s "$name/README.md" ]
# Each module that the program says it was made of stands on the list, in the same version.
modules=0
while read -r kind path version _; do
	[ "$kind" = dep ] || continue
	modules=$((modules + 1))
	grep -qF "\"purl\": \"pkg:golang/$path@$version?" "$name.cdx.json" || fail "$path $version is not on the list of modules"
done < <("$go" version -m "$name/commensal" | tr -s '\t' ' ' | sed 's/^ //')
[ "$modules" -gt 20 ] || fail "the program is made of $modules modules"
grep -q '"bomFormat": "CycloneDX"' "$name.cdx.json"
echo "its types are sound on Windows and macOS; $modules modules are listed, the checksums are right, the version is stamped"
