package articles

import (
	"regexp"
	"strconv"
)

// wholeNumber is a count as tills write it: decimals that are all zero say nothing.
var wholeNumber = regexp.MustCompile(`^([+-]?\d{1,9})(?:[.,]0{1,4})?$`)

// stockWords are the words for being in stock and for not being so, folded as headers are.
var stockWords = map[string]bool{
	"yes": true, "y": true, "true": true, "x": true, "in stock": true, "available": true, "ja": true, "j": true, "wahr": true, "lieferbar": true, "vorratig": true, "verfugbar": true,
	"auf lager": true, "oui": true, "o": true, "vrai": true, "en stock": true, "disponible": true, "si": true, "s": true, "vero": true, "disponibile": true, "verdadero": true, "sim": true, "op voorraad": true,
	"no": false, "n": false, "false": false, "none": false, "sold out": false, "out of stock": false, "not available": false, "nein": false, "falsch": false, "ausverkauft": false, "nicht lieferbar": false,
	"nicht verfugbar": false, "non": false, "faux": false, "epuise": false, "agotado": false, "falso": false, "esaurito": false, "nao": false, "esgotado": false, "nee": false, "uitverkocht": false,
}

// readStock reads what a cell says of being in stock: a number, a word, or nothing, which is in stock. nil is in stock
// and not counted.
func readStock(cell string) (n *int, ok bool) {
	if cell == "" {
		return nil, true
	}
	if m := wholeNumber.FindStringSubmatch(cell); m != nil {
		count, err := strconv.Atoi(m[1])
		return &count, err == nil && count >= 0 && count <= MaxInStock
	}
	if cell == "-" || cell == "–" {
		return new(int), true
	}
	in, known := stockWords[foldHeader(cell)]
	if !known || in {
		return nil, known
	}
	return new(int), true
}
