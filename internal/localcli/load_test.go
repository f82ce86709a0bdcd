package localcli

import "testing"

func TestFiguresAreAsRoughAsTheyAreGood(t *testing.T) {
	for x, want := range map[float64]string{862: "860", 2690: "2700", 40.9: "41", 4.87: "4.9", 0.202: "0.2", 0.0602: "0.06", 0.0657: "0.066", 9.96: "10", 0: "0"} {
		if got := rough(x); got != want {
			t.Errorf("%v is written %s, not %s", x, got, want)
		}
	}
	for share, want := range map[float64]string{0.026: "10", 0.1: "10", 0.101: "15", 0.71: "75", 0.75: "75", 1: "100", 1.4: "100", 0: "10"} {
		if got := inSteps(share); got != want {
			t.Errorf("a change of %v is written %s, not %s", share, got, want)
		}
	}
}
