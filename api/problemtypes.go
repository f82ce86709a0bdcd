package api

import "net/http"

// slug names a problem type; its page is at /problems/<slug>. Slugs are stable:
// programs recognise problems by them.
type slug string

// The problem types.
const (
	malformedParameter   slug = "malformed-parameter"
	unknownParameter     slug = "unknown-parameter"
	malformedBody        slug = "malformed-body"
	invalidCursor        slug = "invalid-cursor"
	impossibleValue      slug = "impossible-value"
	unknownSpecies       slug = "unknown-species"
	ambiguousSpecies     slug = "ambiguous-species"
	notFound             slug = "not-found"
	methodNotAllowed     slug = "method-not-allowed"
	bodyTooLarge         slug = "body-too-large"
	unsupportedMediaType slug = "unsupported-media-type"
	tooManyRequests      slug = "too-many-requests"
	notReady             slug = "not-ready"
	internalFault        slug = "internal"
)

// problemType is what is said about every problem of a type.
type problemType struct {
	Slug    slug
	Status  int // the usual one; unknown-species is 404 only where the path names it
	Title   string
	Meaning string
	Mending string
}

var problemTypes = []problemType{
	{malformedParameter, http.StatusBadRequest, "A parameter cannot be read",
		"A path, query or header parameter is not of the kind the contract asks for: not a number where one belongs, a unit that does not exist, a word that is not on the list, text that is not UTF-8, or the same parameter twice.",
		"Each entry of errors points at a parameter and says how to write it. Quantities are plain decimals with a unit behind, as in 78F, 48in or 120x50x50cm."},
	{unknownParameter, http.StatusBadRequest, "A query parameter is not known",
		"The path has no query parameter of that name. It is refused because leaving it out silently could change what you asked for.",
		"Check the spelling against the suggestion in errors, or the list of parameters in the contract."},
	{malformedBody, http.StatusBadRequest, "The body cannot be read",
		"The body is not one JSON value in UTF-8, has a field that the contract does not know, lacks one that it requires, or has a value of the wrong kind.",
		"Each entry of errors has a JSON Pointer to the spot. Send one JSON object with the fields of the contract and nothing behind it."},
	{invalidCursor, http.StatusBadRequest, "The cursor does not belong here",
		"A cursor continues one list: the same path, the same filters, the same catalogue revision. This one is of another list, or damaged.",
		"Begin again without cursor and follow next from there."},
	{impossibleValue, http.StatusUnprocessableEntity, "A value is not possible",
		"The request can be read, but it states something that no tank or list can be: a pH of 15, water at 200 °C, a tank of no size, more entries than are accepted.",
		"Each entry of errors names the value and the range that is accepted."},
	{unknownSpecies, http.StatusUnprocessableEntity, "No species of that name",
		"The catalogue has no entry of that id, scientific name, synonym or vernacular name. Nothing is guessed.",
		"Look through the candidates, nearest first, and ask again by id; or search with /v1/species?q=…"},
	{ambiguousSpecies, http.StatusUnprocessableEntity, "The name may mean several species",
		"The name is a trade word, a genus or a vernacular name that several entries carry. Nothing is guessed.",
		"Choose one of the candidates, likeliest first, and ask again by its id."},
	{notFound, http.StatusNotFound, "Nothing at this path",
		"The service has nothing under this path.",
		"Check the path against the contract at /docs."},
	{methodNotAllowed, http.StatusMethodNotAllowed, "The path does not have this method",
		"The path exists but not for this method.",
		"Use one of the methods in the Allow header."},
	{bodyTooLarge, http.StatusRequestEntityTooLarge, "The body is too large",
		"Bodies are accepted up to 1 MiB (1,048,576 bytes).",
		"Send fewer entries, or split the list."},
	{unsupportedMediaType, http.StatusUnsupportedMediaType, "The body is not plain JSON",
		"The body must be application/json in UTF-8, not compressed.",
		"Send Content-Type: application/json, and no Content-Encoding."},
	{tooManyRequests, http.StatusTooManyRequests, "Too many requests",
		"Each client address may make a limited number of requests in a time; the RateLimit-Policy header states it.",
		"Wait the seconds that Retry-After names. Keep answers, they carry entity tags, and ask for a whole list with one POST."},
	{notReady, http.StatusServiceUnavailable, "No catalogue is loaded yet",
		"The service has just started, or no catalogue has been loaded into its database, so it knows no fish.",
		"Try again after the seconds that Retry-After names. Operators: run commensal catalogue load."},
	{internalFault, http.StatusInternalServerError, "A fault of the service",
		"Something went wrong that is not your doing. Its cause is in the service's log under the request id.",
		"Try again later; if it stays, report the request id."},
}

// typeOf finds the type of a slug.
func typeOf(s slug) (problemType, bool) {
	for _, t := range problemTypes {
		if t.Slug == s {
			return t, true
		}
	}
	return problemType{}, false
}
