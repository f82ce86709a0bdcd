#!/bin/sh
# Makes sure that the browser tests have a chromium to look with, and type to read in:
#
#     deploy/ensure-chromium.sh
#
# Where there is none it installs the packages chromium and fonts-dejavu-core, but only
# as root on a system with apt-get; it says so first. Anywhere else it says what to
# install. COMMENSAL_CHROMIUM names another browser.
#
# Exit status: 0 a browser is there; 1 there is none.
set -eu

say() { printf '%s\n' "$*" >&2; }

there() {
	for name in "${COMMENSAL_CHROMIUM:-chromium}" chromium-browser google-chrome; do
		command -v "$name" >/dev/null 2>&1 && return 0
	done
	return 1
}

there && exit 0
if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null 2>&1; then
	say "chromium is not installed: installing the packages chromium and fonts-dejavu-core with apt-get."
	log=$(mktemp)
	for attempt in 1 2 3; do
		if { apt-get update && DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends chromium fonts-dejavu-core; } \
			>"$log" 2>&1 </dev/null && there; then
			rm -f "$log"
			exit 0
		fi
		say "apt-get did not succeed (attempt $attempt of 3)."
		sleep $((attempt * 5))
	done
	tail -n 20 "$log" >&2
	rm -f "$log"
fi
say "The browser tests need chromium: install the packages chromium and fonts-dejavu-core, or name a browser in COMMENSAL_CHROMIUM."
exit 1
