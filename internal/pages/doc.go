// Package pages answers people: server-rendered pages, pictures, embeds and text for
// posts, over the same core and the same words as the service's lookups. See README.md.
//
// Everything is a GET without a body or a cookie; a page is reproduced by its address
// alone. Answers are kept in memory bounded in bytes, as long as the catalogue is the
// same. Nothing here touches a database.
package pages
