package sheet_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/sheet"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/species/synthetic"
)

func TestReadSheetNamesTheLineAndTheColumnOfEachFault(t *testing.T) {
	const name = "scientificName\n"
	long := strings.Repeat("a", sheet.MaxCell+1)
	for _, tt := range []struct{ name, text, want string }{
		{"empty file", "", "f.csv:1: the file holds no entry"},
		{"header only", name, "f.csv:1: the file holds no entry"},
		{"rows of nothing", name + "\n\"\"\n", "f.csv:1: the file holds no entry"},
		{"not UTF-8", name + "Parvus caf\xe9\n", "f.csv:2: the text is not UTF-8"},
		{"UTF-16", "\xff\xfes\x00", "f.csv:1: the text is not UTF-8"},
		{"semicolons", "scientificName;family\nParvus rapidus;Parvidae\n", "f.csv:1: the columns are not separated by commas"},
		{"tabs", "scientificName\tfamily\n", "f.csv:1: the columns are not separated by commas"},
		{"no name column", "family\nParvidae\n", "f.csv:1: scientificName: the column is missing"},
		{"column twice", "scientificName,family,family\n", "f.csv:1: family: the column stands twice"},
		{"value in two units", lengthHeader[:len(lengthHeader)-1] + ",length low [in]\n", "f.csv:1: length low [in]: the column stands twice"},
		{"column without a name", "scientificName,\n", "f.csv:1: a column has no name"},
		{"unknown column", "scientificName,price\n", "f.csv:1: price: unknown column"},
		{"other case", "scientificname\n", "f.csv:1: scientificname: unknown column; did you mean scientificName?"},
		{"typing slip", "scientificName,vernacluarName\n", "unknown column; did you mean vernacularName?"},
		{"slip in a value", "scientificName,lenght low [cm]\n", "f.csv:1: lenght low [cm]: unknown column; did you mean length low [cm]?"},
		{"value in one column", "scientificName,length [cm]\n", "unknown column; a value takes several: length low [cm], …, length basis"},
		{"language that is none", "scientificName,vernacularName [german]\n", "f.csv:1: vernacularName [german]: unknown column"},
		{"no unit", "scientificName,length low\n", "f.csv:1: length low: the unit is missing: write length low [cm]"},
		{"open unit", "scientificName,length low [cm\n", "f.csv:1: length low [cm: the unit is missing"},
		{"unit of something else", "scientificName,length low [kg]\n", `f.csv:1: length low [kg]: "kg" is no unit for it; the catalogue has cm`},
		{"temperature as a length", "scientificName,length low [C]\n", `"C" is no unit for it`},
		{"unit of a basis", "scientificName,length basis [cm]\n", "f.csv:1: length basis [cm]: a basis has no unit"},
		{"missing number", "scientificName,length low [cm],length high [cm],length basis\n", "f.csv:1: length typical [cm]: the column is missing, and others of length are there"},
		{"missing basis", "scientificName,zones surface [share],zones middle [share],zones bottom [share]\n", "f.csv:1: zones basis: the column is missing"},
		{"short row", "scientificName,family\nParvus rapidus\n", "f.csv:2: the row has 1 cells, and the header 2"},
		{"long row", name + "Parvus rapidus,Parvidae\n", "f.csv:2: the row has 2 cells, and the header 1"},
		{"open quote", name + "\"Parvus rapidus\n", "f.csv:2: not CSV at byte"},
		{"quote inside", name + "Parvus \"rapidus\"\n", "f.csv:2: not CSV at byte"},
		{"no scientific name", "scientificName,family\n,Parvidae\n", "f.csv:2: scientificName: the row has no scientific name"},
		{"name without letters", name + "...\n", `f.csv:2: scientificName: "..." makes no id`},
		{"entry twice", name + "Parvus rapidus\nParvus celer\nParvus rapidus\n", "f.csv:4: scientificName: parvus-rapidus stands on line 2 already"},
		{"another id", "taxonID,scientificName\nparvus-celer,Parvus rapidus\n", `f.csv:2: taxonID: "parvus-celer" does not go with the name: "parvus-rapidus" is expected`},
		{"another genus", "genus,scientificName\nMagnus,Parvus rapidus\n", `f.csv:2: genus: "Magnus" does not go with the name`},
		{"another rank", "taxonRank,scientificName\ngenus,Parvus rapidus\n", `f.csv:2: taxonRank: "genus" does not go with the name: "species" is expected`},
		{"unknown word", "scientificName,guild\nParvus rapidus,gourmet\n", `f.csv:2: guild: "gourmet" is none of: piscivore`},
		{"unknown word in a list", "scientificName,needs\nParvus rapidus,sand | love\n", `f.csv:2: needs: "love" is none of: sand`},
		{"truth in other words", "scientificName,sexed_in_trade\nParvus rapidus,yes\n", `f.csv:2: sexed_in_trade: "yes" is not true or false`},
		{"item twice", "scientificName,needs\nParvus rapidus,sand | sand\n", `f.csv:2: needs: "sand" is listed twice`},
		{"empty item", "scientificName,needs\nParvus rapidus,sand | \n", `f.csv:2: needs: the value is empty`},
		{"line break in a cell", "scientificName,taxonRemarks\nParvus rapidus,\"a\nb\"\n", `f.csv:2: taxonRemarks: the text has a line break`},
		{"lone carriage return", "scientificName,taxonRemarks\nParvus rapidus,a\rb\n", `f.csv:2: taxonRemarks: the text has a line break`},
		{"huge cell", "scientificName,taxonRemarks\nParvus rapidus," + long + "\n", `f.csv:2: taxonRemarks: the cell is longer than 16384 bytes`},
		{"long text", "scientificName,taxonRemarks\nParvus rapidus," + long[:entry.MaxText+1] + "\n", `f.csv:2: taxonRemarks: the text is longer than 2000 bytes`},
		{"languages out of order", "scientificName,vernacularName [de],vernacularName order\nParvus rapidus,Flitzer,en\n", "f.csv:2: vernacularName order: it does not list de"},
		{"review without a reason", "scientificName,reviewed\nParvus rapidus,territory\n", `f.csv:2: reviewed: "territory" is not of the shape field: reason`},
		{"review of nothing", "scientificName,reviewed\nParvus rapidus,price: it is\n", `f.csv:2: reviewed: "price" is no value of an entry`},
		{"not a number", lengthHeader + "Parvus rapidus,2,about 3,4,memory\n", `f.csv:2: length typical [cm]: "about 3" is not a number`},
		{"unit in the cell", lengthHeader + "Parvus rapidus,2,3 in,4,memory\n", `f.csv:2: length typical [cm]: "3 in" is not a number: the unit stands in the header, so leave "in" out`},
		{"decimal comma", lengthHeader + "Parvus rapidus,2,\"3,5\",4,memory\n", `f.csv:2: length typical [cm]: "3,5" is not a number: write 3.5, with a point`},
		{"negative", lengthHeader + "Parvus rapidus,-2,3,4,memory\n", `f.csv:2: length low [cm]: "-2" is not a number`},
		{"infinity", lengthHeader + "Parvus rapidus,2,3,Inf,memory\n", `f.csv:2: length high [cm]: "Inf" is not a number`},
		{"empty number", lengthHeader + "Parvus rapidus,2,,4,memory\n", `f.csv:2: length typical [cm]: the cell is empty, and others of length are not`},
		{"empty basis", lengthHeader + "Parvus rapidus,2,3,4,\n", `f.csv:2: length basis: the cell is empty`},
		{"basis that is none", lengthHeader + "Parvus rapidus,2,3,4,hearsay\n", `f.csv:2: length basis: basis "hearsay" is neither memory nor source:KEY`},
		{"falling numbers", lengthHeader + "Parvus rapidus,2,5,4,memory\n", `f.csv:2: length low [cm]: 5 is above 4`},
		{"beyond the unit", strings.ReplaceAll(lengthHeader, "cm", "m") + "Parvus rapidus,2,3,4000,memory\n", `f.csv:2: length high [m]: `},
		{"line behind a quoted break", "scientificName,taxonRemarks\nParvus rapidus,\"a\n\nb\"\nParvus celer,c,d\n", `f.csv:5: the row has 3 cells`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			sheet, err := sheet.Read("f.csv", []byte(tt.text), species.Catalogue{})
			var errs entry.Errors
			if !errors.As(err, &errs) || sheet != nil {
				t.Fatalf("got %v, %v; want faults", sheet, err)
			}
			if !strings.Contains(err.Error(), tt.want) {
				t.Errorf("faults: %s\nwant: %s", err, tt.want)
			}
		})
	}
}

