// Package scale computes what running the service for many takes, from figures that were measured, and how much of what
// is asked a cache can answer when some kinds of fish are asked for far more than others. It measures nothing itself:
// cmd/scale does, and deploy/SCALE.md has what comes out.
package scale
