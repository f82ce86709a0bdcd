package main

import (
	"context"
	"fmt"
	"os"

	"commensal/internal/conflict"
	"commensal/internal/localpg"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/ext"
	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"
	"github.com/jackc/pgx/v5"
)

// databaseVariable names a server to use in place of a private one. Nothing is stored there but a temporary table.
const databaseVariable = "DATABASE_URL"

// peer scores all ordered pairs of the fish, the pair of a fish with itself too: into out, row by row, where
// out is not nil.
type peer struct {
	name string
	all  func(ctx context.Context, out []float64) error
}

// contest is who takes part.
type contest struct {
	fish  []fish
	peers []peer // four of the simple formula, the join first, then the whole model, one against all last
	close func(context.Context) error
}

// newContest reads the built-in catalogue and sets everybody up. It must be closed in the end.
func newContest(ctx context.Context) (c *contest, err error) {
	catalogue, err := builtin.Catalogue()
	if err != nil {
		return nil, err
	}
	snapshot, err := species.NewSnapshot(1, catalogue)
	if err != nil {
		return nil, err
	}
	model, err := conflict.Default()
	if err != nil {
		return nil, err
	}
	c = &contest{fish: readFish(snapshot)}
	byCEL, err := c.cel()
	if err != nil {
		return nil, err
	}
	byExpr, err := c.expr()
	if err != nil {
		return nil, err
	}
	join, end, err := c.join(ctx)
	if err != nil {
		return nil, err
	}
	book := conflict.NewBook(model, snapshot)
	c.close = end
	c.peers = []peer{
		{"PostgreSQL self-join", join},
		{"cel-go", byCEL},
		{"expr", byExpr},
		{"plain Go", c.each(func(i, j int) (float64, error) { return simple(&c.fish[i], &c.fish[j]), nil })},
		{"whole model, pair by pair", c.each(func(i, j int) (float64, error) { return book.Value(i, j), nil })},
		{"whole model, one against all", c.against(book)},
	}
	return c, nil
}

// each scores pair by pair.
func (c *contest) each(score func(i, j int) (float64, error)) func(context.Context, []float64) error {
	return func(ctx context.Context, out []float64) error {
		n := len(c.fish)
		for i := range n {
			if err := ctx.Err(); err != nil {
				return err
			}
			for j := range n {
				v, err := score(i, j)
				if err != nil {
					return err
				}
				if out != nil {
					out[i*n+j] = v
				}
			}
		}
		return nil
	}
}

// against scores row by row.
func (c *contest) against(book *conflict.Book) func(context.Context, []float64) error {
	var row []float64
	return func(ctx context.Context, out []float64) error {
		n := len(c.fish)
		for i := range n {
			if err := ctx.Err(); err != nil {
				return err
			}
			if row = book.Against(book.Profile(i), nil, row); out != nil {
				copy(out[i*n:], row)
			}
		}
		return nil
	}
}

// celNames are the variables of the formula in CEL, for a fish.
const celNames = "LPATCWIK"

// celPair gives CEL the values of a pair, boxed before so that nothing is made for each.
type celPair struct {
	values *[2][len(celNames)]types.Double
}

// ResolveName finds a value by its name, such as aL.
func (p celPair) ResolveName(name string) (any, bool) {
	if len(name) != 2 {
		return nil, false
	}
	for i := range len(celNames) {
		if celNames[i] == name[1] {
			return p.values[name[0]-'a'][i], true
		}
	}
	return nil, false
}

// Parent is none.
func (p celPair) Parent() cel.Activation { return nil }

func (c *contest) cel() (func(context.Context, []float64) error, error) {
	options := []cel.EnvOption{ext.Math()}
	for _, who := range "ab" {
		for _, what := range celNames {
			options = append(options, cel.Variable(string(who)+string(what), cel.DoubleType))
		}
	}
	env, err := cel.NewEnv(options...)
	if err != nil {
		return nil, err
	}
	ast, issues := env.Compile(celFormula)
	if issues.Err() != nil {
		return nil, issues.Err()
	}
	program, err := env.Program(ast, cel.EvalOptions(cel.OptOptimize))
	if err != nil {
		return nil, err
	}
	values := make([][len(celNames)]types.Double, len(c.fish))
	for i, f := range c.fish {
		for k, v := range [...]float64{f.Length, f.Piscivory, f.Aggression, f.Timidity, f.Cold, f.Warm, f.Acid, f.Alkaline} {
			values[i][k] = types.Double(v)
		}
	}
	var pair [2][len(celNames)]types.Double
	return c.each(func(i, j int) (float64, error) {
		pair[0], pair[1] = values[i], values[j]
		v, _, err := program.Eval(celPair{&pair})
		if err != nil {
			return 0, err
		}
		f, ok := v.Value().(float64)
		if !ok {
			return 0, fmt.Errorf("cel-go says %v", v)
		}
		return f, nil
	}), nil
}

