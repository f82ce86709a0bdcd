package respond

import (
	"net/http"
	"testing"
)

func TestTextIsPreferredWhereAcceptWeighsItHigher(t *testing.T) {
	for _, c := range []struct {
		accept []string
		text   bool
	}{
		{nil, false}, {[]string{""}, false}, {[]string{"*/*"}, false}, {[]string{"application/json"}, false},
		{[]string{"text/plain"}, true}, {[]string{"TEXT/Plain; charset=utf-8"}, true}, {[]string{"text/*"}, true},
		{[]string{"text/plain, application/json"}, false}, {[]string{"text/plain;q=0.5, application/json;q=0.4"}, true},
		{[]string{"text/plain;q=0.5, */*;q=0.8"}, false}, {[]string{"text/plain, */*;q=0.1"}, true}, {[]string{"text/html, text/plain;q=0.9, */*;q=0.8"}, true},
		{[]string{"application/json;q=0, text/plain;q=0.1"}, true}, {[]string{"text/plain;q=0"}, false}, {[]string{"text/plain;q=2"}, false},
		{[]string{"text/plain;q=NaN"}, false}, {[]string{"application/json;q=0.2", "text/plain"}, true}, {[]string{"text/*;q=0.9, text/plain;q=0, application/json;q=0.1"}, false},
		{[]string{"nonsense, ,;q=1, text/plain"}, true},
	} {
		if got := PrefersText(&http.Request{Header: http.Header{"Accept": c.accept}}); got != c.text && c.accept != nil || c.accept == nil && PrefersText(&http.Request{Header: http.Header{}}) {
			t.Errorf("%q: %v", c.accept, got)
		}
	}
}
