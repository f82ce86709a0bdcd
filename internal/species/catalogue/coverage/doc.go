// Package coverage counts what a catalogue holds and what it rests on, for people.
package coverage
