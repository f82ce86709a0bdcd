package service

import (
	"log/slog"
	"strings"
	"testing"
	"time"
)

func TestATimeInTheLogCarriesItsUnit(t *testing.T) {
	t.Parallel()
	for d, want := range map[time.Duration]string{
		152913747: `"152.9ms"`, 20 * time.Second: `"20s"`, 0: `"0s"`, 7: `"7ns"`, -1500 * time.Microsecond: `"-1.5ms"`, 61*time.Second + 4*time.Millisecond: `"1m1s"`,
	} {
		var b strings.Builder
		newLog(&b, slog.LevelInfo).With("group", 1).Info("x", "took", d)
		if !strings.Contains(b.String(), `"took":`+want) {
			t.Errorf("%d: %s", d, b.String())
		}
	}
}
