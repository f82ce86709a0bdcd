package main

import (
	"fmt"
	"io"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/outlier"
)

// listOutliers lists the farthest values of each trait, with the reasons that entries give, and then the
// reasons that no value calls for.
func listOutliers(w io.Writer, entries []*species.Species, worst int) error {
	if worst < 0 {
		return usagef("--worst is a number of values, 0 for all, not %d", worst)
	}
	reasons := outlierReasons(entries)
	shown, reviewed := 0, 0
	place := make(map[string]int)
	for _, o := range outlier.Of(entries) {
		place[o.Field]++
		reason, ok := reasons[of{o.Species, o.Field}]
		delete(reasons, of{o.Species, o.Field})
		if worst > 0 && place[o.Field] > worst {
			continue
		}
		shown++
		fmt.Fprintf(w, "%s %d: %s: %s", o.Field, place[o.Field], o.Species, o.Detail)
		if ok {
			reviewed++
			fmt.Fprintf(w, "; right because %s", reason)
		}
		fmt.Fprintln(w)
	}
	for _, s := range entries {
		for _, r := range s.Reviewed {
			if field, ok := entry.ReviewedOutlier(r.Field); ok && reasons[of{s.ID, field}] != "" {
				fmt.Fprintf(w, "%s: %s is not far off any more: take its reason out\n", s.ID, field)
			}
		}
	}
	fmt.Fprintf(w, "%d values shown, %d with a reason\n", shown, reviewed)
	return nil
}

// of is a value of an entry.
type of struct {
	id    species.ID
	field string
}

// outlierReasons are what entries say of values that are far off.
func outlierReasons(entries []*species.Species) map[of]string {
	out := make(map[of]string)
	for _, s := range entries {
		for _, r := range s.Reviewed {
			if field, ok := entry.ReviewedOutlier(r.Field); ok {
				out[of{s.ID, field}] = r.Reason
			}
		}
	}
	return out
}
