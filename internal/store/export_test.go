package store

import "context"

// Stored lists the tables that are emptied when an organization is erased.
func Stored() []string { return stored }

// Text runs SQL of a test's own in a transaction and returns its one value as text.
func Text(ctx context.Context, tx *Tx, sql string, args ...any) (text string, err error) {
	err = tx.tx.QueryRow(ctx, sql, args...).Scan(&text)
	return text, explain("ask for a test", err)
}
