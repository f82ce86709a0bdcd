// Package embed writes an answer in the forms that other people's pages take: an oEmbed
// 1.0 answer in JSON and XML, and the card as Markdown or BBCode for a post.
//
// The package is pure. Whatever comes from a name is escaped in each form.
package embed
