package cataloguerows

import (
	"fmt"

	"commensal/internal/species"

	"github.com/jackc/pgx/v5"
)

func (r *reader) trait(rows pgx.Rows) error {
	var id, sexText, key, basis string
	var b species.Band
	if err := rows.Scan(&id, &sexText, &key, &b.Low, &b.Typical, &b.High, &basis); err != nil {
		return err
	}
	s, err := r.of(id)
	if err != nil {
		return err
	}
	sex, err := sexByKey(sexText)
	if err != nil {
		return err
	}
	t, ok := species.TraitByKey(key)
	if !ok {
		return unknownKey("trait", key)
	}
	traitSets(s)[sex].traits[t] = species.Value{Band: b, Basis: r.basis(basis)}
	return nil
}

func (r *reader) water(rows pgx.Rows) error {
	var id, key, basis string
	var w species.WaterRange
	if err := rows.Scan(&id, &key, &w.Tolerated.Low, &w.Preferred.Low, &w.Preferred.High, &w.Tolerated.High, &basis); err != nil {
		return err
	}
	s, err := r.of(id)
	if err != nil {
		return err
	}
	w.Basis = r.basis(basis)
	for p := range s.Water {
		if species.Parameter(p).String() == key {
			s.Water[p] = w
			return nil
		}
	}
	return unknownKey("water parameter", key)
}

func (r *reader) zones(rows pgx.Rows) error {
	var id, activity, basis string
	var z species.ZoneUse
	if err := rows.Scan(&id, &activity, &z.Share[species.Surface], &z.Share[species.Middle], &z.Share[species.Bottom], &basis); err != nil {
		return err
	}
	s, err := r.of(id)
	if err != nil {
		return err
	}
	z.Basis = r.basis(basis)
	for _, u := range zoneUses(s) {
		if u.activity == activity {
			*u.use = z
			return nil
		}
	}
	return unknownKey("activity", activity)
}

func sexByKey(key string) (species.Sex, error) {
	for _, s := range []species.Sex{species.Unsexed, species.Male, species.Female} {
		if sexKey(s) == key {
			return s, nil
		}
	}
	return 0, unknownKey("sex", key)
}

// UnknownKeyError is what an older program says of a newer one's data.
type UnknownKeyError struct{ what, key string }

func (e *UnknownKeyError) Error() string {
	return fmt.Sprintf("%s %q is not known to this program: a newer one wrote it", e.what, e.key)
}

func unknownKey(what, key string) error { return &UnknownKeyError{what, key} }
