package bench

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"commensal/internal/auth"
	"commensal/internal/loadtest"
	"commensal/internal/localpg"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// Clients that ask.
const (
	OwnClient  = "own"
	WrkClient  = "wrk"
	AutoClient = "auto" // wrk where it is installed
)

// Options say how long and how hard to ask.
type Options struct {
	Program     string  // this one, to be started again
	Seconds     float64 // for each question, in each of three ways
	Connections int     // kept open
	Client      string  // one of OwnClient, WrkClient, AutoClient; times are taken by our own in any case
	Compare     bool    // ask through both
	Only        string  // part of the names of the questions that are asked; empty is all
	// Progress, where set, is called before each question.
	Progress func(done, all int, question string)
}

// Report is what a bench came to.
type Report struct {
	Client      string    `json:"client"`
	Connections int       `json:"connections"`
	Seconds     float64   `json:"seconds"`
	ServerOn    *int      `json:"servers_on_processor"` // nil where nothing is pinned
	ClientOn    *int      `json:"client_on_processor"`
	Rest        float64   `json:"resident_bytes_at_rest"`
	After       float64   `json:"resident_bytes_after"`
	Figures     []Figures `json:"figures"`
}

// bench is a bench under way.
type bench struct {
	Options
	dir, dataDir string
	serverOn     int // negative is any
	clientOn     int
	wrk          *loadtest.Wrk
	served       *served
	access       localpg.Access
	organization uuid.UUID
	key          string
}

// Run asks every question, one after the other. It keeps this whole process on one processor from then on,
// where there are several.
func Run(ctx context.Context, o Options) (r *Report, err error) {
	b := &bench{Options: o, serverOn: -1, clientOn: -1}
	if err := b.makeFolders(); err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(b.dir), os.RemoveAll(b.dataDir)) }()
	if err := b.place(); err != nil {
		return nil, err
	}
	if b.served, err = b.serve(ctx); err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, b.served.end()) }()
	return b.run(ctx)
}

// makeFolders makes one for files and one for the database, which may belong to another user.
func (b *bench) makeFolders() (err error) {
	if b.dir, err = os.MkdirTemp("", "commensal-bench-"); err != nil {
		return err
	}
	if b.dataDir, err = os.MkdirTemp("", "commensal-bench-data-"); err != nil {
		return errors.Join(err, os.RemoveAll(b.dir))
	}
	return nil
}

// place gives the client a processor of its own, and the servers another.
func (b *bench) place() (err error) {
	if list := loadtest.Processors(); len(list) > 1 {
		b.clientOn, b.serverOn = list[0], list[len(list)-1]
		if err := loadtest.Pin(b.clientOn); err != nil {
			return err
		}
	}
	if b.Client == OwnClient && !b.Compare {
		return nil
	}
	b.wrk, err = loadtest.FindWrk(b.dir, b.clientOn)
	if errors.Is(err, loadtest.ErrNoWrk) && b.Client == AutoClient && !b.Compare {
		return nil
	}
	return err
}

func (b *bench) run(ctx context.Context) (r *Report, err error) {
	r = &Report{Client: cmp.Or(b.Client, OwnClient), Connections: b.Connections, Seconds: b.Seconds}
	if b.serverOn >= 0 {
		r.ServerOn, r.ClientOn = &b.serverOn, &b.clientOn
	}
	if b.Client == AutoClient {
		r.Client = OwnClient
		if b.wrk != nil {
			r.Client = WrkClient
		}
	}
	if r.Rest, err = b.resident(ctx); err != nil {
		return nil, err
	}
	about, err := b.about(ctx)
	if err != nil {
		return nil, err
	}
	questions := slices.DeleteFunc(about.questions(), func(q *question) bool { return !strings.Contains(q.name, b.Only) })
	for i, q := range questions {
		if b.Progress != nil {
			b.Progress(i, len(questions), q.name)
		}
		f, err := b.measure(ctx, q, r.Client)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", q.name, err)
		}
		r.Figures = append(r.Figures, f)
	}
	r.After, err = b.resident(ctx)
	return r, err
}

func (b *bench) resident(ctx context.Context) (float64, error) {
	u, err := b.served.usage(ctx)
	return u.resident, err
}

// about finds out what there is to ask about, and makes an organization and its key.
func (b *bench) about(ctx context.Context) (s *subject, err error) {
	s = &subject{}
	if s.species, err = b.listSpecies(); err != nil {
		return nil, err
	}
	pairing, err := b.answer(loadtest.Request("GET", onePairing, nil))
	if err != nil {
		return nil, err
	}
	s.etag = pairing.ETag
	if err := b.makeOrganization(ctx); err != nil {
		return nil, err
	}
	s.key = b.key
	return s, nil
}

// Questions are the names of what is asked, of those with a text in their name.
func Questions(only string) (names []string) {
	for _, q := range (&subject{}).questions() {
		if strings.Contains(q.name, only) {
			names = append(names, q.name)
		}
	}
	return names
}

// muchOf is a quota out of the way.
const muchOf = 1 << 40

// makeOrganization makes one that may store as much as it likes, and its key.
func (b *bench) makeOrganization(ctx context.Context) (err error) {
	if b.access, err = localpg.Running(b.dataDir); err != nil {
		return err
	}
	st, err := store.Open(ctx, b.access.Service, store.Options{Patience: time.Minute})
	if err != nil {
		return err
	}
	defer st.Close()
	o, err := st.CreateOrganization(ctx, "bench")
	if err != nil {
		return err
	}
	text, id, hash := auth.NewText()
	b.organization, b.key = o.ID, text
	return st.Write(ctx, o.ID, func(tx *store.Tx) error {
		if err := tx.SetQuotas(ctx, map[string]int64{"tanks": muchOf, "residents": muchOf, "recorded_bytes": muchOf}); err != nil {
			return err
		}
		_, err := tx.CreateKey(ctx, auth.Key{ID: id, Hash: hash, Scopes: []auth.Scope{auth.TanksWrite, auth.ChecksWrite}})
		return err
	})
}

// recorded reads a record as it is stored.
func (b *bench) recorded(ctx context.Context, id uuid.UUID) (c store.CheckRecord, err error) {
	st, err := store.Open(ctx, b.access.Service, store.Options{})
	if err != nil {
		return c, err
	}
	defer st.Close()
	err = st.Read(ctx, b.organization, func(tx *store.Tx) (err error) {
		c, err = tx.Check(ctx, id)
		return err
	})
	return c, err
}
