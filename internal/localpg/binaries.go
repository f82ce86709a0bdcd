package localpg

import (
	"cmp"
	"context"
	_ "embed" // for the list of folders
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Binaries is a folder with initdb and postgres of one major version.
type Binaries struct {
	Dir   string
	Major string // for example "15"
}

func (b Binaries) path(name string) string { return filepath.Join(b.Dir, name) }

// usualFoldersText lists where packages put the binaries; a script reads it too.
//
//go:embed usualfolders.txt
var usualFoldersText string

// usualFolders are the patterns of the folders packages install to. Within one
// pattern the newest version is taken first.
func usualFolders() (patterns []string) {
	for line := range strings.Lines(usualFoldersText) {
		pattern, _, _ := strings.Cut(line, "#")
		if pattern = strings.TrimSpace(pattern); pattern != "" {
			patterns = append(patterns, pattern)
		}
	}
	return patterns
}

// finder is the search with its surroundings as fields, so that tests can search
// an empty machine.
type finder struct {
	getenv   func(string) string
	lookPath func(string) (string, error)
	folders  []string
}

var systemFinder = finder{os.Getenv, exec.LookPath, usualFolders()}

// FindBinaries lists the usable folders, the preferred one first: the override
// variable alone if it is set, else the folder of the postgres on PATH (symbolic
// links resolved), what pg_config --bindir says, and the usual folders of
// packages, newest first. It returns a [NotFoundError] when there is none, and the
// context's error when that ended the search.
func FindBinaries(ctx context.Context) ([]Binaries, error) {
	return systemFinder.find(ctx)
}

func (f finder) find(ctx context.Context) ([]Binaries, error) {
	if dir := f.getenv(BindirVariable); dir != "" {
		b, ok := probe(ctx, dir)
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		if !ok {
			return nil, &NotFoundError{Override: dir}
		}
		return []Binaries{b}, nil
	}
	var found []Binaries
	seen := map[string]bool{}
	for _, dir := range f.candidates(ctx) {
		if resolved, err := filepath.EvalSymlinks(dir); err == nil {
			dir = resolved
		}
		if seen[dir] {
			continue
		}
		seen[dir] = true
		if b, ok := probe(ctx, dir); ok {
			found = append(found, b)
		}
	}
	if ctx.Err() != nil { // what was cut short found nothing out
		return nil, context.Cause(ctx)
	}
	if len(found) == 0 {
		return nil, &NotFoundError{Searched: append([]string{"PATH", "pg_config --bindir"}, f.folders...)}
	}
	return found, nil
}

func (f finder) candidates(ctx context.Context) []string {
	var dirs []string
	if p, err := f.lookPath("postgres"); err == nil {
		if resolved, err := filepath.EvalSymlinks(p); err == nil {
			dirs = append(dirs, filepath.Dir(resolved))
		}
	}
	if p, err := f.lookPath("pg_config"); err == nil {
		if out, err := output(ctx, p, "--bindir"); err == nil {
			dirs = append(dirs, out)
		}
	}
	for _, pattern := range f.folders {
		matches, _ := filepath.Glob(pattern) // only a bad pattern errs, and ours are constants
		slices.SortStableFunc(matches, func(a, b string) int {
			return cmp.Compare(versionIn(b), versionIn(a))
		})
		dirs = append(dirs, matches...)
	}
	return dirs
}

// probe reports whether dir holds both programs and which major version they are.
func probe(ctx context.Context, dir string) (Binaries, bool) {
	b := Binaries{Dir: dir}
	for _, name := range []string{"initdb", "postgres"} {
		if info, err := os.Stat(b.path(name)); err != nil || info.IsDir() || info.Mode()&0o111 == 0 {
			return b, false
		}
	}
	out, err := output(ctx, b.path("postgres"), "--version")
	if err != nil {
		return b, false
	}
	b.Major = majorVersion(out)
	return b, b.Major != ""
}

var versionPattern = regexp.MustCompile(`(\d+)(?:\.\d+|devel|beta\d+|rc\d+)`)

// majorVersion reads the major version from the output of postgres --version,
// such as "postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)".
func majorVersion(out string) string {
	m := versionPattern.FindStringSubmatch(out)
	if m == nil {
		return ""
	}
	return m[1]
}

var numberPattern = regexp.MustCompile(`\d+(\.\d+)?`)

// versionIn is the last number in a path, 0 when there is none.
func versionIn(path string) float64 {
	numbers := numberPattern.FindAllString(path, -1)
	if len(numbers) == 0 {
		return 0
	}
	v, _ := strconv.ParseFloat(numbers[len(numbers)-1], 64) // the pattern admits numbers only
	return v
}

// output runs a short command and returns its trimmed standard output.
func output(ctx context.Context, name string, args ...string) (string, error) {
	ctx, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	out, err := exec.CommandContext(ctx, name, args...).Output()
	return strings.TrimSpace(string(out)), err
}

// choose picks the binaries for a cluster of the given major version, or the
// preferred ones for a new cluster (empty version).
func choose(found []Binaries, dir, cluster string) (Binaries, error) {
	if cluster == "" {
		return found[0], nil
	}
	for _, b := range found {
		if b.Major == cluster {
			return b, nil
		}
	}
	return Binaries{}, &VersionError{Dir: dir, Cluster: cluster, Found: found}
}
