//go:build unix

package localpg

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func TestMissingBinariesNameWhatToInstall(t *testing.T) {
	nothing := func(string) (string, error) { return "", exec.ErrNotFound }
	empty := finder{getenv: func(string) string { return "" }, lookPath: nothing, folders: []string{"/nowhere/*/bin"}}
	_, err := empty.find(t.Context())
	var missing *NotFoundError
	if !errors.As(err, &missing) {
		t.Fatalf("got %v, want a NotFoundError", err)
	}
	for _, want := range []string{"apt-get install postgresql", "dnf install postgresql-server", "brew install postgresql@16", "/nowhere/*/bin", "DATABASE_URL", BindirVariable} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("the message lacks %q:\n%v", want, err)
		}
	}
}

func TestASearchCutShortDoesNotSayThatNothingIsInstalled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := FindBinaries(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want the context's error", err)
	}
}

func TestAnOverrideWithoutBinariesIsNotPassedOver(t *testing.T) {
	t.Setenv(BindirVariable, "/nowhere")
	_, err := Start(testContext(t), Options{DataDir: testDir(t)})
	var missing *NotFoundError
	if !errors.As(err, &missing) || missing.Override != "/nowhere" {
		t.Fatalf("got %v, want a NotFoundError for /nowhere", err)
	}
}

func TestTheOverrideIsTheOnlyFolderSearched(t *testing.T) {
	found, err := FindBinaries(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv(BindirVariable, found[0].Dir)
	again, err := FindBinaries(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(again) != 1 || again[0] != found[0] {
		t.Errorf("got %v, want only %v", again, found[0])
	}
}

func TestBinariesAreFoundThroughASymbolicLinkOnPath(t *testing.T) {
	found, err := FindBinaries(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(t.TempDir(), "postgres")
	if err := os.Symlink(filepath.Join(found[0].Dir, "postgres"), link); err != nil {
		t.Fatal(err)
	}
	onPath := finder{getenv: func(string) string { return "" }, lookPath: func(name string) (string, error) {
		if name == "postgres" {
			return link, nil
		}
		return "", exec.ErrNotFound
	}}
	got, err := onPath.find(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 1 || got[0] != found[0] {
		t.Errorf("got %v, want %v", got, found[0])
	}
}

func TestNewerFoldersComeFirst(t *testing.T) {
	root := t.TempDir()
	for _, version := range []string{"9.6", "15", "16"} {
		if err := os.MkdirAll(filepath.Join(root, version, "bin"), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	f := finder{lookPath: func(string) (string, error) { return "", exec.ErrNotFound }, folders: []string{filepath.Join(root, "*", "bin")}}
	var order []string
	for _, dir := range f.candidates(t.Context()) {
		order = append(order, filepath.Base(filepath.Dir(dir)))
	}
	if got := strings.Join(order, " "); got != "16 15 9.6" {
		t.Errorf("got %s", got)
	}
}

func TestAClusterOfAnotherMajorVersionNamesBoth(t *testing.T) {
	dir := readyDir(t)
	s := start(t, Options{DataDir: dir, Throwaway: true})
	stop(t, s)
	version := filepath.Join(s.clusterDir(), "PG_VERSION")
	if err := os.WriteFile(version, []byte("7\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Start(testContext(t), Options{DataDir: dir})
	var mismatch *VersionError
	if !errors.As(err, &mismatch) {
		t.Fatalf("got %v, want a VersionError", err)
	}
	for _, want := range []string{"PostgreSQL 7", s.bin.Major + " in " + s.bin.Dir, "pg_upgrade"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("the message lacks %q: %v", want, err)
		}
	}
}

func TestMatchingBinariesArePreferredToNewerOnes(t *testing.T) {
	found := []Binaries{{"/new", "17"}, {"/old", "15"}}
	for cluster, want := range map[string]string{"": "/new", "17": "/new", "15": "/old"} {
		if b, err := choose(found, "/data", cluster); err != nil || b.Dir != want {
			t.Errorf("cluster %q: got %v, %v; want %s", cluster, b, err, want)
		}
	}
}

func TestAClusterFolderThatIsNotWholeIsRefused(t *testing.T) {
	dir := testDir(t)
	if err := os.Mkdir(filepath.Join(dir, "cluster"), 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := Start(testContext(t), Options{DataDir: dir}); err == nil || !strings.Contains(err.Error(), "PG_VERSION") {
		t.Errorf("got %v, want an error about PG_VERSION", err)
	}
}

func TestAFailedStartShowsTheEndOfTheLog(t *testing.T) {
	dir := readyDir(t)
	_, err := Start(testContext(t), Options{DataDir: dir, Throwaway: true, Settings: map[string]string{"shared_buffers": "nonsense"}})
	var failed *StartError
	if !errors.As(err, &failed) {
		t.Fatalf("got %v, want a StartError", err)
	}
	if failed.What != "postgres" || !strings.Contains(failed.Tail, "shared_buffers") {
		t.Errorf("got %+v", failed)
	}
	start(t, Options{DataDir: dir, Throwaway: true})
}

func TestAFolderTheServersUserMayNotEnterIsNamed(t *testing.T) {
	top := testDir(t)
	closed := filepath.Join(top, "closed")
	target := filepath.Join(closed, "data")
	if err := os.MkdirAll(target, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(closed, 0o700); err != nil {
		t.Fatal(err)
	}
	stranger := identity{name: "stranger", uid: 1 << 20, gid: 1 << 20, switched: true}
	err := stranger.checkReach(target)
	var closedErr *UnreachableError
	if !errors.As(err, &closedErr) {
		t.Fatalf("got %v, want an UnreachableError", err)
	}
	if closedErr.Folder != closed || closedErr.Mode != fs.FileMode(0o700) || !strings.Contains(err.Error(), "chmod o+x "+closed) {
		t.Errorf("got %v", err)
	}
	if err := os.Chmod(closed, 0o711); err != nil {
		t.Fatal(err)
	}
	if err := stranger.checkReach(target); err != nil {
		t.Errorf("with the folder open: %v", err)
	}
}

func TestASocketFolderThatSomebodyElsePutThereIsRefused(t *testing.T) {
	dir := testDir(t)
	link := filepath.Join(dir, "link")
	if err := os.Symlink(dir, link); err != nil {
		t.Fatal(err)
	}
	self := identity{uid: os.Geteuid(), gid: os.Getegid()}
	if err := makePrivate(link, self); err == nil {
		t.Error("a symbolic link was taken for the socket folder")
	}
}

func TestMajorVersionsAreRead(t *testing.T) {
	for out, want := range map[string]string{
		"postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)": "15",
		"postgres (PostgreSQL) 16.3":                           "16",
		"postgres (PostgreSQL) 18beta1":                        "18",
		"postgres (PostgreSQL) 17devel":                        "17",
		"postgres (PostgreSQL) 16.3 (Homebrew)":                "16",
		"something else":                                       "",
		"":                                                     "",
	} {
		if got := majorVersion(out); got != want {
			t.Errorf("%q: got %q, want %q", out, got, want)
		}
	}
}

func FuzzMajorVersion(f *testing.F) {
	f.Add("postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)")
	f.Add("18beta1")
	f.Fuzz(func(t *testing.T, out string) {
		got := majorVersion(out)
		if strings.Trim(got, "0123456789") != "" || !strings.Contains(out, got) {
			t.Errorf("%q: got %q, which is no number of it", out, got)
		}
	})
}
