// Package cataloguerows is the catalogue as rows of the database: which row holds what, what the tables
// could not give back, and how equal content is told from different content.
package cataloguerows
