package sheet

import (
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// The columns of a sheet that hold words. Where Darwin Core has a term for one, the
// column has the name of the term (Wieczorek et al. 2012, PLoS ONE 7:e29715);
// the others have the key of the text.
const (
	columnID      = "taxonID"
	columnName    = "scientificName"
	columnGenus   = "genus"
	columnRank    = "taxonRank"
	columnVulgar  = "vernacularName"
	columnRemarks = "taxonRemarks"
	// columnOrder lists the languages of an entry whose names stand in another order
	// than the columns. It is written where it is needed only.
	columnOrder = columnVulgar + " order"
	formColumn  = "form"
)

// wordColumns are the columns of one word, text or list, with their keys in the text.
var wordColumns = []struct{ header, key string }{
	{columnName, "scientific_name"}, {formColumn, "form"}, {"form_of", "form_of"}, {"family", "family"}, {"synonyms", "synonyms"},
	{"body_form", "body_form"}, {"guild", "guild"}, {"feeds_by", "feeds_by"}, {"active", "active"}, {"social", "social"}, {"shape", "shape"}, {"colours", "colours"},
	{"hybridises", "hybridises"}, {"sexed_in_trade", "sexed_in_trade"}, {"sold_as", "sold_as"}, {"availability", "availability"}, {"needs", "needs"},
	{"cautions", "cautions"}, {"legal_note", "legal_note"}, {columnRemarks, "note"}, {"basis", "basis"}, {"checked", "checked"}, {"reviewed", "reviewed"},
}

// listKeys are the keys whose cell is a list.
var listKeys = map[string]bool{"synonyms": true, "colours": true, "hybridises": true, "needs": true, "cautions": true, "checked": true}

// derivedColumns say what follows from the name and the form. They are for people and
// other programs; reading checks them.
var derivedColumns = map[string]func(*species.Species) string{
	columnID:    func(s *species.Species) string { return string(s.ID) },
	columnGenus: (*species.Species).Genus,
	columnRank:  rankOf,
}

// rankOf is the rank of an entry: a trade form, a subspecies or a species.
func rankOf(s *species.Species) string {
	switch {
	case s.Form != "":
		return "form"
	case strings.Count(s.ScientificName, " ") > 1:
		return "subspecies"
	}
	return "species"
}

// languageHeader is the column of the names in a language. English has the bare term.
func languageHeader(language string) string {
	if language == "en" {
		return columnVulgar
	}
	return columnVulgar + " [" + language + "]"
}

// languageOf is the language of a column of names.
func languageOf(header string) (language string, ok bool) {
	if header == columnVulgar {
		return "en", true
	}
	rest, ok := strings.CutPrefix(header, columnVulgar+" [")
	language, closed := strings.CutSuffix(rest, "]")
	return language, ok && closed && language != "en" && entry.IsLanguage(language)
}

// joinCell writes a list into a cell, with the separator that Darwin Core recommends.
func joinCell(list []string) string {
	items := make([]string, len(list))
	for i, text := range list {
		items[i] = cellEscaper.Replace(text)
	}
	return strings.Join(items, " | ")
}

var cellEscaper = strings.NewReplacer(`\`, `\\`, `|`, `\|`)

// splitCell reads a list from a cell. A backslash makes the mark behind it a part of
// the text.
func splitCell(cell string) []string {
	var out []string
	var item strings.Builder
	escaped := false
	for _, c := range cell {
		switch {
		case escaped:
			item.WriteRune(c)
			escaped = false
		case c == '\\':
			escaped = true
		case c == '|':
			out = append(out, strings.TrimSpace(item.String()))
			item.Reset()
		default:
			item.WriteRune(c)
		}
	}
	return append(out, strings.TrimSpace(item.String()))
}
