package store

import (
	"context"
	"encoding/json"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Placement is who goes where, as it was proposed. Only its acceptances are added to it.
type Placement struct {
	ID          uuid.UUID
	MadeAt      time.Time
	Key         string // that asked
	ExternalRef *string
	Summary     string
	Revision    int64 // of the catalogue
	Model       string
	Tanks       []PlacementTank       // the stored tanks that it gives something to, by position
	Acceptances []PlacementAcceptance // by arrival
	Input       json.RawMessage       // PlacementsRequest of the contract; nil in lists
	Answer      json.RawMessage       // Placements of the contract; nil in lists
}

// PlacementTank is a stored tank as a proposal knows it.
type PlacementTank struct {
	Position int       `json:"position"` // among the tanks of the request
	Tank     uuid.UUID `json:"tank"`
	// Version and Revision are those of [Tank]: as it was read and, from then on, as accepted parts of the same
	// proposal left it.
	Version  int64 `json:"version"`
	Revision int64 `json:"revision"`
}

// PlacementAcceptance says that a part of a proposal was accepted.
type PlacementAcceptance struct {
	Arrival    int       `json:"arrival"` // among the arrivals of the answer
	Tank       uuid.UUID `json:"tank"`
	Key        string    `json:"key"`
	AcceptedAt time.Time `json:"accepted_at"`
}

const placementHead = `id, made_at, key_id, external_ref, summary, catalogue_revision, model_version,
	coalesce((SELECT json_agg(json_build_object('position', position, 'tank', tank_id, 'version', version, 'revision', revision) ORDER BY position)
		FROM placement_tanks t WHERE t.organization_id = p.organization_id AND t.placement_id = p.id), '[]'),
	coalesce((SELECT json_agg(json_build_object('arrival', arrival, 'tank', tank_id, 'key', a.key_id, 'accepted_at', accepted_at) ORDER BY arrival)
		FROM placement_acceptances a WHERE a.organization_id = p.organization_id AND a.placement_id = p.id), '[]')`

// headOf are the places of the columns of placementHead.
func (p *Placement) headOf() []any {
	return []any{&p.ID, &p.MadeAt, &p.Key, &p.ExternalRef, &p.Summary, &p.Revision, &p.Model, &p.Tanks, &p.Acceptances}
}

func scanPlacementHead(row pgx.CollectableRow) (p Placement, err error) {
	err = row.Scan(p.headOf()...)
	return p, err
}

func scanPlacement(row pgx.CollectableRow) (p Placement, err error) {
	err = row.Scan(append(p.headOf(), &p.Input, &p.Answer)...)
	return p, err
}

// CreatePlacement stores a proposal, all but ID, MadeAt and Acceptances, which it returns.
func (t *Tx) CreatePlacement(ctx context.Context, p Placement) (Placement, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return Placement{}, err
	}
	p.ID, p.Acceptances = id, nil
	p.MadeAt, err = one(ctx, t, "store the placement", pgx.RowTo[time.Time], `
		INSERT INTO placements (organization_id, id, key_id, external_ref, summary, catalogue_revision, model_version, input, answer)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
		RETURNING made_at`, t.organization, id, p.Key, p.ExternalRef, p.Summary, p.Revision, p.Model, p.Input, p.Answer)
	if err != nil {
		return Placement{}, err
	}
	positions, tanks := make([]int, len(p.Tanks)), make([]uuid.UUID, len(p.Tanks))
	versions, revisions := make([]int64, len(p.Tanks)), make([]int64, len(p.Tanks))
	for i := range p.Tanks {
		k := &p.Tanks[i]
		positions[i], tanks[i], versions[i], revisions[i] = k.Position, k.Tank, k.Version, k.Revision
	}
	_, err = t.tx.Exec(ctx, `
		INSERT INTO placement_tanks (organization_id, placement_id, position, tank_id, version, revision)
		SELECT $1, $2, k.position, k.tank, k.version, k.revision
		FROM unnest($3::integer[], $4::uuid[], $5::bigint[], $6::bigint[]) AS k (position, tank, version, revision)`,
		t.organization, id, positions, tanks, versions, revisions)
	return p, explain("store the tanks of the placement", err)
}

const placementByID = `SELECT ` + placementHead + `, input, answer FROM placements p WHERE organization_id = $1 AND id = $2`

// Placement returns a proposal of an organization with what was accepted of it, or [ErrNotFound]. It takes one
// round trip.
func (s *Store) Placement(ctx context.Context, organization, id uuid.UUID) (p Placement, err error) {
	err = s.ask(ctx, "read the placement", organization, func(batch *pgx.Batch) {
		queueOne(batch, &p, scanPlacement, placementByID, organization, id)
	})
	return p, err
}

// Placements lists proposals without Input and Answer, the newest first, from behind the one of beforeID
// made at before, at most limit of them.
func (t *Tx) Placements(ctx context.Context, before time.Time, beforeID uuid.UUID, limit int) ([]Placement, error) {
	return many(ctx, t, "list the placements", scanPlacementHead, `
		SELECT `+placementHead+` FROM placements p
		WHERE organization_id = $1 AND (made_at, id) < ($2, $3)
		ORDER BY made_at DESC, id DESC LIMIT $4`, t.organization, before, beforeID, limit)
}

// DeletePlacement deletes a proposal. What was accepted of it stays in the tanks.
func (t *Tx) DeletePlacement(ctx context.Context, id uuid.UUID) error {
	tag, err := t.tx.Exec(ctx, `DELETE FROM placements WHERE organization_id = $1 AND id = $2`, t.organization, id)
	if err == nil && tag.RowsAffected() == 0 {
		err = pgx.ErrNoRows
	}
	return explain("delete the placement", err)
}
