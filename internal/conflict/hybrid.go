package conflict

import "commensal/internal/species"

// Crosses reports whether two different kinds are known to hybridise. A trade form and
// its own species do not count.
func Crosses(a, b *species.Species) bool { return a.ID != b.ID && !kin(a, b) && crosses(a, b) }
