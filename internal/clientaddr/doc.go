// Package clientaddr finds out from which address a request comes, also behind proxies, and
// shortens addresses for limits and for logs.
//
// Only what a trusted proxy wrote is believed: X-Forwarded-For is read from its end, and
// the first address that is not itself a trusted proxy is the client. Nothing is trusted
// that was not named, the service's own machine included.
package clientaddr
