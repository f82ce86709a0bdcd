package respond

import (
	"net/http"
)

// Slug names a problem type; its page is at /problems/<slug>. Slugs are stable:
// programs recognise problems by them.
type Slug string

// The problem types.
const (
	MalformedParameter   Slug = "malformed-parameter"
	UnknownParameter     Slug = "unknown-parameter"
	MalformedBody        Slug = "malformed-body"
	InvalidCursor        Slug = "invalid-cursor"
	ImpossibleValue      Slug = "impossible-value"
	UnknownSpecies       Slug = "unknown-species"
	NotAFish             Slug = "not-a-fish"
	AmbiguousSpecies     Slug = "ambiguous-species"
	NotFound             Slug = "not-found"
	methodNotAllowed     Slug = "method-not-allowed"
	BodyTooLarge         Slug = "body-too-large"
	UnsupportedMediaType Slug = "unsupported-media-type"
	TooManyRequests      Slug = "too-many-requests"
	Overloaded           Slug = "overloaded"
	QuotaReached         Slug = "quota-reached"
	NotReady             Slug = "not-ready"
	KeyMissing           Slug = "key-missing"
	KeyRefused           Slug = "key-refused"
	ScopeMissing         Slug = "scope-missing"
	AlreadyExists        Slug = "already-exists"
	AlreadyAccepted      Slug = "already-accepted"
	PlacementOutdated    Slug = "placement-outdated"
	NotOverridable       Slug = "not-overridable"
	PreconditionRequired Slug = "precondition-required"
	PreconditionFailed   Slug = "precondition-failed"
	CatalogueMoved       Slug = "catalogue-moved"
	DependedOn           Slug = "depended-on"
	RequestUnderWay      Slug = "request-under-way"
	IdempotencyKeyReused Slug = "idempotency-key-reused"
	DatabaseAway         Slug = "database-away"
	internalFault        Slug = "internal"
)

// ProblemType is what is said about every problem of a type.
type ProblemType struct {
	Slug    Slug
	Status  int // the usual one; unknown-species and not-a-fish are 404 only where the path names it
	Title   string
	Meaning string
	Mending string
}

