package main

import (
	"io"
	"net/url"

	"commensal/api/gen"
	"commensal/internal/localcli"
	"commensal/internal/terminal"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// queryFlag is a flag and the query parameter that it stands for. What a value may be is the contract's to say, so a flag is
// passed on as it was typed.
type queryFlag struct{ flag, parameter, value, usage string }

var pairFlags = []queryFlag{
	{"tank", "tank", "size", "inside length x width x height with a unit, for example 120x50x50cm or 48x24x24in"},
	{"temperature", "temperature_c", "temperature", "water temperature, °C or with a unit (78F)"},
	{"ph", "ph", "number", "pH of the water"},
	{"gh", "gh_dh", "hardness", "general hardness, °dH or with a unit (178ppm)"},
	{"salinity", "salinity_ppt", "salinity", "salinity, ppt or with a unit (1.005sg)"},
	{"cover", "cover", "share", "how well wood, rock and plants break the sight lines, 0 (bare) to 1 (dense)"},
	{"first-count", "first_count", "number", "how many of A; the customary group when absent"},
	{"second-count", "second_count", "number", "how many of B; the customary group when absent"},
	{"first-sex", "first_sex", "sex", "male or female, where all of A are of one sex"},
	{"second-sex", "second_sex", "sex", "male or female, where all of B are of one sex"},
	{"first-length", "first_length_cm", "length", "present length of A, cm or with a unit (4in); adult when absent"},
	{"second-length", "second_length_cm", "length", "present length of B, cm or with a unit; adult when absent"},
	{"units", "units", "si|us", "us adds US values in brackets"},
}

// flagNames names the flag of each query parameter.
func flagNames(flags []queryFlag) map[string]string {
	names := make(map[string]string, len(flags))
	for _, f := range flags {
		names[f.parameter] = f.flag
	}
	return names
}

// layout is how answers are laid out on a terminal, with US values for the units "us".
func (p *Program) layout(units string) localcli.Layout {
	return localcli.Layout{US: units == string(gen.Us), Program: programVersion(), Columns: terminal.TextWidth(p.Stdout, p.Getenv), TableColumns: p.tableColumns()}
}

// tableColumns is how wide a table may be on standard output; 0 in a pipe, where nothing limits it.
func (p *Program) tableColumns() int {
	n, _ := terminal.Columns(p.Stdout, p.Getenv)
	return n
}

// problems is how what is wrong with a question is laid out.
func (p *Program) problems() localcli.Layout {
	return localcli.Layout{Columns: terminal.TextWidth(p.Stderr, p.Getenv)}
}

// text is a flag value that is passed on as typed; its kind stands in the help.
type text struct{ value, kind string }

// String is the text.
func (t *text) String() string { return t.value }

// Set takes the text.
func (t *text) Set(s string) error { t.value = s; return nil }

// Type is the kind.
func (t *text) Type() string { return t.kind }

func (p *Program) pairCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "pair A B",
		Short: "Say whether two kinds of fish can live together, and why",
		Long: "pair judges two kinds of fish on the catalogue in this program, without a server or a\n" +
			"database. A and B are names as people type them: scientific, older, vernacular, or an id;\n" +
			"the same name twice judges a group of its own kind. A name of several words goes in quotes.",
		Example: "  commensal pair oscar 'neon tetra'\n" +
			"  commensal pair angelfish guppy --tank 48x24x24in --temperature 78F --units us",
		Args:              cobra.ExactArgs(2),
		ValidArgsFunction: completeName,
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.pair(args[0], args[1], queryOf(cmd.Flags(), pairFlags), asJSON)
		},
	}
	addQueryFlags(cmd.Flags(), pairFlags)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print what the API answers to the same question")
	return cmd
}

// addQueryFlags adds flags that stand for query parameters.
func addQueryFlags(flags *pflag.FlagSet, list []queryFlag) {
	for _, f := range list {
		flags.Var(&text{kind: f.value}, f.flag, f.usage)
	}
}

// queryOf turns those of the flags that were given into query parameters.
func queryOf(flags *pflag.FlagSet, list []queryFlag) url.Values {
	query := url.Values{}
	for _, f := range list {
		if given := flags.Lookup(f.flag); given.Changed {
			query.Set(f.parameter, given.Value.String())
		}
	}
	return query
}

// pair asks the API's own handler, so that the answer and the words are the API's.
func (p *Program) pair(first, second string, query url.Values, asJSON bool) error {
	o, err := openOffline()
	if err != nil {
		return err
	}
	body, problem, err := o.pairing(first, second, query)
	if err != nil {
		return err
	}
	var answer gen.Pairing
	return p.tell(body, problem, flagNames(pairFlags), asJSON, &answer, func(w io.Writer) error {
		return p.layout(query.Get("units")).WritePairing(w, &answer)
	})
}

// completeName offers the ids of entries whose names begin like what was typed.
func completeName(_ *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	if len(args) >= 2 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	book, err := builtInBook()
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	return localcli.Completions(book.Snapshot, typed), cobra.ShellCompDirectiveNoFileComp
}
