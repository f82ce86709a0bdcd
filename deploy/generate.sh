#!/bin/sh
# Generates code from the contract: deploy/generate.sh, or deploy/generate.sh check,
# which changes nothing in the tree and fails when a generated file is not current.
set -eu

go=${GO:-go}
cd "$(dirname "$0")/.."

if [ "${1:-}" != check ]; then
	exec "$go" generate ./api/... ./db
fi

before=$(mktemp -d)
trap 'rm -rf "$before"' EXIT
cp api/gen/*.gen.* db/catalogue.packed db/catalogue.edition "$before"
cp internal/species/animals.gen.go "$before/animals"
"$go" generate ./api/... ./db
status=0
for file in "$before"/*.gen.*; do
	name=$(basename "$file")
	if ! diff -u "$file" "api/gen/$name" >&2; then
		echo "api/gen/$name is not what make generate makes of openapi.yaml" >&2
		cp "$file" "api/gen/$name"
		status=1
	fi
done
for name in catalogue.packed catalogue.edition; do
	if ! cmp -s "$before/$name" "db/$name"; then
		echo "db/$name is not what make generate makes of db/catalogue" >&2
		cp "$before/$name" "db/$name"
		status=1
	fi
done
if ! diff -u "$before/animals" internal/species/animals.gen.go >&2; then
	echo "internal/species/animals.gen.go is not what make generate makes of db/catalogue/animals.yaml" >&2
	cp "$before/animals" internal/species/animals.gen.go
	status=1
fi
exit $status
