#!/bin/sh
# Builds an image with PostgreSQL and HAProxy, which the store's tests and
# deploy/compose-check.sh can use where a Docker engine answers but no registry can
# be reached, as in CI:
#
#     deploy/test-image/build.sh [tag]            (as root; default tag below)
#     COMMENSAL_TEST_DB=container COMMENSAL_TEST_IMAGE=commensal-test-services \
#         TESTCONTAINERS_RYUK_DISABLED=true go test ./internal/store/...
#
# It is made of Debian packages from the mirror this machine already uses. It is
# for tests only: everyone else runs the official image. An existing tag is kept.
set -eu

tag=${1:-commensal-test-services}
here=$(cd "$(dirname "$0")" && pwd)

say() { printf 'test-image: %s\n' "$*" >&2; }
die() { say "$*"; exit 1; }

need() {
	command -v "$1" >/dev/null 2>&1 || die "$1 is missing: $2"
}

need docker "install a Docker engine and its client"
if docker image inspect "$tag" >/dev/null 2>&1; then
	say "$tag exists, nothing to do"
	exit 0
fi
need debootstrap "apt-get install -y debootstrap"
[ "$(id -u)" -eq 0 ] || die "debootstrap needs root"

# The release and its mirror, as apt on this machine sees them.
release=$(. /etc/os-release && echo "${VERSION_CODENAME:-}")
[ -n "$release" ] || die "/etc/os-release names no VERSION_CODENAME"
mirror=$(apt-get indextargets --format '$(CODENAME) $(COMPONENT) $(SITE)' 'Created-By: Packages' |
	awk -v want="$release" '$1 == want && $2 == "main" { print $3; exit }')
[ -n "$mirror" ] || die "apt knows no mirror for $release main: run apt-get update"

root=$(mktemp -d "${TMPDIR:-/tmp}/commensal-test-image.XXXXXX")
trap 'rm -rf --one-file-system "$root"' EXIT
trap 'exit 1' HUP INT TERM

say "base system ($release)"
debootstrap --variant=minbase "$release" "$root" "$mirror" >"$root.log" 2>&1 || {
	tail -n 20 "$root.log" >&2
	die "debootstrap failed; its log is $root.log"
}
rm -f "$root.log"

say "PostgreSQL and HAProxy"
# Nothing may be started inside the folder, and the package must not create a
# cluster: the entry point makes one in the container.
printf '#!/bin/sh\nexit 101\n' >"$root/usr/sbin/policy-rc.d"
chmod 755 "$root/usr/sbin/policy-rc.d"
mkdir -p "$root/etc/postgresql-common"
echo 'create_main_cluster = false' >"$root/etc/postgresql-common/createcluster.conf"
run() { env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin DEBIAN_FRONTEND=noninteractive LC_ALL=C chroot "$root" "$@"; }
run apt-get -qq install -y --no-install-recommends postgresql haproxy </dev/null >/dev/null 2>&1 ||
	die "apt-get install postgresql haproxy failed in the new system"
# Our own link, so that the entry point need not know the major version.
run sh -c 'ln -s "$(ls -d /usr/lib/postgresql/*/bin | sort -V | tail -n 1)" /usr/local/pgbin'

say "slimming"
# The just-in-time compiler is switched off in tests; LLVM is half of the image.
rm -rf "$root"/usr/lib/*/libLLVM* "$root"/usr/lib/llvm-* \
	"$root"/usr/lib/postgresql/*/lib/bitcode "$root"/usr/lib/postgresql/*/lib/llvmjit* \
	"$root"/usr/share/doc "$root"/usr/share/man "$root"/usr/share/info \
	"$root"/usr/share/locale "$root"/usr/share/postgresql/*/man \
	"$root"/usr/lib/*/perl "$root"/usr/share/perl \
	"$root"/var/lib/apt/lists "$root"/var/cache/apt "$root"/var/cache/debconf \
	"$root"/var/log "$root"/usr/sbin/policy-rc.d "$root"/etc/resolv.conf
mkdir -p "$root/var/log" "$root/var/lib/postgresql/data"
install -m 755 "$here/entrypoint.sh" "$root/usr/local/bin/entrypoint.sh"

say "importing as $tag"
tar -C "$root" --numeric-owner --exclude='./proc/*' --exclude='./sys/*' --exclude='./dev/*' -c . |
	docker import \
		--change 'ENV PATH=/usr/local/pgbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin' \
		--change 'ENV PGDATA=/var/lib/postgresql/data' \
		--change 'EXPOSE 5432' \
		--change 'ENTRYPOINT ["/usr/local/bin/entrypoint.sh"]' \
		--change 'CMD ["postgres"]' \
		- "$tag" >/dev/null
say "$tag is ready ($(docker image inspect --format '{{.Size}}' "$tag" | awk '{ printf "%d MiB", $1 / 1048576 }'))"
