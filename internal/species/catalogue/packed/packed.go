package packed

import (
	"errors"
	"fmt"

	"commensal/internal/species"
)

// ErrDamaged means that bytes are not what [Encode] made.
var ErrDamaged = errors.New("packed: these bytes are no catalogue of this program: run make generate")

// Encode writes a catalogue as bytes. Equal catalogues give equal bytes.
func Encode(c species.Catalogue) []byte {
	w := &coder{numbers: map[string]int{}}
	w.catalogue(&c)
	return w.out
}

// Decode reads what [Encode] wrote; the texts are parts of data. Anything else is [ErrDamaged], as
// far as it can be told. Empty lists come back nil.
func Decode(data string) (c species.Catalogue, err error) {
	r := &coder{in: data, reading: true}
	r.catalogue(&c)
	if r.damaged || r.in != "" {
		return species.Catalogue{}, fmt.Errorf("%w (%d of %d bytes were read)", ErrDamaged, len(data)-len(r.in), len(data))
	}
	return c, nil
}
