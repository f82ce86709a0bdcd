#!/bin/sh
# Generates code from the contract: deploy/generate.sh, or deploy/generate.sh check,
# which changes nothing in the tree and fails when a generated file is not current.
set -eu

go=${GO:-go}
cd "$(dirname "$0")/.."

if [ "${1:-}" != check ]; then
	exec "$go" generate ./api/...
fi

before=$(mktemp -d)
trap 'rm -rf "$before"' EXIT
cp api/gen/*.gen.* "$before"
"$go" generate ./api/...
status=0
for file in "$before"/*.gen.*; do
	name=$(basename "$file")
	if ! diff -u "$file" "api/gen/$name" >&2; then
		echo "api/gen/$name is not what make generate makes of openapi.yaml" >&2
		cp "$file" "api/gen/$name"
		status=1
	fi
done
exit $status
