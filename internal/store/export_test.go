package store

// Stored lists the tables that are emptied when an organization is erased.
func Stored() []string { return stored }
