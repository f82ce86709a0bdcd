package rehoming

import (
	"commensal/internal/conflict"
	"commensal/internal/stocking/wording"
	"commensal/internal/units"
)

// questions are what is worth asking an adopter, by the field of the form that answers it; the page /adopt asks the same.
var questions = map[string]string{
	"tank":          "How large is the tank?",
	"temperature_c": "What does the thermometer say?",
	"lid":           "Does it have a lid?",
	"filter":        "Is there a filter, and for how many months has it been running?",
	"filter_months": "For how many months has the filter been running?",
}

// Codes of what is taken for granted of a form, beside those of a check.
const (
	assumedRoom     = "assumed.room_temperature"
	assumedNoFilter = "assumed.no_filter"
	assumedBySize   = "assumed.by_size"
)

const (
	nobodyThere   = "Nobody lives there yet."
	strangers     = "Hold: the catalogue of today does not know all who live there."
	withoutFilter = "Without a filter nothing takes care of the waste: the tank is judged as one whose filter is new."
)

// roomSentence says how warm an unheated tank is taken to be.
func roomSentence(w wording.Words) string {
	return w.Pairing().Fill("Without a heater the water is taken to be as warm as a room, {temperature}.",
		conflict.Statement{Evidence: []conflict.Evidence{{Name: "temperature", Value: units.RoomTemperatureC, Unit: "C"}}})
}
