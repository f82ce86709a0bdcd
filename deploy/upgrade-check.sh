#!/usr/bin/env bash
# Builds earlier states of the program out of the history, and lets each answer while today's takes over its
# database:
#
#     deploy/upgrade-check.sh [COMMIT …]
#
# Without a commit that is the last one with fewer migrations, and where it has today's edition of the built-in
# catalogue also the last one with an earlier edition. Where the history is not here it says so and tries nothing.
set -euo pipefail
cd "$(dirname "$0")/.."

go=${GO:-go}
work=$(mktemp -d "${TMPDIR:-/tmp}/commensal-before.XXXXXX")
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM

migrations() { git ls-tree --name-only "$1" db/migrations/ | sed -n 's#.*/0*\([0-9]*\)_.*\.up\.sql$#\1#p' | sort -n | tail -n 1; }
edition() { git show "$1:db/catalogue.edition" 2>/dev/null | cut -d ' ' -f 1; }

# before KIND: the last commit of the first parents of which something is less than today.
before() {
	local of=$1 today commit then
	today=$("$of" HEAD)
	while read -r commit; do
		then=$("$of" "$commit")
		[ -n "$then" ] || return 0 # older than what is looked at
		if [ "$then" -lt "$today" ]; then
			echo "$commit"
			return 0
		fi
	done < <(git rev-list --first-parent HEAD)
}

if [ $# -eq 0 ]; then
	fewer=$(before migrations)
	[ -z "$fewer" ] || set -- "$fewer"
	if [ -z "$fewer" ] || [ "$(edition "$fewer")" = "$(edition HEAD)" ]; then
		earlier=$(before edition)
		[ -z "$earlier" ] || set -- "$@" "$earlier"
	fi
fi
if [ $# -eq 0 ]; then
	echo "skipped: the history has no earlier release"
	exit 0
fi
for commit; do
	mkdir -p "$work/$commit"
	git archive "$commit" | tar -x -C "$work/$commit"
	(cd "$work/$commit" && CGO_ENABLED=0 "$go" build -trimpath -buildvcs=false -o "$work/commensal-$commit" ./cmd/commensal)
	rm -rf "${work:?}/$commit"
	echo "$(git log -1 --format='%h of %cs' "$commit"): migration $(migrations "$commit"), edition $(edition "$commit") of the catalogue; today $(migrations HEAD) and $(edition HEAD)"
	COMMENSAL_TORTURE_BEFORE="$work/commensal-$commit" "$go" test -count=1 -run='^TestAnEarlierReleaseAnswersWhileThisOneMigrates$' -v ./internal/torture | grep -v '^=== '
done
