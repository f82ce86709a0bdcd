// Package spelling is how names are written: the form in which they are compared, how far two are apart, and
// what words may be the plural of. It knows no names.
package spelling
