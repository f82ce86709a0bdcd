package main

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// The documents show requests as curl sends them. So that the tests need no curl, the test binary
// takes the part of one where it is called by that name; it knows the flags that the documents use
// and refuses every other.

// curlName is the name by which the test binary is a curl.
const curlName = "curl"

// withCurl makes a folder for PATH in which curl is this test binary.
func withCurl(t *testing.T, dir string) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(self, filepath.Join(dir, curlName)); err != nil {
		t.Fatal(err)
	}
}

// curlRequest is what a command line asks for.
type curlRequest struct {
	method, url, body string
	headers           []string
	dump              string // file for the headers of the answer
}

// curl carries out a command line, without the program's name.
func curl(args []string, stdout io.Writer) error {
	q, err := readCurl(args)
	if err != nil {
		return err
	}
	request, err := http.NewRequest(q.method, q.url, strings.NewReader(q.body))
	if err != nil {
		return err
	}
	for _, h := range q.headers {
		name, value, ok := strings.Cut(h, ":")
		if !ok {
			return fmt.Errorf("-H %q has no colon", h)
		}
		request.Header.Set(strings.TrimSpace(name), strings.TrimSpace(value))
	}
	if q.body != "" && request.Header.Get("Content-Type") == "" {
		request.Header.Set("Content-Type", "application/x-www-form-urlencoded") // as curl does
	}
	client := http.Client{Timeout: time.Minute}
	answer, err := client.Do(request)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if q.dump != "" {
		if err := dumpHeaders(q.dump, answer); err != nil {
			return err
		}
	}
	_, err = io.Copy(stdout, answer.Body)
	return err
}

func dumpHeaders(file string, answer *http.Response) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s\r\n", answer.Proto, answer.Status)
	if err := answer.Header.Write(&b); err != nil {
		return err
	}
	return os.WriteFile(file, []byte(b.String()+"\r\n"), 0o644)
}

func readCurl(args []string) (q curlRequest, err error) {
	takes := map[string]func(string) error{
		"-X": func(v string) error { q.method = v; return nil },
		"-H": func(v string) error { q.headers = append(q.headers, v); return nil },
		"-D": func(v string) error { q.dump = v; return nil },
		"-d": func(v string) error { q.body, err = curlBody(v); return err },
		"--data-binary": func(v string) error {
			text, err := os.ReadFile(strings.TrimPrefix(v, "@"))
			q.body = string(text)
			return err
		},
	}
	for i := 0; i < len(args); i++ {
		switch take, known := takes[args[i]]; {
		case args[i] == "-s":
		case known && i+1 < len(args):
			i++
			if err := take(args[i]); err != nil {
				return q, err
			}
		case strings.HasPrefix(args[i], "-") || known || q.url != "":
			return q, fmt.Errorf("the tests' curl does not know what to do with %q", args[i])
		default:
			q.url = args[i]
		}
	}
	if q.url == "" {
		return q, errors.New("no URL")
	}
	if q.method == "" {
		q.method = http.MethodGet
		if q.body != "" {
			q.method = http.MethodPost
		}
	}
	return q, nil
}

// curlBody is a body as it is written, or the file behind an @.
func curlBody(value string) (string, error) {
	file, ok := strings.CutPrefix(value, "@")
	if !ok {
		return value, nil
	}
	text, err := os.ReadFile(file)
	return strings.NewReplacer("\r", "", "\n", "").Replace(string(text)), err
}

func TestTheTestsCurlRefusesWhatItDoesNotKnow(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{{}, {"-s"}, {"--fail", "http://127.0.0.1"}, {"http://127.0.0.1", "http://127.0.0.1"}, {"http://127.0.0.1", "-H"}} {
		if _, err := readCurl(args); err == nil {
			t.Errorf("%v was taken", args)
		}
	}
}
