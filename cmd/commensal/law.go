package main

import (
	"fmt"
	"io"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/lawtext"
	"commensal/internal/species/law"
	"github.com/spf13/cobra"
)

func (p *Program) lawCommand() *cobra.Command {
	var dir, region string
	cmd := &cobra.Command{
		Use:   "law [SPECIES]",
		Short: "Say which published rules touch a species in a region, or list all rules",
		Long: "law says which published rules about sale, keeping, import and release touch a species in a\n" +
			"region, with regulation, number, year and the date of the knowledge. Without a species it lists\n" +
			"the rules, and the taxa in them that the catalogue does not have. It is no legal advice.",
		Example: "  commensal catalogue law 'red swamp crayfish' --region DE",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			c, err := readCatalogue(dir)
			if err != nil {
				return err
			}
			rules, err := lawtext.Read(catalogueFiles(dir), c.Species)
			if err != nil {
				return inFolder(dir, err)
			}
			if len(args) == 0 {
				return listRules(p.Stdout, rules, c.Species, region)
			}
			return lawOf(p.Stdout, rules, c, args[0], region)
		},
	}
	cmd.Flags().StringVar(&dir, "dir", "", dirUsage)
	cmd.Flags().StringVar(&region, "region", "", "where: EU, a country or a state, by name or code")
	return cmd
}

// knownPlace is a place whose rules are known, or a usage error.
func knownPlace(region string) (law.Place, error) {
	place := law.PlaceOf(region)
	if !place.Known() {
		return place, usagef("--region %q: rules are known of %s, their countries and states", region, strings.Join(regionNames(), ", "))
	}
	return place, nil
}

func regionNames() []string {
	var out []string
	for _, r := range law.Regions {
		out = append(out, string(r))
	}
	return out
}

// lawOf says what the rules are for one species.
func lawOf(w io.Writer, rules []law.Rule, c species.Catalogue, name, region string) error {
	place, err := knownPlace(region)
	if err != nil {
		return err
	}
	snapshot, err := species.NewSnapshot(0, c)
	if err != nil {
		return err
	}
	m, err := snapshot.Resolve(name)
	if err != nil {
		return err
	}
	sentences := law.Of(rules, place, m.Species).Sentences(m.Species)
	if sentences == nil {
		sentences = []string{"No rule is known here that touches " + m.Species.ScientificName + ".", law.CheckLocalLaw}
	}
	for _, sentence := range sentences {
		fmt.Fprintln(w, sentence)
	}
	return nil
}

// listRules lists the rules of a region, or all, and then the taxa that no entry belongs to.
func listRules(w io.Writer, rules []law.Rule, kinds []*species.Species, region string) error {
	place := law.Place{Regions: law.Regions}
	if region != "" {
		var err error
		if place, err = knownPlace(region); err != nil {
			return err
		}
	}
	shown := law.Under(rules, place)
	for _, r := range shown {
		fmt.Fprintf(w, "%s: %s, %s, %d: %s (known in %s, %s)\n", r.ID, r.Regulation, r.Number, r.Year, r.Summary(), r.Known, r.Basis)
	}
	absent := law.Absent(shown, kinds)
	names := make([]string, len(absent))
	for i, t := range absent {
		names[i] = string(t)
	}
	fmt.Fprintf(w, "%d rules; %d taxa that no entry belongs to: %s\n%s\n", len(shown), len(absent), strings.Join(names, ", "), law.CheckLocalLaw)
	return nil
}
