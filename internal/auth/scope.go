package auth

import "slices"

// Scope is one thing that a key permits.
type Scope string

// The scopes.
const (
	TanksRead    Scope = "tanks:read"    // read and judge stored tanks
	TanksWrite   Scope = "tanks:write"   // change tanks, residents and readings
	ChecksRead   Scope = "checks:read"   // read recorded checks
	ChecksWrite  Scope = "checks:write"  // record checks and overrides
	ReportsWrite Scope = "reports:write" // file keeping reports
	StockRead    Scope = "stock:read"    // read what is sold, and name it in lists
	StockWrite   Scope = "stock:write"   // change what is sold
	Manage       Scope = "manage"        // make and revoke keys of the organization, erase its data
	Curate       Scope = "curate"        // change the catalogue, which is everybody's
	Admin        Scope = "admin"         // run the service: organizations, and keys of any of them
)

// AllScopes lists the scopes.
func AllScopes() []Scope {
	return []Scope{TanksRead, TanksWrite, ChecksRead, ChecksWrite, ReportsWrite, StockRead, StockWrite, Manage, Curate, Admin}
}

// Known reports whether the scope exists.
func (s Scope) Known() bool { return slices.Contains(AllScopes(), s) }

// BeyondOrganization reports whether the scope reaches past the organization of its key,
// so that only an admin can grant it.
func (s Scope) BeyondOrganization() bool { return s == Curate || s == Admin }
