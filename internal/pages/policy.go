package pages

import "commensal/internal/pages/pictures"

// The content security policies. Everything a page uses comes from its own origin, and
// nothing stands inline. Only embeds may be put into a frame.
var (
	pagePolicy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; " +
		"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
	embedPolicy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; " +
		"form-action 'none'; base-uri 'none'; frame-ancestors *"
	picturePolicy = "default-src 'none'; style-src " + pictures.StyleHash + "; frame-ancestors 'none'"
	dataPolicy    = "default-src 'none'; frame-ancestors 'none'"
)
