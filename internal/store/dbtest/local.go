package dbtest

import (
	"context"
	"errors"
	"fmt"
	"os"

	"commensal/internal/localpg"
)

// manyConnections is enough for parallel tests with a pool each on a large machine.
const manyConnections = "400"

// fromBinaries runs a throwaway server. On Linux it ends with the test binary,
// even when that is killed.
func fromBinaries(ctx context.Context) (provided, error) {
	dir, err := os.MkdirTemp("", "commensal-dbtest-")
	if err != nil {
		return provided{}, err
	}
	srv, err := localpg.Start(ctx, localpg.Options{DataDir: dir, Throwaway: true, Settings: map[string]string{"max_connections": manyConnections}})
	if err != nil {
		var missing *localpg.NotFoundError
		if errors.As(err, &missing) || errors.Is(err, localpg.ErrUnsupported) {
			err = fmt.Errorf("%w: %w", errNotHere, err)
		}
		return provided{}, errors.Join(err, os.RemoveAll(dir))
	}
	return provided{dsn: srv.DSN(), stop: func(ctx context.Context) error {
		return errors.Join(srv.Stop(ctx), os.RemoveAll(dir))
	}}, nil
}
