package apitest

import (
	"commensal/internal/store"
)

var proposedTank = "Harbour Street"

// proposed is a proposal that gives twelve neon tetras to a stored tank without residents.
func proposed(tank *store.Tank) store.Placement {
	const line = `{"line":0,"species":{"id":"paracheirodon-innesi","scientific_name":"Paracheirodon innesi","vernacular_name":"Neon tetra"},
		"count":12,"count_given":true,"incoming":true,"keep":false,"weight":1,"refs":["/incoming/0"]}`
	const harm = `"harm":0,"harm_parts":{"pairings":0,"advice":0,"wishes":0},"harm_summary":"No harm found."`
	return store.Placement{
		Key: "h3k2m7q4x5z6b3n4", Summary: "Everyone finds a tank, and no other way does less harm.", Revision: 1, Model: "1",
		Tanks: []store.PlacementTank{{Tank: tank.ID, Version: tank.Version, Revision: tank.Revision}},
		Input: []byte(`{"incoming":[{"species":"paracheirodon-innesi","count":12}],"tanks":[{"id":"` + tank.ID.String() + `","label":"` + proposedTank + `","tank":{"size":"120x50x50cm"},"residents":[]}]}`),
		Answer: []byte(`{"summary":"Everyone finds a tank, and no other way does less harm.","wanted_level":"moderate","incoming":[` + line + `],
			"arrivals":[{"lines":[0],"tank":0,"fitting":1,"reason":"The only tank here that can take it.","options":[
				{"tank":0,"chosen":true,"fits":true,"harm":0,"decision":"proceed","with":"tank","reason":"No problem found with neon tetras."}]}],
			"tanks":[{"tank":0,"lines":[0],` + harm + `,"decision":"proceed","summary":"Proceed: No problem found with neon tetras."}],
			"held":[],"held_tanks":[],"lost":0,"lost_bound":0,` + harm + `,"harm_bound":0,"optimal":true,"complete":true,"nodes":0,"cautions":[],
			"model_version":"1","catalogue_revision":1}`),
	}
}
