// Package browsertest looks at the pages with a real browser, Debian's chromium. It holds
// tests only: they stand apart so that they run once. Where no chromium can be had they
// fail and say what to install; they never skip.
//
// COMMENSAL_CHROMIUM names another browser, COMMENSAL_SCREENSHOTS a folder in which each
// page is kept as a picture.
package browsertest
