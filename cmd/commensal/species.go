package main

import (
	"io"
	"net/url"
	"strings"

	"commensal/api/gen"
	"commensal/internal/localcli"
	"commensal/internal/slip"

	"github.com/spf13/cobra"
)

// findFlags are the flags of a search.
var findFlags = []queryFlag{
	{"family", "family", "name", "only this family, as in Cichlidae"},
	{"zone", "zone", "surface|middle|bottom", "only kinds that spend most of their time there"},
	{"temperament", "temperament", "mild|territorial|aggressive|relentless", "only kinds with these manners towards others"},
	{"temperature", "temperature_c", "value", "only kinds that tolerate this, °C or with a unit: 25, 78F"},
	{"ph", "ph", "value", "only kinds that tolerate this pH"},
	{"max-length", "max_length_cm", "length", "only kinds whose adults stay at or under this: 6cm, 3in"},
	{"limit", "limit", "number", "list so many at most, 1 to 200"},
}

func (p *Program) speciesCommand() *cobra.Command {
	var asJSON, search bool
	cmd := &cobra.Command{
		Use:   "species [QUERY]",
		Short: "Show what the catalogue knows about a kind of fish, or find kinds",
		Long: "species shows the entry of the catalogue in this program that QUERY names: every value with its\n" +
			"range and its basis, and the published sources that agree with it. A name that is not clear, or\n" +
			"part of one, lists the kinds that it may mean, the likeliest first; --search lists them in any\n" +
			"case. With a flag that filters, kinds are listed too, and QUERY may be left out. QUERY is as\n" +
			"people type it, in any language of the catalogue.",
		Example: "  commensal species neon tetra\n  commensal species tetra --max-length 4cm\n  commensal species --zone surface --temperature 22",
		ValidArgsFunction: func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return completeName(cmd, args, typed)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			query, name := queryOf(cmd.Flags(), findFlags), joinedWords(args)
			found := len(query) > 1 || len(query) == 1 && !query.Has("limit")
			if len(args) == 0 && !found {
				return usagef("species needs the name of a kind, or a flag that filters")
			}
			if search || found {
				if name != "" {
					query.Set("q", name)
				}
				return p.findSpecies(query, asJSON)
			}
			return p.species(name, query, asJSON)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print what the API answers to the same question")
	cmd.Flags().BoolVar(&search, "search", false, "list the kinds that QUERY may mean, also where it names one")
	addQueryFlags(cmd.Flags(), findFlags)
	return cmd
}

// species asks the API's own handler, so that the answer is the API's. A name that is not clear is searched for.
func (p *Program) species(name string, query url.Values, asJSON bool) error {
	o, err := openOffline()
	if err != nil {
		return err
	}
	body, problem, err := o.species(name)
	if err == nil && problem != nil && !asJSON && mayBeFound(problem) {
		query.Set("q", name)
		if !query.Has("limit") {
			query.Set("limit", likeliest)
		}
		page, wrong, err := o.search(query)
		if err != nil {
			return err
		}
		if list := (gen.SpeciesPage{}); wrong == nil && localcli.Decode(page, &list) == nil && len(list.Species) > 0 {
			return p.layout("").WriteFound(p.Stdout, problem.Detail, &list)
		}
	}
	if err != nil {
		return err
	}
	var answer gen.Species
	return p.tell(body, problem, nil, asJSON, &answer, func(w io.Writer) error { return p.layout("").WriteSpecies(w, &answer) })
}

// likeliest is how many kinds are listed for a name that is not clear, as many as the API names candidates.
const likeliest = "12"

// mayBeFound reports a name that nothing is known by, or several kinds are.
func mayBeFound(p *gen.Problem) bool {
	return p.Type == "/problems/unknown-species" || p.Type == "/problems/ambiguous-species"
}

// findSpecies lists what a search finds.
func (p *Program) findSpecies(query url.Values, asJSON bool) error {
	o, err := openOffline()
	if err != nil {
		return err
	}
	body, problem, err := o.search(query)
	if err != nil {
		return err
	}
	var list gen.SpeciesPage
	return p.tell(body, problem, flagNames(findFlags), asJSON, &list, func(w io.Writer) error { return p.layout("").WriteFound(w, "", &list) })
}

// tell prints an answer as the API gave it, or for people; a problem goes to standard error. flags name the flags behind the
// query parameters.
func (p *Program) tell(body []byte, problem *gen.Problem, flags map[string]string, asJSON bool, into any, write func(io.Writer) error) error {
	switch {
	case problem != nil:
		if asJSON {
			p.Stdout.Write(body)
		}
		p.problems().WriteProblem(p.Stderr, problem, flags)
		return &silentError{exitUsage}
	case asJSON:
		_, err := p.Stdout.Write(body)
		return err
	}
	if err := localcli.Decode(body, into); err != nil {
		return err
	}
	return write(p.Stdout)
}

func (p *Program) careCommand() *cobra.Command {
	var asJSON, wide bool
	cmd := &cobra.Command{
		Use:   "care SPECIES",
		Short: "Print what goes with a kind of fish over the counter",
		Long: "care prints a slip of at most 25 lines: size, group, tank, water, food, level, temper, what must\n" +
			"not be kept with it, cautions and the law. With --tank the customary group is judged alone in\n" +
			"that tank.",
		Example: "  commensal care 'bronze corydoras' --tank 54L --region DE\n  commensal care oscar --units us",
		Args:    cobra.MinimumNArgs(1), ValidArgsFunction: completeName,
		RunE: func(cmd *cobra.Command, args []string) error {
			width := slip.Columns
			if wide {
				width = p.layout("").Columns
			}
			return p.care(joinedWords(args), queryOf(cmd.Flags(), careFlags), asJSON, width)
		},
	}
	addQueryFlags(cmd.Flags(), careFlags)
	cmd.Flags().BoolVar(&wide, "wide", false, "lines as wide as the terminal, not 42 characters for a till's printer")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print what the API answers to the same question")
	return cmd
}

// careFlags are the flags of a care sheet.
var careFlags = []queryFlag{
	{"tank", "tank", "size", "the customer's tank: 120x50x50cm, 54L, 20gal"},
	{"region", "region", "place", "where the seller is, a country or a state"},
	{"units", "units", "si|us", "us adds US values in brackets"},
}

// care asks the API's own handler for a care sheet.
func (p *Program) care(name string, query url.Values, asJSON bool, width int) error {
	o, err := openOffline()
	if err != nil {
		return err
	}
	body, problem, err := o.care(name, query)
	if err != nil {
		return err
	}
	var sheet gen.CareSheet
	return p.tell(body, problem, flagNames(careFlags), asJSON, &sheet, func(w io.Writer) error {
		_, err := io.WriteString(w, slip.Care(&sheet, width))
		return err
	})
}

// joinedWords is a name of several words that stands without quotes.
func joinedWords(args []string) string { return strings.Join(args, " ") }
