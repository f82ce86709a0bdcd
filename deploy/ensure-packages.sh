#!/bin/sh
# Makes sure that Debian packages are installed, whose servers the tests start themselves:
#
#     deploy/ensure-packages.sh patroni etcd-server
#
# Only as root on a system with apt-get; anywhere else it says what to install. None of the servers
# is started by its installation.
#
# Exit status: 0 all are there; 1 they are not.
set -eu

say() { printf '%s\n' "$*" >&2; }

missing=
for package; do
	case $(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) in
	installed) ;;
	*) missing="$missing $package" ;;
	esac
done
[ -n "$missing" ] || exit 0
if [ "$(id -u)" -ne 0 ] || ! command -v apt-get >/dev/null 2>&1; then
	say "As an administrator, type:  apt-get update && apt-get install --no-install-recommends$missing"
	exit 1
fi
say "Installing with apt-get:$missing"
policy=/usr/sbin/policy-rc.d
if [ ! -e "$policy" ]; then
	printf '#!/bin/sh\nexit 101\n' >"$policy"
	chmod 755 "$policy"
	trap 'rm -f "$policy"' EXIT
fi
log=$(mktemp)
for attempt in 1 2 3; do
	# The names are meant to be split.
	# shellcheck disable=SC2086
	if { apt-get update && DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends $missing; } >"$log" 2>&1 </dev/null; then
		rm -f "$log"
		exit 0
	fi
	say "apt-get did not succeed (attempt $attempt of 3)."
	sleep $((attempt * 5))
done
tail -n 20 "$log" >&2
rm -f "$log"
exit 1
