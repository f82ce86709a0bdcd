package store

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

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
