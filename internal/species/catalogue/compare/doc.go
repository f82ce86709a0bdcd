// Package compare says what changes from one catalogue to another, value by value.
package compare
