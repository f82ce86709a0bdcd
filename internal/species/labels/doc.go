// Package labels has the words of the trade's labels: what stands beside names, the nouns that stand for one another, figures
// and codes. It knows no names.
package labels
