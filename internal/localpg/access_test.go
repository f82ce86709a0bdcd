//go:build unix

package localpg

import "testing"

func TestTheServiceWorksAsARoleWithoutPower(t *testing.T) {
	s := start(t, Options{DataDir: readyDir(t), Throwaway: true})
	const mayDo = `SELECT current_user || ' ' || (rolsuper OR rolcreaterole OR rolcreatedb OR rolreplication OR rolbypassrls OR rolinherit) FROM pg_roles WHERE rolname = current_user`
	if got := query(t, s.Access().Service, mayDo); got != ServiceRole+" false" {
		t.Errorf("got %s", got)
	}
	if got := query(t, s.Access().Owner, "SELECT current_user::text"); got != Owner {
		t.Errorf("the owner is %s", got)
	}
	if running, err := Running(s.opts.DataDir); err != nil || running != s.Access() {
		t.Errorf("beside it: %+v, %v; want %+v", running, err, s.Access())
	}
}

// A cluster from the time when the service worked as the owner has no such role yet.
func TestAnOlderClusterGetsTheRole(t *testing.T) {
	dir := readyDir(t)
	s := start(t, Options{DataDir: dir, Throwaway: true})
	query(t, s.DSN(), "DROP ROLE "+ServiceRole)
	stop(t, s)
	again := start(t, Options{DataDir: dir, Throwaway: true})
	if got := query(t, again.Access().Service, "SELECT current_user::text"); got != ServiceRole {
		t.Errorf("got %s", got)
	}
}

func TestOnlyAFolderIsTakenForTheSocket(t *testing.T) {
	for text, want := range map[string]bool{"/tmp/a": true, "": false, "relative": false, "/tmp,evil.example": false, "evil.example": false} {
		if got := validSocket(text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
