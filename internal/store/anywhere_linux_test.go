package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"commensal/internal/store"
	"commensal/internal/store/dbtest"
	"commensal/internal/store/replica"

	"github.com/google/uuid"
)

// followed is a store on a primary and its standby.
type followed struct {
	*store.Store
	t   testing.TB
	pg  *dbtest.Followed
	org uuid.UUID
}

func newFollowed(t testing.TB, opts store.Options) *followed {
	t.Helper()
	pg := dbtest.NewFollowed(t)
	opts.ReplicaDSN = pg.Standby
	f := &followed{Store: openOn(t, pg.Primary, opts), t: t, pg: pg}
	f.look(f.Store)
	f.eventually("the replica is found", func(s replica.State) bool { return s.Why == "" })
	return f
}

// look follows the replica until the test ends.
func (f *followed) look(s *store.Store) {
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() { defer close(done); s.FollowReplica(ctx, func(replica.State) {}) }()
	f.t.Cleanup(func() { stop(); <-done })
}

func (f *followed) state() replica.State {
	s, ok := f.ReplicaState()
	if !ok {
		f.t.Fatal("there is no replica")
	}
	return s
}

// patientTest bounds what has to come true in the end.
const patientTest = time.Minute

func (f *followed) eventually(what string, holds func(replica.State) bool) {
	f.t.Helper()
	for end := time.Now().Add(patientTest); ; time.Sleep(10 * time.Millisecond) {
		s := f.state()
		if holds(s) {
			return
		}
		if time.Now().After(end) {
			f.t.Fatalf("never came true: %s: %+v", what, s)
		}
	}
}

// tanks are the tanks that a list has, and whether the replica made it.
func (f *followed) tanks(by *store.Store) (tanks map[uuid.UUID]bool, replica bool) {
	f.t.Helper()
	tanks = map[uuid.UUID]bool{}
	err := by.ReadAnywhere(f.t.Context(), f.org, func(tx *store.Tx) error {
		list, err := tx.Tanks(f.t.Context(), uuid.Nil, 10_000)
		for _, k := range list {
			tanks[k.ID] = true
		}
		replica = readOnlyServer(f.t, tx)
		return err
	})
	if err != nil {
		f.t.Fatal(err)
	}
	return tanks, replica
}

// readOnlyServer reports whether a transaction is on a standby: no write gets anywhere there.
func readOnlyServer(t testing.TB, tx *store.Tx) bool {
	t.Helper()
	in, err := store.Text(t.Context(), tx, `SELECT pg_is_in_recovery()::text`)
	if err != nil {
		t.Error(err)
	}
	return in == "true"
}

// mustSee makes sure that a list has a tank, wherever it is read.
func (f *followed) mustSee(when string, id uuid.UUID) (replica bool) {
	f.t.Helper()
	list, replica := f.tanks(f.Store)
	if !list[id] {
		f.t.Errorf("%s: a tank that was stored before is not in the list (replica %v)", when, replica)
	}
	return replica
}

// All of it on one primary and one standby, in the order that leaves the standby whole the longest.
func TestReadingFromAReplica(t *testing.T) {
	t.Parallel()
	f := newFollowed(t, store.Options{ReplicaMaxLag: time.Second})
	for _, part := range []struct {
		name string
		run  func(*testing.T)
	}{
		{"what was stored is in every list that is asked for afterwards", f.storedIsListed},
		{"it keeps organizations apart and takes no change", f.keepsApart},
		{"a read that is in the way of replaying is made on the primary", f.inTheWay},
		{"exports, histories and screening are read anywhere", f.exportsAndHistories},
		{"a read that it fails in the middle is made on the primary", f.failsInTheMiddle},
		{"one that is held back is read only where it has everything", f.heldBack},
		{"one that hangs or is gone costs only the first a wait", f.hangsOrIsGone},
		{"one that was promoted is not read from", f.promoted},
	} {
		t.Run(part.name, func(t *testing.T) {
			f.t = t
			f.org = organization(t, f.Store, part.name)
			part.run(t)
		})
	}
}

