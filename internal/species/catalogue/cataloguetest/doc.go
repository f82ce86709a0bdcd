// Package cataloguetest makes entries and catalogues for the tests of the catalogue's
// packages.
package cataloguetest