func TestReadSheetIsBounded(t *testing.T) {
	_, err := sheet.Read("f.csv", make([]byte, sheet.MaxBytes+1), species.Catalogue{})
	if err == nil || !strings.Contains(err.Error(), "larger than 32 MiB") {
		t.Errorf("error %v", err)
	}
	_, err = sheet.Read("f.csv", []byte("scientificName,guild\n"+numbered(entry.MaxErrors+5)), species.Catalogue{})
	var errs entry.Errors
	if !errors.As(err, &errs) || len(errs) != entry.MaxErrors {
		t.Errorf("%d faults listed", len(errs))
	}
}

// numbered makes n rows with a fault each.
func numbered(n int) string {
	var b strings.Builder
	for _, s := range synthetic.Catalogue(1, n).Species {
		b.WriteString(s.ScientificName + ",gourmet\n")
	}
	return b.String()
}

// What only the whole catalogue shows is found by verification, and has the line of
// the row.
func TestVerificationFindsWhatASheetDoesToTheCatalogue(t *testing.T) {
	base := cataloguetest.Genus(4)
	first, second := base.Species[0], base.Species[1]
	for _, tt := range []struct{ name, header, cells, field, detail string }{
		{"inches for centimetres", lengthHeader, "1.6,1.7,1.8,memory", "trait length", "about 2.54 times too small"},
		{"synonym that is accepted", "scientificName,synonyms\n", first.ScientificName, "synonyms", "is also a name"},
		{"name of another", "scientificName,vernacularName\n", first.Names[0].Text, "names", "is also a name"},
		{"unknown source", lengthHeader, "3.6,4.2,4.8,source:nobody2001", "trait length", "not in the list of sources"},
		{"out of range", lengthHeader, "300,400,500,memory", "trait length", "must lie within"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := species.Catalogue{Species: slices.Clone(base.Species)}
			usual := cataloguetest.Value(4.4, 4.4, 4.4)
			for i, s := range c.Species {
				s := *s
				s.Traits[species.Length] = usual
				c.Species[i] = &s
			}
			sheet := readSheet(t, tt.header+"\n"+second.ScientificName+","+tt.cells+"\n", c)
			for _, p := range verify.Placed(sheet.Into(c, false), sheet.Places) {
				if p.Species == second.ID && p.Field == tt.field && strings.Contains(p.Detail, tt.detail) {
					if want := (entry.Place{File: "f.csv", Line: 3}); p.Place != want {
						t.Errorf("it stands at %v, want %v", p.Place, want)
					}
					return
				}
			}
			t.Errorf("not found: %v", verify.Catalogue(sheet.Into(c, false)))
		})
	}
}
