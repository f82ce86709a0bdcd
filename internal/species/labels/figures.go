package labels

import (
	"regexp"
	"strconv"
	"strings"
)

// Figures of a label that are no part of a name: sizes, and how many.
var (
	labelSize  = regexp.MustCompile(`(?:^|[\s(,-])(\d{1,3}(?:[.,]\d{1,2})?)\s*(?:(?:-|–|—|/|to|bis|a|~)\s*(\d{1,3}(?:[.,]\d{1,2})?)\s*)?(cm|mm|inches|inch|in|"|''|”)(?:$|[\s).,+-])`)
	labelCount = regexp.MustCompile(`^\s*(\d{1,4})\s*[x×*]\s+|^\s*(\d{1,4})\s+|[\s(][x×]\s*(\d{1,4})\s*\)?\s*$|[\s(](\d{1,4})\s*(?:匹|尾|只|条|pcs|stk|uds)\s*\)?\s*$`)
	labelLCode = regexp.MustCompile(`\b(lda|l|cw|c)[\s-]*0*(\d{1,3})\b`)
	shopCode   = regexp.MustCompile(`^(lda|l|cw|c)\d{1,3}$`)
)

// centimetres is a unit of a label in cm.
func centimetres(unit string) float64 {
	switch unit {
	case "cm":
		return 1
	case "mm":
		return 0.1
	}
	return 2.54
}

// Figures takes size and count out of a folded label: the length in cm, the middle of a range, and how many there are,
// each 0 where the label does not say.
func Figures(folded string) (rest string, lengthCM float64, count int) {
	folded = labelLCode.ReplaceAllString(folded, "$1$2")
	if at := labelSize.FindStringSubmatchIndex(folded); at != nil {
		low := figure(folded[at[2]:at[3]])
		high := low
		if at[4] >= 0 {
			high = figure(folded[at[4]:at[5]])
		}
		lengthCM = (low + high) / 2 * centimetres(folded[at[6]:at[7]])
		folded = folded[:at[0]] + " " + folded[at[1]:]
	}
	if at := labelCount.FindStringSubmatchIndex(folded); at != nil {
		for _, group := range []int{2, 4, 6, 8} {
			if at[group] >= 0 {
				count, _ = strconv.Atoi(folded[at[group]:at[group+1]])
			}
		}
		folded = folded[:at[0]] + " " + folded[at[1]:]
	}
	return folded, lengthCM, count
}

// figure is a decimal with a point or a comma.
func figure(text string) float64 {
	x, _ := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	return x
}

// Code is the letters of a code of the trade that a word is, as in L46; ok is false for other words.
func Code(w string) (letters string, ok bool) {
	code := shopCode.FindStringSubmatch(w)
	if code == nil {
		return "", false
	}
	return code[1], true
}
