package store

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
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

// Accepted is a part of a proposal that is to become true: lines that join a tank.
type Accepted struct {
	Arrival   int // among the arrivals of the answer
	Tank      uuid.UUID
	Residents []Resident // Species and Line of each
}

// AlreadyAcceptedError says that parts of a proposal were accepted before. Nothing was written.
type AlreadyAcceptedError struct{ Arrivals []int }

func (e *AlreadyAcceptedError) Error() string {
	return fmt.Sprintf("store: the arrivals %v were accepted before", e.Arrivals)
}

// MovedTanksError says that tanks are no longer what a proposal knows: changed, or gone. Nothing was written.
type MovedTanksError struct{ Tanks []uuid.UUID }

func (e *MovedTanksError) Error() string {
	return fmt.Sprintf("store: the tanks %v have changed since the proposal", e.Tanks)
}

// AcceptPlacement writes parts of a proposal into their tanks, which the proposal must know: no tank may have
// been changed since ([MovedTanksError]) and no part accepted before ([AlreadyAcceptedError]). A tank
// gets at most so many lines in all ([ErrFull]). Those who accept at the same time take turns. A proposal that
// does not exist is [ErrNotFound].
func (t *Tx) AcceptPlacement(ctx context.Context, id uuid.UUID, key string, parts []Accepted, most int) (Placement, error) {
	_, err := one(ctx, t, "read the placement", pgx.RowTo[uuid.UUID], `
		SELECT id FROM placements WHERE organization_id = $1 AND id = $2 FOR UPDATE`, t.organization, id)
	if err != nil {
		return Placement{}, err
	}
	if err := t.noneAccepted(ctx, id, parts); err != nil {
		return Placement{}, err
	}
	byTank := map[uuid.UUID][]Resident{}
	var tanks []uuid.UUID
	for _, p := range parts {
		if byTank[p.Tank] == nil {
			tanks = append(tanks, p.Tank)
		}
		byTank[p.Tank] = append(byTank[p.Tank], p.Residents...)
	}
	// Always in one order, so that two at once do not embrace.
	slices.SortFunc(tanks, func(a, b uuid.UUID) int { return cmp.Compare(a.String(), b.String()) })
	if err := t.unmoved(ctx, id, tanks); err != nil {
		return Placement{}, err
	}
	for _, tank := range tanks {
		if _, err := t.AddResidents(ctx, tank, byTank[tank], most); err != nil {
			return Placement{}, err
		}
	}
	if err := t.noteAccepted(ctx, id, key, parts); err != nil {
		return Placement{}, err
	}
	return one(ctx, t, "read the placement", scanPlacement, placementByID, t.organization, id)
}

// noneAccepted returns an error that names the parts that were accepted before.
func (t *Tx) noneAccepted(ctx context.Context, id uuid.UUID, parts []Accepted) error {
	before, err := many(ctx, t, "read what was accepted", pgx.RowTo[int], `
		SELECT arrival FROM placement_acceptances WHERE organization_id = $1 AND placement_id = $2 AND arrival = ANY ($3)
		ORDER BY arrival`, t.organization, id, arrivalsOf(parts))
	if err == nil && len(before) > 0 {
		err = &AlreadyAcceptedError{before}
	}
	return err
}

func arrivalsOf(parts []Accepted) []int {
	out := make([]int, len(parts))
	for i := range parts {
		out[i] = parts[i].Arrival
	}
	return out
}

// unmoved locks the tanks and returns an error that names those the proposal knows otherwise, or not at all.
func (t *Tx) unmoved(ctx context.Context, id uuid.UUID, tanks []uuid.UUID) error {
	var moved []uuid.UUID
	for _, tank := range tanks {
		same, err := many(ctx, t, "lock the tank", pgx.RowTo[bool], `
			SELECT EXISTS (SELECT FROM placement_tanks p WHERE p.organization_id = $1 AND p.placement_id = $3
				AND p.tank_id = t.id AND p.revision = t.revision)
			FROM tanks t WHERE t.organization_id = $1 AND t.id = $2 FOR UPDATE`, t.organization, tank, id)
		if err != nil {
			return err
		}
		if len(same) == 0 || !same[0] {
			moved = append(moved, tank)
		}
	}
	if len(moved) > 0 {
		return &MovedTanksError{moved}
	}
	return nil
}

// noteAccepted notes what was accepted, and the tanks as they are after it.
func (t *Tx) noteAccepted(ctx context.Context, id uuid.UUID, key string, parts []Accepted) error {
	tanks := make([]uuid.UUID, len(parts))
	for i := range parts {
		tanks[i] = parts[i].Tank
	}
	_, err := t.tx.Exec(ctx, `
		INSERT INTO placement_acceptances (organization_id, placement_id, arrival, tank_id, key_id)
		SELECT $1, $2, a.arrival, a.tank, $5 FROM unnest($3::integer[], $4::uuid[]) AS a (arrival, tank)`,
		t.organization, id, arrivalsOf(parts), tanks, key)
	if err == nil {
		_, err = t.tx.Exec(ctx, `
			UPDATE placement_tanks p SET version = t.version, revision = t.revision
			FROM tanks t
			WHERE p.organization_id = $1 AND p.placement_id = $2 AND p.tank_id = ANY ($3)
				AND t.organization_id = p.organization_id AND t.id = p.tank_id`, t.organization, id, tanks)
	}
	return explain("note what was accepted", err)
}
