package sheet_test

import (
	"errors"
	"reflect"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/sheet"
)

func checkFaults(t *testing.T, err error) {
	var errs entry.Errors
	if !errors.As(err, &errs) || len(errs) == 0 || len(errs) > entry.MaxErrors {
		t.Fatalf("error %v is no list of faults", err)
	}
	for _, le := range errs {
		if le.Line < 1 || le.File != "f" || le.Detail == "" {
			t.Errorf("fault without a place or a text: %+v", le)
		}
	}
}

// Whatever the bytes, a sheet gives entries or faults with a line, never both, and
// what was read can be written and read again.
func FuzzReadSheet(f *testing.F) {
	base := parvus()
	for _, seed := range []string{
		"", "scientificName\nParvus rapidus\n", lengthHeader + "Parvus rapidus,1,2,3,memory\n", "\xef\xbb\xbfscientificName,form,form_of\r\nA b,c,a-b\r\n",
		"scientificName,vernacularName [de],vernacularName,vernacularName order\nA b,c | d,\"e\"\"f\",de | en\n", "scientificName,length low [in]\n",
		"scientificName,zones surface [share],zones middle [%],zones bottom [share],zones basis\nA b,0.1,20,0.7,memory\n",
		"scientificName,reviewed,needs,sexed_in_trade\nA b,territory: a\\|b | zones: c,sand | caves,true\n", "a,b\n\"c\nd\",e\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		sheet, err := sheet.Read("f", data, base)
		if err != nil {
			checkFaults(t, err)
			if sheet != nil {
				t.Error("a sheet beside faults")
			}
			return
		}
		if len(sheet.Entries) == 0 {
			t.Error("a sheet without entries")
		}
		again := readSheet(t, sheetOf(t, sheet.Entries), species.Catalogue{})
		if !reflect.DeepEqual(again.Entries, sheet.Entries) {
			t.Errorf("entries %v read again as %v", sheet.Entries, again.Entries)
		}
	})
}