// Many write and list at the same time through two services: whoever was told that a tank is stored finds
// it in every list that is asked for afterwards, through whichever service, and most lists come from the replica.
func (f *followed) storedIsListed(t *testing.T) {
	other := openOn(t, f.pg.Primary, store.Options{ReplicaDSN: f.pg.Standby})
	f.look(other)
	services := [2]*store.Store{f.Store, other}
	f.eventually("the other service has found it too", func(replica.State) bool { s, _ := other.ReplicaState(); return s.Why == "" })
	var onReplica, asked atomic.Int64
	var wg sync.WaitGroup
	for client := range 6 {
		wg.Go(func() {
			for i := range 25 {
				made := createTank(t, services[(client+i)%2], f.org)
				list, replica := f.tanks(services[(client+i+1)%2])
				if !list[made] {
					t.Errorf("client %d does not find the tank it has stored (on the replica: %v)", client, replica)
				}
				if asked.Add(1); replica {
					onReplica.Add(1)
				}
			}
		})
	}
	wg.Wait()
	t.Logf("%d of %d lists came from the replica", onReplica.Load(), asked.Load())
	if onReplica.Load() < asked.Load()/4 {
		t.Errorf("only %d of %d lists came from the replica: %+v", onReplica.Load(), asked.Load(), f.state().Elsewhere)
	}
}

func (f *followed) heldBack(t *testing.T) {
	before := createTank(t, f.Store, f.org)
	f.eventually("the replica serves", func(replica.State) bool { return f.mustSee("at first", before) })
	f.pg.HoldBack()
	made := createTank(t, f.Store, f.org)
	if f.mustSee("held back", made) {
		t.Error("a list that has a tank came from a replica that cannot have it")
	}
	if s := f.state(); s.Elsewhere[replica.Behind] == 0 {
		t.Errorf("nothing was counted as behind: %+v", s)
	}
	f.eventually("it is too far behind to be asked", func(s replica.State) bool { return s.Why == replica.Lagging && s.Lag > time.Second })
	reads := f.state().Reads
	for range 20 {
		f.mustSee("lagging", made)
	}
	if s := f.state(); s.Reads != reads || s.Elsewhere[replica.Lagging] < 20 {
		t.Errorf("a replica that lags is read from: %+v", s)
	}
	f.pg.LetGo()
	f.eventually("it serves again", func(replica.State) bool { return f.mustSee("caught up", made) })
}

// While nobody answers on the replica, the first lists wait for it and the others do not ask it at all.
func (f *followed) hangsOrIsGone(t *testing.T) {
	made := createTank(t, f.Store, f.org)
	f.eventually("the replica serves", func(replica.State) bool { return f.mustSee("at first", made) })
	for _, fault := range []struct {
		name         string
		strike, mend func()
	}{{"hangs", f.pg.Hang, f.pg.Wake}, {"is gone", f.pg.Kill, f.pg.Start}} {
		fault.strike()
		made = createTank(t, f.Store, f.org)
		if f.mustSee(fault.name, made) {
			t.Errorf("it %s and serves", fault.name)
		}
		f.eventually("it is found gone", func(s replica.State) bool { return s.Why == replica.Gone })
		before := f.state()
		for range 50 {
			f.mustSee(fault.name, made)
		}
		after := f.state()
		if after.Reads != before.Reads || after.Elsewhere[replica.Gone] != before.Elsewhere[replica.Gone]+50 || after.Elsewhere[replica.Failed] != before.Elsewhere[replica.Failed] {
			t.Errorf("it %s and is asked: %+v, then %+v", fault.name, before, after)
		}
		fault.mend()
		f.eventually("it serves again", func(replica.State) bool { return f.mustSee("mended", made) })
	}
}

