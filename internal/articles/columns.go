package articles

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// column is what a column of a file holds.
type column int

const (
	colNumber column = iota
	colName
	colSpecies
	colPrice
	colStock
	colNote
	numColumns
)

// Fields are the columns as the contract calls their fields, in order.
var Fields = [numColumns]string{"article", "name", "species", "price_class", "in_stock", "note"}

// headers are the words of a header line by which a column is known, in the languages of tills: case, diacritics, full
// stops, hyphens, underscores and spacing do not matter, nor does the order of the columns.
var headers = [numColumns]string{
	colNumber: `article, article number, article no, article nr, article id, article code, item, item number, item no, item code, product code, product number, sku, plu, code, ref, reference,
		artikel, artikelnummer, artikelnr, artikel nr, art nr, artnr, art no, bestellnummer, nummer, nr, number, no, référence, numéro d article, code article, código, artículo, número de artículo,
		codice, codice articolo, artikelcode, kode, referência`,
	colName: `name, article name, item name, product, product name, description, title, label, bezeichnung, artikelbezeichnung, artikelname, beschreibung, produkt, titel, nom, désignation, libellé, produit,
		nombre, descripción, producto, nome, descrizione, prodotto, naam, omschrijving, artikelomschrijving, descrição, produto`,
	colSpecies: `species, species or form, form, kind, scientific name, latin name, latin, fish, fish species, wissenschaftlicher name, lateinischer name, fischart, espèce, nom scientifique, nom latin,
		especie, nombre científico, specie, nome scientifico, soort, wetenschappelijke naam, latijnse naam, espécie, nome científico`,
	colPrice: `price class, price group, price category, price band, price, class, preisklasse, preisgruppe, preis, classe de prix, catégorie de prix, prix, clase de precio, precio, fascia di prezzo, prezzo,
		prijsklasse, prijsgroep, prijs, preço`,
	colStock: `in stock, stock, stock level, quantity, quantity in stock, qty, count, on hand, available, availability, bestand, lagerbestand, menge, anzahl, stück, verfügbar, vorrätig, auf lager, en stock, quantité, disponible, existencias,
		cantidad, giacenza, quantità, disponibile, voorraad, aantal, op voorraad, estoque, quantidade`,
	colNote: `note, notes, remark, remarks, comment, comments, bemerkung, bemerkungen, notiz, anmerkung, kommentar, remarque, commentaire, nota, notas, observación, osservazione, commento, opmerking, observação`,
}

// headerWords is headers by folded word.
var headerWords = func() map[string]column {
	out := map[string]column{}
	for c, list := range headers {
		for w := range strings.SplitSeq(list, ",") {
			out[foldHeader(w)] = column(c)
		}
	}
	return out
}()

// HeaderWords are the words by which the column of a field is known, the plainest first.
func HeaderWords(field string) (words []string) {
	at := slices.Index(Fields[:], field)
	if at < 0 {
		return nil
	}
	for w := range strings.SplitSeq(headers[at], ",") {
		words = append(words, strings.Join(strings.Fields(w), " "))
	}
	return words
}

// foldHeader is a header's word without what does not matter.
func foldHeader(text string) string {
	var b strings.Builder
	space := false
	for _, r := range norm.NFD.String(strings.ToLower(text)) {
		switch {
		case unicode.Is(unicode.Mn, r):
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if space && b.Len() > 0 {
				b.WriteByte(' ')
			}
			b.WriteRune(r)
			space = false
		default:
			space = true
		}
	}
	return b.String()
}
