package store_test

import (
	"context"
	"errors"
	"io"
	"net"
	"net/url"
	"sync"
	"testing"
	"time"

	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// tap stands between a store and its database and can stop passing anything on, as a
// network does that swallows packets: nobody is told that the other side is gone.
type tap struct {
	listener net.Listener
	mu       sync.Mutex
	shut     bool
	turned   *sync.Cond
}

func newTap(t *testing.T, dsn string) (through string, tp *tap) {
	t.Helper()
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		t.Fatal(err)
	}
	network, address := pgconn.NetworkAddress(config.Host, config.Port)
	tp = &tap{}
	tp.turned = sync.NewCond(&tp.mu)
	if tp.listener, err = net.Listen("tcp", "127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { tp.turn(false); tp.listener.Close() })
	go tp.serve(network, address)
	u := url.URL{Scheme: "postgres", User: url.UserPassword(config.User, config.Password), Host: tp.listener.Addr().String(),
		Path: "/" + config.Database, RawQuery: "sslmode=disable"}
	return u.String(), tp
}

func (tp *tap) serve(network, address string) {
	for {
		client, err := tp.listener.Accept()
		if err != nil {
			return
		}
		server, err := net.Dial(network, address)
		if err != nil {
			client.Close()
			continue
		}
		go tp.pass(client, server)
		go tp.pass(server, client)
	}
}

func (tp *tap) pass(to, from net.Conn) {
	defer to.Close()
	defer from.Close()
	buffer := make([]byte, 4096)
	for {
		n, err := from.Read(buffer)
		tp.mu.Lock()
		for tp.shut {
			tp.turned.Wait()
		}
		tp.mu.Unlock()
		if n > 0 {
			if _, err := to.Write(buffer[:n]); err != nil {
				return
			}
		}
		if err != nil {
			return
		}
	}
}

func (tp *tap) turn(shut bool) {
	tp.mu.Lock()
	defer tp.mu.Unlock()
	tp.shut = shut
	tp.turned.Broadcast()
}

func TestADatabaseThatFallsSilentIsNotWaitedForAndComesBack(t *testing.T) {
	t.Parallel()
	direct, dsn := open(t, store.Options{})
	here := organization(t, direct, "Reef corner")
	through, tp := newTap(t, dsn)
	s := openOn(t, through, store.Options{Patience: 300 * time.Millisecond})
	create := func() error {
		return s.Write(context.Background(), here, func(tx *store.Tx) error {
			_, err := tx.CreateTank(context.Background(), store.Tank{Description: []byte("{}")}, nil)
			return err
		})
	}
	if err := create(); err != nil {
		t.Fatal(err)
	}
	tp.turn(true)
	for range 20 { // more often than there are connections
		if err := create(); !errors.Is(err, store.ErrUnavailable) {
			t.Fatalf("while it is silent: %v", err)
		}
	}
	if _, err := s.FindKey(context.Background(), "aaaaaaaaaaaaaaaa"); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("a key, while it is silent: %v", err)
	}
	if err := s.ExportChecks(context.Background(), here, store.CheckFilter{}, nil); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("an export, while it is silent: %v", err)
	}
	tp.turn(false)
	for end := time.Now().Add(time.Minute); ; {
		err := create()
		if err == nil {
			break
		}
		if !errors.Is(err, store.ErrUnavailable) || time.Now().After(end) {
			t.Fatalf("when it is back: %v", err)
		}
	}
}

// The deadline holds within a transaction too, whatever context its statements are given.
func TestASilenceWithinATransactionIsNotWaitedFor(t *testing.T) {
	t.Parallel()
	direct, dsn := open(t, store.Options{})
	here := organization(t, direct, "Reef corner")
	through, tp := newTap(t, dsn)
	s := openOn(t, through, store.Options{Patience: 500 * time.Millisecond})
	err := s.Write(context.Background(), here, func(tx *store.Tx) error {
		if err := tx.HasOrganization(context.Background()); err != nil {
			return err
		}
		tp.turn(true)
		return tx.HasOrganization(context.Background())
	})
	if !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("%v", err)
	}
}

func TestAServerThatAcceptsAndSaysNothingIsUnavailable(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	go func() {
		for {
			conn, err := l.Accept()
			if err != nil {
				return
			}
			go func() { _, _ = io.Copy(io.Discard, conn) }()
		}
	}()
	s := openOn(t, "postgres://x:y@"+l.Addr().String()+"/z?sslmode=disable", store.Options{Patience: 200 * time.Millisecond})
	if err := s.Read(t.Context(), uuid.New(), func(*store.Tx) error { return nil }); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("%v", err)
	}
}

// When every connection is taken the next request is told so; it does not queue without end.
func TestAPoolThatIsUsedUpIsUnavailable(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{MaxConns: 1, Patience: 500 * time.Millisecond})
	here := organization(t, s, "Reef corner")
	inside, finish, done := make(chan struct{}), make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		_ = s.Read(context.Background(), here, func(*store.Tx) error { close(inside); <-finish; return nil })
	}()
	<-inside
	if err := s.Read(t.Context(), here, func(*store.Tx) error { return nil }); !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("%v", err)
	}
	close(finish)
	<-done
}