// exprPair is what the formula in expr sees.
type exprPair struct{ A, B *fish }

func (c *contest) expr() (func(context.Context, []float64) error, error) {
	program, err := expr.Compile(exprFormula, expr.Env(exprPair{}), expr.AsFloat64())
	if err != nil {
		return nil, err
	}
	var machine vm.VM
	return c.each(func(i, j int) (float64, error) {
		v, err := machine.Run(program, exprPair{&c.fish[i], &c.fish[j]})
		if err != nil {
			return 0, err
		}
		f, ok := v.(float64)
		if !ok {
			return 0, fmt.Errorf("expr says %v", v)
		}
		return f, nil
	}), nil
}

// join sets up PostgreSQL: a table in its memory, without parallel workers, as everybody here has one processor.
func (c *contest) join(ctx context.Context) (all func(context.Context, []float64) error, end func(context.Context) error, err error) {
	dsn, stop, err := database(ctx)
	if err != nil {
		return nil, nil, err
	}
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		return nil, nil, fmt.Errorf("%w (%v)", err, stop(ctx))
	}
	whole := func(ctx context.Context) error {
		if err := conn.Close(ctx); err != nil {
			return err
		}
		return stop(ctx)
	}
	if err := c.fill(ctx, conn); err != nil {
		return nil, nil, fmt.Errorf("%w (%v)", err, whole(ctx))
	}
	return func(ctx context.Context, out []float64) error {
		if out == nil {
			var sum float64 // so that only numbers are made, and no rows for a client
			return conn.QueryRow(ctx, `SELECT sum(`+sqlFormula+`) FROM fish a CROSS JOIN fish b`).Scan(&sum)
		}
		rows, err := conn.Query(ctx, `SELECT `+sqlFormula+` FROM fish a CROSS JOIN fish b ORDER BY a.i, b.i`)
		if err != nil {
			return err
		}
		list, err := pgx.CollectRows(rows, pgx.RowTo[float64])
		copy(out, list)
		return err
	}, whole, nil
}

func (c *contest) fill(ctx context.Context, conn *pgx.Conn) error {
	const table = `CREATE TEMPORARY TABLE fish (i int PRIMARY KEY, length float8, piscivory float8, aggression float8, timidity float8,
		cold float8, warm float8, acid float8, alkaline float8)`
	for _, sql := range []string{"SET max_parallel_workers_per_gather = 0", "SET jit = off", table} {
		if _, err := conn.Exec(ctx, sql); err != nil {
			return err
		}
	}
	_, err := conn.CopyFrom(ctx, pgx.Identifier{"fish"}, []string{"i", "length", "piscivory", "aggression", "timidity", "cold", "warm", "acid", "alkaline"},
		pgx.CopyFromSlice(len(c.fish), func(i int) ([]any, error) {
			f := &c.fish[i]
			return []any{i, f.Length, f.Piscivory, f.Aggression, f.Timidity, f.Cold, f.Warm, f.Acid, f.Alkaline}, nil
		}))
	if err == nil {
		_, err = conn.Exec(ctx, "ANALYZE fish")
	}
	return err
}

// database is a private server from installed binaries, or the one that is named.
func database(ctx context.Context) (dsn string, end func(context.Context) error, err error) {
	if dsn := os.Getenv(databaseVariable); dsn != "" {
		return dsn, func(context.Context) error { return nil }, nil
	}
	dir, err := os.MkdirTemp("", "commensal-peers-")
	if err != nil {
		return "", nil, err
	}
	server, err := localpg.Start(ctx, localpg.Options{DataDir: dir, Throwaway: true})
	if err != nil {
		return "", nil, fmt.Errorf("%w (%v)", err, os.RemoveAll(dir))
	}
	return server.DSN(), func(ctx context.Context) error {
		if err := server.Stop(ctx); err != nil {
			return err
		}
		return os.RemoveAll(dir)
	}, nil
}
