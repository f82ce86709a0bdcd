package main

import "strings"

// named is one of the benchmarks that are compared.
type named struct {
	about   string // in a word or two
	pkg     string // below the root
	name    string // as go test prints it, without Benchmark and the number of processors
	unit    string // of what is compared
	greater bool   // the greater the better
}

// benchmarks are compared: what is asked most, from the kernel to the database.
var benchmarks = []named{
	{"value of a pair", "internal/conflict", "Value", perOp, false},
	{"check", "api", "HandledCheck", perOp, false},
	{"brief check", "api/lists", "Brief/dozen_on_hold/brief", perOp, false},
	{"additions", "internal/stocking/additions", "AdditionsToCommunity/1000", perOp, false},
	{"groupings", "internal/stocking/groupings", "FewestTanks/12", perOp, false},
	{"lookup, kept", "api", "Handler/pairing_kept", perOp, false},
	{"lookup, computed", "api", "Handler/pairing_computed", perOp, false},
	{"lookup of a species", "api", "Handler/species", perOp, false},
	{"tanks: write, read, check", "api", "Tanks/throwaway", "ours/s", true},
	{"catalogue load", "internal/species/catalogue/builtin", "Catalogue/packed", perOp, false},
}

// perOp is the unit of the time of one operation.
const perOp = "sec/op"

// pattern selects the benchmark and no other.
func (n *named) pattern() string {
	return "^" + strings.ReplaceAll("Benchmark"+n.name, "/", "$/^") + "$"
}

// binary is the file of the package's test binary.
func (n *named) binary() string { return strings.ReplaceAll(n.pkg, "/", "-") + ".test" }
