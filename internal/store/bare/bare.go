// Package bare is what a write comes to in statements alone, through pgx and one after the other, as a
// program without this one would send them: the yardstick for what the service adds. It keeps the same
// rows under the same roles and the same row-level security, and commits as durably.
package bare

import (
	"context"
	"encoding/json"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Writer writes for one organization.
type Writer struct {
	pool         *pgxpool.Pool
	organization uuid.UUID
}

// Open prepares a pool of so many connections. It must be closed in the end.
func Open(ctx context.Context, dsn string, organization uuid.UUID, connections int32) (*Writer, error) {
	config, err := pgxpool.ParseConfig(dsn)
	if err != nil {
		return nil, err
	}
	config.MaxConns = connections
	pool, err := pgxpool.NewWithConfig(ctx, config)
	return &Writer{pool, organization}, err
}

// Close closes all connections.
func (w *Writer) Close() { w.pool.Close() }

// As runs do in a transaction that begins with the given SQL and acts for the organization.
func (w *Writer) As(ctx context.Context, begin string, do func(pgx.Tx) error) error {
	begin += "; set local role commensal_service; set local app.organization = '" + w.organization.String() + "'"
	return pgx.BeginTxFunc(ctx, w.pool, pgx.TxOptions{BeginQuery: begin}, do)
}

// Tank is a tank with one line of residents.
type Tank struct {
	Label       string          `json:"label"`
	Description json.RawMessage `json:"description"`
	Species     string          `json:"species"`
	Line        json.RawMessage `json:"line"`
}

// CreateTank stores a tank: two statements, and those that begin and end the transaction.
func (w *Writer) CreateTank(ctx context.Context, t *Tank) (id uuid.UUID, err error) {
	if id, err = uuid.NewV7(); err != nil {
		return id, err
	}
	return id, w.As(ctx, "begin", func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `INSERT INTO tanks (organization_id, id, label, description) VALUES ($1, $2, $3, $4)`,
			[16]byte(w.organization), [16]byte(id), t.Label, t.Description); err != nil {
			return err
		}
		_, err := tx.Exec(ctx, `INSERT INTO residents (organization_id, tank_id, id, species_id, line) VALUES ($1, $2, $2, $3, $4)`,
			[16]byte(w.organization), [16]byte(id), t.Species, t.Line)
		return err
	})
}

// Check is a recorded check.
type Check struct {
	Key      string          `json:"key"`
	Decision string          `json:"decision"`
	Summary  string          `json:"summary"`
	Revision int64           `json:"revision"`
	Model    string          `json:"model"`
	Program  string          `json:"program"`
	Input    json.RawMessage `json:"input"`
	Answer   json.RawMessage `json:"answer"`
}

// RecordCheck stores a check: one statement, and those that begin and end the transaction.
func (w *Writer) RecordCheck(ctx context.Context, c *Check) error {
	id, err := uuid.NewV7()
	if err != nil {
		return err
	}
	return w.As(ctx, "begin", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			INSERT INTO check_records (organization_id, id, key_id, decision, summary, catalogue_revision, model_version, program_version, input, answer)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
			[16]byte(w.organization), [16]byte(id), c.Key, c.Decision, c.Summary, c.Revision, c.Model, c.Program, c.Input, c.Answer)
		return err
	})
}
