package replica

import "time"

// seen is where the primary was at a moment of ours.
type seen struct {
	at   Position
	when time.Time
}

// maxSeen is how many moments are kept: at two a second more than two minutes, beyond every bound that can be set.
const maxSeen = 256

// track is where the primary was lately, in order of time. By it the lag of a replica is told in our own time, of
// one clock, and a primary on which nothing happens leaves nobody behind.
type track []seen

// note adds where the primary is. Where it has gone back, another one took over, and what was noted says nothing any more.
func (t *track) note(s seen) {
	list := *t
	if n := len(list); n > 0 && s.at < list[n-1].at {
		list = nil
	} else if n > 0 && s.at == list[n-1].at {
		return // it was there before already
	}
	if len(list) == maxSeen {
		list = append(list[:0], list[1:]...)
	}
	*t = append(list, s)
}

// lag is for how long a replica at a position has been without something that the primary had: 0 where it has all,
// and too small by the time between two looks at most.
func (t track) lag(at Position, now time.Time) time.Duration {
	for _, s := range t {
		if s.at > at {
			return now.Sub(s.when)
		}
	}
	return 0
}