// A read that was under way when the replica hung is made on the primary.
func (f *followed) failsInTheMiddle(t *testing.T) {
	made := createTank(t, f.Store, f.org)
	f.eventually("the replica serves", func(replica.State) bool { return f.mustSee("at first", made) })
	failed := f.state().Elsewhere[replica.Failed]
	var places []bool
	var list []store.Tank
	err := f.ReadAnywhere(t.Context(), f.org, func(tx *store.Tx) (err error) {
		places = append(places, readOnlyServer(t, tx))
		if len(places) == 1 {
			f.pg.Hang()
			defer f.pg.Wake()
		}
		list, err = tx.Tanks(t.Context(), uuid.Nil, 10)
		return err
	})
	if err != nil || len(list) != 1 || fmt.Sprint(places) != "[true false]" {
		t.Errorf("read on a replica %v: %d tanks, %v", places, len(list), err)
	}
	if s := f.state(); s.Elsewhere[replica.Failed] != failed+1 {
		t.Errorf("%d reads had failed before: %+v", failed, s)
	}
}

// The replica is no way around what keeps organizations apart, and takes no change.
func (f *followed) keepsApart(t *testing.T) {
	mine := createTank(t, f.Store, f.org)
	stranger := organization(t, f.Store, "Pond club")
	createTank(t, f.Store, stranger)
	f.eventually("the replica serves", func(replica.State) bool { return f.mustSee("mine", mine) })
	here := f.org
	f.org = stranger
	if list, onReplica := f.tanks(f.Store); len(list) != 1 || list[mine] || !onReplica {
		t.Errorf("a stranger sees %v (on the replica: %v)", list, onReplica)
	}
	f.org = here
	err := f.ReadAnywhere(t.Context(), f.org, func(tx *store.Tx) error {
		if !readOnlyServer(t, tx) {
			t.Error("not on the replica")
		}
		seen, err := store.Text(t.Context(), tx, `SELECT current_user || ' ' || count(*) FROM tanks`) // of whichever organization
		if seen != "commensal_service 1" {
			t.Errorf("the replica shows %q", seen)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
	// Without any role, as a forgotten begin would be: the login role sees nothing.
	if seen := texts(t, f.pg.Standby, `SELECT CASE WHEN has_table_privilege('tanks', 'SELECT') THEN 'may' ELSE 'may not' END`); seen[0] != "may not" {
		t.Errorf("the login role %s read tanks", seen[0])
	}
	err = f.ReadAnywhere(t.Context(), f.org, func(tx *store.Tx) error {
		_, err := tx.CreateTank(t.Context(), store.Tank{Description: []byte(`{}`)}, nil)
		return err
	})
	if !errors.Is(err, store.ErrUnavailable) { // read-only on the replica, and read-only on the primary
		t.Errorf("a change in a reading: %v", err)
	}
}

// A standby that became a primary of its own is not the copy any more: what it has nobody else has.
func (f *followed) promoted(t *testing.T) {
	made := createTank(t, f.Store, f.org)
	f.eventually("the replica serves", func(replica.State) bool { return f.mustSee("at first", made) })
	f.pg.Promote()
	if f.mustSee("promoted", made) {
		t.Error("it serves as a replica")
	}
	f.eventually("it is left alone", func(s replica.State) bool { return s.Why == replica.Gone })
}

// The export, the history of an entry and the tanks to screen come from the replica as well, and from the primary without it.
func (f *followed) exportsAndHistories(t *testing.T) {
	ctx := t.Context()
	tank := createTank(t, f.Store, f.org)
	for i := range 3 {
		if err := f.Write(ctx, f.org, func(tx *store.Tx) error {
			_, err := tx.RecordCheck(ctx, store.CheckRecord{Key: "k", Decision: "hold", Summary: fmt.Sprint(i), Revision: 1, Model: "m", Program: "p", Input: []byte(`{}`), Answer: []byte(`{}`)})
			return err
		}); err != nil {
			t.Fatal(err)
		}
	}
	read := func(what string) {
		t.Helper()
		records := 0
		if err := f.ExportChecks(ctx, f.org, store.CheckFilter{}, func(store.CheckRecord) error { records++; return nil }); err != nil || records != 3 {
			t.Errorf("%s: %d records, %v", what, records, err)
		}
		if changes, err := f.EntryChanges(ctx, "astronotus-ocellatus", 0, 10); err != nil || len(changes) != 0 {
			t.Errorf("%s: %d changes of an entry of no catalogue, %v", what, len(changes), err)
		}
		if list, err := f.RevisionsBefore(ctx, 0, 10); err != nil || len(list) != 0 {
			t.Errorf("%s: %d revisions of no catalogue, %v", what, len(list), err)
		}
		work, err := f.ToScreen(ctx, f.org, store.Basis{Revision: 1, Model: "m"}, 10, 10)
		if err != nil || len(work) != 1 || work[0].Stock.Tank.ID != tank {
			t.Errorf("%s: to screen: %v, %v", what, work, err)
		}
	}
	const each = 6 // an export, two histories, three readings of the screening
	f.eventually("all of it comes from the replica", func(replica.State) bool {
		before := f.state().Reads
		read("with a replica")
		return f.state().Reads == before+each
	})
	refusal := errors.New("the reader has gone")
	if err := f.ExportChecks(ctx, f.org, store.CheckFilter{}, func(store.CheckRecord) error { return refusal }); !errors.Is(err, refusal) {
		t.Errorf("what the reader says comes back as %v", err)
	}
	f.pg.Kill()
	read("without one")
	f.pg.Start()
}

// Rows that a long read still needs are in the way of replaying their removal: the standby ends the read in the end, and
// the primary is asked.
func (f *followed) inTheWay(t *testing.T) {
	made := createTank(t, f.Store, f.org)
	f.eventually("the replica serves", func(replica.State) bool { return f.mustSee("at first", made) })
	var places []bool
	err := f.ReadAnywhere(t.Context(), f.org, func(tx *store.Tx) error {
		places = append(places, readOnlyServer(t, tx))
		if len(places) == 1 {
			_, err := store.Text(t.Context(), tx, `DO $$ BEGIN RAISE EXCEPTION 'conflict with recovery' USING ERRCODE = '40001'; END $$`)
			return err
		}
		return nil
	})
	if err != nil || fmt.Sprint(places) != "[true false]" {
		t.Errorf("read on a replica %v: %v", places, err)
	}
	if s := f.state(); s.Why != "" {
		t.Errorf("a read that was refused makes the replica %q", s.Why)
	}
}

func TestAReplicaAddressThatCannotBeReadIsRefused(t *testing.T) {
	t.Parallel()
	if s, err := store.Open(t.Context(), dbtest.New(t), store.Options{ReplicaDSN: "postgres://%zz"}); err == nil {
		s.Close()
		t.Error("it is taken")
	}
}

// BenchmarkListOfFiftyTanks tells what the way over the replica costs beside the primary's: a question for the position, and
// no connection shared with those who write.
func BenchmarkListOfFiftyTanks(b *testing.B) {
	f := newFollowed(b, store.Options{})
	f.org = organization(b, f.Store, "Reef corner")
	for range 50 {
		createTank(b, f.Store, f.org)
	}
	for name, read := range map[string]func(context.Context, uuid.UUID, func(*store.Tx) error) error{"primary": f.Read, "anywhere": f.ReadAnywhere} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				err := read(b.Context(), f.org, func(tx *store.Tx) error {
					list, err := tx.Tanks(b.Context(), uuid.Nil, 50)
					if err == nil && len(list) != 50 {
						err = errors.New("not all tanks are there")
					}
					return err
				})
				if err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	if s := f.state(); s.Reads == 0 {
		b.Errorf("nothing was read on the replica: %+v", s)
	}
}
