package store

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// AnswerLife is for how long a first answer is kept.
const AnswerLife = 24 * time.Hour

// ErrKeyReused says that an idempotency key came with another request before.
var ErrKeyReused = errors.New("store: the idempotency key belongs to another request")

// ErrBusy says that another transaction holds what this one needs, and that the wait for
// it was given up. Nothing was written.
var ErrBusy = errors.New("store: another request is at work on this")

// SQLSTATEs of a transaction that was given up in favour of another one.
const (
	lockNotAvailable     = "55P03" // lock_timeout
	deadlockDetected     = "40P01"
	serializationFailure = "40001"
)

// Once is a request that is to be carried out once however often it is sent.
type Once struct {
	Key       string
	Operation string // method, path and query
	Body      [sha256.Size]byte
}

// Answer is what a request was answered with.
type Answer struct {
	Status  int
	Headers map[string]string
	Body    []byte
}

// WriteOnce is [Store.Write] for a request with an idempotency key: the first time do
// runs, and its answer is stored with what it wrote; for [AnswerLife] after that the
// answer is returned again and do does not run. replayed tells the two apart. When do
// fails nothing is stored, and the key is as good as new.
//
// A request whose twin is under way waits for it, a second or so, and is ErrBusy then.
// The key with another request is [ErrKeyReused].
func (s *Store) WriteOnce(ctx context.Context, organization uuid.UUID, once Once, do func(*Tx) (Answer, error)) (answer Answer, replayed bool, err error) {
	err = s.Write(ctx, organization, func(tx *Tx) error {
		claimed, err := tx.claim(ctx, once)
		if err != nil {
			return err
		}
		if !claimed {
			replayed = true
			answer, err = tx.kept(ctx, once)
			return err
		}
		tx.tx.more = true
		if answer, err = do(tx); err != nil {
			return err
		}
		return tx.keep(ctx, once.Key, answer)
	})
	return answer, replayed, err
}

// claim takes the key for this transaction. An expired claim is taken over.
func (t *Tx) claim(ctx context.Context, once Once) (claimed bool, err error) {
	tag, err := t.tx.Exec(ctx, `
		INSERT INTO idempotency_records AS kept (organization_id, key, operation, body_hash, expires_at)
		VALUES ($1, $2, $3, $4, now() + $5)
		ON CONFLICT (organization_id, key) DO UPDATE
			SET operation = excluded.operation, body_hash = excluded.body_hash, expires_at = excluded.expires_at,
				status = NULL, headers = NULL, body = NULL
			WHERE kept.expires_at <= now()`,
		t.organization, once.Key, once.Operation, once.Body[:], AnswerLife)
	return err == nil && tag.RowsAffected() == 1, explain("claim the idempotency key", err)
}

// kept is the answer to the request before, which must have been the same one.
func (t *Tx) kept(ctx context.Context, once Once) (a Answer, err error) {
	var operation string
	var body []byte
	err = t.tx.QueryRow(ctx, `
		SELECT operation, body_hash, status, headers, body FROM idempotency_records
		WHERE organization_id = $1 AND key = $2`, t.organization, once.Key).
		Scan(&operation, &body, &a.Status, &a.Headers, &a.Body)
	if err != nil {
		return Answer{}, explain("read the answer before", err)
	}
	if operation != once.Operation || [sha256.Size]byte(body) != once.Body {
		return Answer{}, ErrKeyReused
	}
	a.Body, err = grown(a.Body)
	return a, err
}

// keep stores the answer, and commits in the same message.
func (t *Tx) keep(ctx context.Context, key string, a Answer) error {
	batch := &pgx.Batch{}
	batch.Queue(`
		UPDATE idempotency_records SET status = $3, headers = $4, body = $5
		WHERE organization_id = $1 AND key = $2`, t.organization, key, a.Status, a.Headers, shrunk(a.Body))
	batch.Queue("commit")
	return explain("keep the answer", t.tx.run(ctx, batch))
}

// SweepAnswers deletes expired answers of all organizations, at most limit at a time, and
// returns how many there were. Replicas may sweep at the same time.
func (s *Store) SweepAnswers(ctx context.Context, limit int) (swept int64, err error) {
	err = s.keeper(ctx, func(tx pgx.Tx) error {
		tag, err := tx.Exec(ctx, `
			DELETE FROM idempotency_records WHERE ctid = ANY (ARRAY(
				SELECT ctid FROM idempotency_records WHERE expires_at <= now() LIMIT $1))`, limit)
		swept = tag.RowsAffected()
		return explain("sweep expired answers", err)
	})
	return swept, err
}

// smallAnswer is up to how many bytes an answer is stored as it is: compressing less saves
// nothing.
const smallAnswer = 1 << 10

// gzipped begins what is compressed. No answer begins so: they are JSON.
var gzipped = []byte{0x1f, 0x8b}

// shrunk is an answer as it is stored: larger ones take a tenth.
func shrunk(body []byte) []byte {
	if len(body) <= smallAnswer {
		return body
	}
	var out bytes.Buffer
	w, _ := gzip.NewWriterLevel(&out, gzip.BestSpeed) // fails only for a level that is none
	_, _ = w.Write(body)                              // into memory: cannot fail
	_ = w.Close()
	return out.Bytes()
}

// grown is an answer as it was.
func grown(stored []byte) ([]byte, error) {
	if !bytes.HasPrefix(stored, gzipped) {
		return stored, nil
	}
	r, err := gzip.NewReader(bytes.NewReader(stored))
	if err != nil {
		return nil, fmt.Errorf("store: a stored answer: %w", err)
	}
	body, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("store: a stored answer: %w", err)
	}
	return body, nil
}