var ProblemTypes = []ProblemType{
	{MalformedParameter, http.StatusBadRequest, "A parameter cannot be read",
		"A path, query or header parameter is not of the kind the contract asks for: not a number where one belongs, a unit that does not exist, a word that is not on the list, text that is not UTF-8, or the same parameter twice.",
		"Each entry of errors points at a parameter and says how to write it. Quantities are plain decimals with a unit behind, as in 78F, 48in or 120x50x50cm."},
	{UnknownParameter, http.StatusBadRequest, "A query parameter is not known",
		"The path has no query parameter of that name. It is refused because leaving it out silently could change what you asked for.",
		"Check the spelling against the suggestion in errors, or the list of parameters in the contract."},
	{MalformedBody, http.StatusBadRequest, "The body cannot be read",
		"The body is not one JSON value in UTF-8, has a field that the contract does not know, lacks one that it requires, or has a value of the wrong kind.",
		"Each entry of errors has a JSON Pointer to the spot. Send one JSON object with the fields of the contract and nothing behind it."},
	{InvalidCursor, http.StatusBadRequest, "The cursor does not belong here",
		"A cursor continues one list: the same path, the same filters, the same catalogue revision. This one is of another list, or damaged.",
		"Begin again without cursor and follow next from there."},
	{ImpossibleValue, http.StatusUnprocessableEntity, "A value is not possible",
		"The request can be read, but it states something that no tank or list can be: a pH of 15, water at 200 °C, a tank of no size, more entries than are accepted.",
		"Each entry of errors names the value and the range that is accepted."},
	{UnknownSpecies, http.StatusUnprocessableEntity, "No species of that name",
		"The catalogue has no entry of that id, scientific name, synonym or vernacular name. Nothing is guessed.",
		"Look through the candidates, nearest first, and ask again by id; or search with /v1/species?q=…"},
	{NotAFish, http.StatusUnprocessableEntity, "The name is no fish of the catalogue",
		"The name is known, and it is an animal or a thing that shops sell beside fish and that is never judged as one: a frog, a newt, a turtle, an animal of the sea, a plant, food.",
		"Each entry of errors says what it is and why it lives apart. A check names such a line as a finding; a lookup or a stored tank has no place for it. If a fish was meant, give its scientific name."},
	{AmbiguousSpecies, http.StatusUnprocessableEntity, "The name may mean several species",
		"The name is a trade word, a genus or a vernacular name that several entries carry. Nothing is guessed.",
		"Choose one of the candidates, likeliest first, and ask again by its id."},
	{NotFound, http.StatusNotFound, "Nothing at this path",
		"The service has nothing under this path, or what is there is another organization's: the two are answered alike.",
		"Check the path against the contract at /docs."},
	{methodNotAllowed, http.StatusMethodNotAllowed, "The path does not have this method",
		"The path exists but not for this method.",
		"Use one of the methods in the Allow header."},
	{BodyTooLarge, http.StatusRequestEntityTooLarge, "The body is too large",
		"Bodies are accepted up to 1 MiB (1,048,576 bytes).",
		"Send fewer entries, or split the list."},
	{UnsupportedMediaType, http.StatusUnsupportedMediaType, "The body is of a kind that is not taken here",
		"The body must be of a media type that the operation takes, in UTF-8, not compressed: application/json, or where the contract says so " +
			"application/merge-patch+json, application/x-ndjson or text/csv.",
		"Send one of those that the detail names as the Content-Type, and no Content-Encoding."},
	{TooManyRequests, http.StatusTooManyRequests, "Too many requests",
		"What each client address, and each key, may ask for in a time is limited; the RateLimit-Policy header states it. A lookup counts 1, a long list more.",
		"Wait the seconds that Retry-After names. Keep answers, they carry entity tags, and ask for a whole list with one POST."},
	{Overloaded, http.StatusServiceUnavailable, "More is asked for than can be answered",
		"Lists are judged as far as the machine goes, and no longer wait than is of use. Nothing of this request was carried out. Lookups are answered all the same.",
		"Try again after the seconds that Retry-After names, and then a little later each time."},
	{QuotaReached, http.StatusConflict, "A quota is used up",
		"How much an organization may store is bounded, and this would go beyond it. Nothing of this request was carried out.",
		"GET /v1/organizations/{organization}/usage says what is stored and how much may be. Delete what is no longer needed, or ask whoever runs the service for more."},
	{NotReady, http.StatusServiceUnavailable, "The service is not ready",
		"The service has just started, or no catalogue has been loaded into its database, so it knows no fish; or it is about to stop, which only /readyz says.",
		"Try again after the seconds that Retry-After names. Operators: run commensal catalogue load."},
	{KeyMissing, http.StatusUnauthorized, "This needs a key",
		"What is stored belongs to an organization, and the request does not say whose it is.",
		"Send Authorization: Bearer with a key of your organization. Operators make the first one with commensal key create."},
	{KeyRefused, http.StatusUnauthorized, "The key is not accepted",
		"The key is mistyped, unknown, expired or revoked. That it has expired or was revoked is only told to who holds it.",
		"Check the text of the key, all of it; or have another one made."},
	{ScopeMissing, http.StatusForbidden, "The key does not permit this",
		"Every key permits certain things, its scopes, and this is not among them.",
		"Use a key with one of the scopes that WWW-Authenticate names, or have one made."},
	{AlreadyExists, http.StatusConflict, "It exists already",
		"Something of the same name is stored already, and the name must tell things apart.",
		"Use what is there, or choose another name. existing leads to it, where it is a record."},
	{NotOverridable, http.StatusConflict, "The check cannot be overridden",
		"Only a check that was decided as a hold can be overridden, and no more than 20 times. What was decided is never changed.",
		"Read the record: its decision and its overrides say what there is."},
	{AlreadyAccepted, http.StatusConflict, "It was accepted before",
		"Each part of a proposal is accepted once. Somebody has accepted what the request names, and nothing of the request was carried out.",
		"Read the proposal again: acceptances says what was accepted, and open what is left."},
	{PlacementOutdated, http.StatusConflict, "The proposal is out of date",
		"A tank of the proposal was changed or deleted since, or would be on hold with the catalogue and the readings of today. Nothing of the request was carried out.",
		"Each entry of errors says what is different. Ask for placements anew; parts that go to other tanks can still be accepted."},
	{PreconditionRequired, http.StatusPreconditionRequired, "If-Match is missing",
		"A change says which state of the thing it means, so that two people do not undo each other's changes unseen.",
		"Read the thing and send its ETag in If-Match; or send * if whatever there is may be changed. To make a new entry of the catalogue, send If-None-Match: *."},
	{PreconditionFailed, http.StatusPreconditionFailed, "It has changed since",
		"The ETag in If-Match is not that of the thing as it is now: somebody has changed it since you read it.",
		"Read it again, decide anew, and send the new ETag."},
	{CatalogueMoved, http.StatusConflict, "The catalogue has changed meanwhile",
		"Somebody made another revision of the catalogue between the reading of it for this change and the writing. Nothing of this change was carried out.",
		"Look at the entry again, and send the request again if it still is what you want."},
	{DependedOn, http.StatusConflict, "Others depend on it",
		"Trade forms of the entry, or trade words that lead to it, would be left without it.",
		"Take the forms out first; trade words are changed with commensal catalogue import."},
	{RequestUnderWay, http.StatusConflict, "Another request is at work on this",
		"A request with the same Idempotency-Key, or one that changes the same thing, had not ended in time. Nothing of this one was carried out.",
		"Send the same request again after the seconds that Retry-After names."},
	{IdempotencyKeyReused, http.StatusUnprocessableEntity, "The Idempotency-Key belongs to another request",
		"Within 24 hours the key came with another method, path, query or body. To answer what was answered then would be wrong.",
		"Make a new Idempotency-Key for every new request, and repeat it only with the request unchanged, byte for byte."},
	{DatabaseAway, http.StatusServiceUnavailable, "The database does not answer",
		"What is stored cannot be read or changed at present. Lookups are answered all the same.",
		"Try again after the seconds that Retry-After names. A change may have taken place although this was answered: repeat it with the same Idempotency-Key or the same If-Match."},
	{internalFault, http.StatusInternalServerError, "A fault of the service",
		"Something went wrong that is not your doing. Its cause is in the service's log under the request id.",
		"Try again later; if it stays, report the request id."},
}

// TypeOf finds the type of a slug.
func TypeOf(s Slug) (ProblemType, bool) {
	for _, t := range ProblemTypes {
		if t.Slug == s {
			return t, true
		}
	}
	return ProblemType{}, false
}
