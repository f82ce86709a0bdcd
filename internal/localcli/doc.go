// Package localcli is what a person at a prompt meets: it reads list files and baskets, asks the
// API's own handler in memory, and lays out the answers as plain text for a terminal of 80 columns.
//
// It knows the wire format of the API and nothing behind it, so that a terminal can never say
// anything else than the service does. Flags, environment and exit statuses are the program's.
package localcli
