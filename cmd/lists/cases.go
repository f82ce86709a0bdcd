package main

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
)

// judged is a list as somebody wrote it, with what two careful keepers said of it.
type judged struct {
	ID         string            `json:"id"`
	Tank       json.RawMessage   `json:"tank,omitempty"`
	Residents  []json.RawMessage `json:"residents,omitempty"`
	Incoming   []json.RawMessage `json:"incoming,omitempty"`
	Acceptable []string          `json:"acceptable"` // decisions that either would defend
	Mains      []string          `json:"mains"`      // the main reason of each
	Why        string            `json:"why"`
}

func readCases(path string) ([]judged, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var cases []judged
	if err := json.Unmarshal(text, &cases); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	for i := range cases {
		if len(cases[i].Acceptable) == 0 || len(cases[i].Mains) == 0 {
			return nil, fmt.Errorf("%s: %s has no decision or no reason", path, cases[i].ID)
		}
	}
	return cases, nil
}

// body is the list as the body of a request.
func (c *judged) body() ([]byte, error) {
	return json.Marshal(struct {
		Tank      json.RawMessage   `json:"tank,omitempty"`
		Residents []json.RawMessage `json:"residents,omitempty"`
		Incoming  []json.RawMessage `json:"incoming,omitempty"`
	}{c.Tank, c.Residents, c.Incoming})
}

// only reports whether one decision alone is defended.
func (c *judged) only(decision string) bool {
	return len(c.Acceptable) == 1 && c.Acceptable[0] == decision
}

func (c *judged) accepts(decision string) bool { return slices.Contains(c.Acceptable, decision) }
