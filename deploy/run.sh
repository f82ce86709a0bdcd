#!/bin/sh
# Runs a program under make until it ends: deploy/run.sh bin/commensal serve
#
# Ctrl-C in a terminal reaches make, this script and the program alike. But who sends an interrupt
# to make alone (a supervisor, timeout --foreground) finds that GNU make keeps it for itself and waits.
# On Linux one can see that: make then catches it no more. The interrupt is passed on from here.
set -eu

make=$PPID
told=

"$@" <&0 &
program=$!

trap 'told=yes' INT
trap 'kill -TERM "$program" 2>/dev/null || :' TERM HUP
trap '[ -n "$told" ] || kill -INT "$program" 2>/dev/null || :' USR1

catches_interrupts() { # bit 2 of the mask of caught signals
	grep -q '^SigCgt:.*[2367abef]$' "/proc/$make/status" 2>/dev/null
}

watch_make() {
	while catches_interrupts; do sleep 0.5; done
	kill -USR1 $$ 2>/dev/null || :
}

watcher=
if catches_interrupts; then
	watch_make &
	watcher=$!
fi

# A signal ends a wait and not the program.
while :; do
	status=0
	wait "$program" || status=$?
	kill -0 "$program" 2>/dev/null || break
done
[ -z "$watcher" ] || kill "$watcher" 2>/dev/null || :
exit $status
