// Package packed holds the built-in catalogue as compact bytes, which a program that answers one
// question and ends reads many times as fast as the text.
//
// The bytes are made from the text by go generate, belong to the very program that carries them, and
// are no format for anybody else: there is no version and no promise. The text in db/catalogue is
// where the catalogue is written and reviewed; a test holds that the bytes are the same catalogue.
package packed
