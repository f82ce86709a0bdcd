//go:build race

package main

// raceDetected is set where the race detector slows the tests tenfold and more.
const raceDetected = true
