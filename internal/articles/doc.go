// Package articles reads what a shop sells, as its till or its wholesaler writes it: a list of articles in CSV, each
// with a number of the shop's own and a name. It matches them to the kinds of the catalogue and reports what was matched, what
// may mean several kinds, what nobody knows, and what is no fish of the catalogue at all.
//
// Nothing is guessed: an article that may mean several kinds, an assorted one among them, keeps all of them. The package is
// pure; who keeps the articles is package store.
package articles
