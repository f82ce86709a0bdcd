package scale

import (
	"fmt"
	"math"
)

// Load is who uses the service, and how much.
type Load struct {
	Shops, Tanks     float64
	LookupsPerSecond float64 // at the busiest time
	Hit              float64 // share of lookups that the cache answers, 0 to 1

	ReadingsPerTankWeek, ChangesPerTankWeek float64
	ChecksPerShopDay, ListsPerShopDay       float64 // recorded checks; pages of lists
	ReadingDays, RecordDays                 float64 // for how long both are kept
	Busiest                                 float64 // the busiest second over the mean of the day
}

// Usual is a load with the habits that deploy/SCALE.md assumes of shops.
func Usual(shops, tanks, lookups, hit float64) Load {
	return Load{Shops: shops, Tanks: tanks, LookupsPerSecond: lookups, Hit: hit,
		ReadingsPerTankWeek: 1, ChangesPerTankWeek: 1, ChecksPerShopDay: 40, ListsPerShopDay: 200, ReadingDays: 365, RecordDays: 730, Busiest: 6}
}

// How the machines are used. Each is a choice, not a measurement.
const (
	// busy is how much of its processors a service or a database uses at the busiest time: beyond it waits grow
	// quickly, and the loss of one in four machines must be borne.
	busy = 0.6
	// serviceCores is what one replica of the service has.
	serviceCores = 4
	// cacheOverhead is what the collector lets memory grow to, over what is live.
	cacheOverhead = 2
	// copies of the database: the primary, a synchronous standby, and another that serves reads.
	copies = 3
	// bloat is what a table takes over its rows where they change, until vacuum has come round.
	bloat = 1.3
	// nodeBytes is what one machine with PostgreSQL holds so that a base backup and a new standby take hours and not
	// days: 2 TiB.
	nodeBytes = 2 << 40
	// connections of one replica to the primary, as the service has them.
	connections = 8

	day, week = 86400.0, 7 * 86400.0
)

// Need is a line of the table.
type Need struct {
	What  string
	Value float64
	Unit  string
}

// Needs is what a load takes.
func (f *Figures) Needs(l *Load) []Need {
	d := f.demand(l)
	replicas := math.Ceil(d.serviceCores/busy/serviceCores) + 1
	bytes := d.kept * bloat
	return []Need{
		{"lookups answered, at the busiest", l.LookupsPerSecond, "a second"},
		{"… of them from the cache", 100 * l.Hit, "%"},
		{"changes stored, at the busiest", d.writes, "a second"},
		{"pages of lists, at the busiest", d.lists, "a second"},
		{"processors of the service, busy", d.serviceCores, "cores"},
		{"replicas of the service (4 cores each, 60 % busy, one spare)", replicas, ""},
		{"memory of a replica", (f.ServiceBytes + cacheOverhead*1.5*(ReplicaCacheMiB-MeasuredCacheMiB)*mib) / gib, "GiB"},
		{"sent to clients", l.LookupsPerSecond*f.PairingBytes*8/1e9 + d.checks*f.CheckBytes*8/1e9, "Gbit/s"},
		{"connections to the database (PgBouncer joins them)", replicas * connections, ""},
		{"processors of the primary, busy", d.databaseWrites, "cores"},
		{"processors of the standbys that serve lists, busy", d.databaseLists, "cores"},
		{"stored, one copy", bytes / tib, "TiB"},
		{"… of it recorded checks", 100 * d.recorded / d.kept, "%"},
		{"stored, three copies", copies * bytes / tib, "TiB"},
		{"log of changes, at the busiest", d.wal / mib, "MiB/s"},
		{"log of changes in the archive", d.wal / l.Busiest * day / gib, "GiB a day"},
		{"sent to two standbys and the archive, at the busiest", copies * d.wal * 8 / 1e6, "Mbit/s"},
		{"groups of primary and standbys, by storage (2 TiB each)", max(1, math.Ceil(bytes/nodeBytes)), ""},
		{"processors of each primary (60 % busy)", math.Ceil(d.databaseWrites / busy / max(1, math.Ceil(bytes/nodeBytes))), "cores"},
	}
}

// ReplicaCacheMiB is COMMENSAL_ANSWER_CACHE of a replica; pages take half as much beside.
const ReplicaCacheMiB = 512

const mib, gib, tib = 1 << 20, 1 << 30, 1 << 40

// demand is what comes in at the busiest time, and what is kept in the end.
type demand struct {
	writes, lists, checks         float64 // a second
	serviceCores                  float64
	databaseWrites, databaseLists float64 // cores
	wal                           float64 // bytes a second
	kept, recorded                float64 // bytes
}

func (f *Figures) demand(l *Load) (d demand) {
	d.checks = l.Shops * l.ChecksPerShopDay / day * l.Busiest
	d.lists = l.Shops * l.ListsPerShopDay / day * l.Busiest
	flows := []struct {
		of        *Stored
		perSecond float64
		kept      float64 // for good, how many
	}{
		{&f.Tank, l.Tanks * l.ChangesPerTankWeek / week * l.Busiest, l.Tanks},
		{&f.Reading, l.Tanks * l.ReadingsPerTankWeek / week * l.Busiest, l.Tanks * l.ReadingsPerTankWeek / 7 * l.ReadingDays},
		{&f.Record, d.checks, l.Shops * l.ChecksPerShopDay * l.RecordDays},
	}
	const seconds = 1e-6
	d.serviceCores = seconds * (l.LookupsPerSecond*(l.Hit*f.CachedPairing+(1-l.Hit)*f.ComputedPairing) + d.lists*f.List.Service)
	d.databaseLists = seconds * d.lists * f.List.Database
	for _, flow := range flows {
		d.writes += flow.perSecond
		d.serviceCores += seconds * flow.perSecond * flow.of.Service
		d.databaseWrites += seconds * flow.perSecond * flow.of.Database
		d.wal += flow.perSecond * flow.of.WAL
		d.kept += flow.kept*flow.of.Bytes + flow.perSecond/l.Busiest*day*flow.of.Brief
	}
	d.recorded = flows[2].kept * f.Record.Bytes
	return d
}

// Digits writes a number with as many digits as it deserves: two or three that count.
func Digits(x float64) string {
	switch {
	case x == 0 || x >= 100:
		return group(fmt.Sprintf("%.0f", x))
	case x >= 10:
		return fmt.Sprintf("%.0f", x)
	case x == math.Trunc(x):
		return fmt.Sprintf("%.0f", x)
	case x >= 1:
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.2g", x)
}

// group puts commas between thousands.
func group(digits string) string {
	if len(digits) <= 3 {
		return digits
	}
	return group(digits[:len(digits)-3]) + "," + digits[len(digits)-3:]
}
