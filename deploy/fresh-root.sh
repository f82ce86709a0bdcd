#!/usr/bin/env bash
# Does what somebody does who has just installed a machine: in an empty Debian root with make, git,
# ca-certificates and Go alone, so that a step that is missing cannot hide behind what happens to be
# installed here:
#
#     deploy/fresh-root.sh                 as an ordinary user and as root: make run, make install, make test
#     deploy/fresh-root.sh 'go test ./db'  this in the place of make test
#
# It needs root, debootstrap, a mirror and the right to make namespaces; where one is missing it says
# what, and that the stage is left out. The root and all that runs in it are gone at the end.
set -euo pipefail
cd "$(dirname "$0")/.."

tests=${1:-make test}

left_out() {
	echo "left out: $*"
	exit 0
}

[ "$(id -u)" -eq 0 ] || left_out "an empty root needs root"
command -v debootstrap >/dev/null 2>&1 || left_out "debootstrap is not installed"
command -v apt-get >/dev/null 2>&1 || left_out "this is no Debian"
unshare --mount --pid --fork true 2>/dev/null || left_out "namespaces cannot be made here"
release=$(. /etc/os-release && echo "${VERSION_CODENAME:-}")
mirror=$(apt-get indextargets --format '$(CODENAME) $(COMPONENT) $(SITE)' 'Created-By: Packages' |
	awk -v want="$release" '$1 == want && $2 == "main" { print $3; exit }')
[ -n "$mirror" ] || left_out "apt knows no mirror for ${release:-this system}"

root=$(mktemp -d "${TMPDIR:-/tmp}/commensal-fresh.XXXXXX")
trap 'rm -rf --one-file-system "$root"' EXIT
trap 'exit 1' HUP INT TERM
chmod 755 "$root"

debootstrap --variant=minbase --include=make,git,ca-certificates "$release" "$root" "$mirror" >"$root/debootstrap.out" 2>&1 || {
	tail -n 5 "$root/debootstrap.out"
	left_out "debootstrap found no way to an empty root"
}

# How this machine reaches the world is how the new one does.
cp /etc/resolv.conf "$root/etc/resolv.conf"
cp -a /etc/apt/. "$root/etc/apt/"
for certificates in /etc/ssl/certs /usr/local/share/ca-certificates /usr/share/ca-certificates; do
	[ ! -d "$certificates" ] || { mkdir -p "$root$certificates" && cp -a "$certificates/." "$root$certificates/"; }
done
printf '#!/bin/sh\nexit 101\n' >"$root/usr/sbin/policy-rc.d" # no package starts a server
chmod 755 "$root/usr/sbin/policy-rc.d"

# Go, and the modules that were fetched already; the tree as a clone would have it.
cp -a "$(go env GOROOT)" "$root/usr/local/go"
modules=$(go env GOMODCACHE)/cache/download
mkdir -p "$root/modules" "$root/src"
[ ! -d "$modules" ] || cp -a "$modules/." "$root/modules/"
git ls-files -z --cached --others --exclude-standard | while IFS= read -r -d '' file; do
	[ ! -e "$file" ] || printf '%s\0' "$file"
done | tar --create --null --files-from=- | tar --extract --directory="$root/src" --no-same-owner
chmod -R a+rX "$root/src" "$root/modules"
cp -a "$root/src" "$root/src-of-user"
chown -R 1000:1000 "$root/src-of-user"

inside() { # inside USER COMMAND: nothing of this machine's environment but the way to the module proxy
	unshare --mount --pid --fork --kill-child sh -c '
		root=$1 user=$2
		shift 2
		mount -t proc proc "$root/proc" && mount --rbind /dev "$root/dev" && mount -t tmpfs -o mode=1777 tmpfs "$root/tmp" || exit 99
		exec env -i HOME=/home/${user%:*} PATH=/usr/local/go/bin:/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin \
			GOPROXY="file:///modules,$GOPROXY" GOSUMDB="$GOSUMDB" GOFLAGS=-buildvcs=false GOTOOLCHAIN=local http_proxy="${http_proxy:-}" https_proxy="${https_proxy:-}" \
			chroot --userspec="$user" "$root" sh -c "$*"' - "$root" "$@"
}
GOPROXY=$(go env GOPROXY) GOSUMDB=$(go env GOSUMDB)
export GOPROXY GOSUMDB
mkdir -p "$root/home/0" "$root/home/1000"
chown 1000:1000 "$root/home/1000"
chroot "$root" useradd --uid 1000 --no-create-home --home-dir /home/1000 newcomer

inside 0:0 true || left_out "nothing can be mounted here"
for absent in curl gcc psql; do
	if inside 0:0 command -v "$absent" >/dev/null; then
		echo "the empty root has $absent and is no test"
		exit 1
	fi
done

echo "an ordinary user without PostgreSQL is told what to type, before anything is built"
if inside 1000:1000 'cd /src-of-user && make run' >"$root/told" 2>&1; then
	echo "make run went on without PostgreSQL"
	exit 1
fi
head -n 1 "$root/told"
head -n 1 "$root/told" | grep -q 'administrator.*apt-get install --no-install-recommends postgresql'
[ ! -e "$root/src-of-user/bin" ]

echo "root: make run"
inside 0:0 'cd /src && deploy/smoke-run.sh'
packages=$(inside 0:0 "dpkg-query -W -f '\${Package}\n'" | grep -c -e postgresql -e '^exim' -e sysstat || true)
echo "$packages packages of PostgreSQL"

echo "the same user, now that an administrator has done so: make run, make install"
inside 1000:1000 'cd /src-of-user && deploy/smoke-run.sh && make install PREFIX=/tmp/mine >/dev/null && /tmp/mine/bin/commensal --version'

echo "root: $tests"
inside 0:0 "cd /src && export COMMENSAL_TEST_DB=local && $tests"
