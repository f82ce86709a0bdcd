package loadtest

import (
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// answers are whole answers with their status, and the beginning of the body that is kept.
var answers = map[string]struct {
	status int
	start  string
}{
	"HTTP/1.1 200 OK\r\nContent-Length: 5\r\n\r\nguppy":                                                             {200, ""},
	"HTTP/1.1 200 OK\r\nDate: x\r\ncontent-length:0\r\n\r\n":                                                        {200, ""},
	"HTTP/1.1 304 Not Modified\r\nContent-Length: 70\r\n\r\n":                                                       {304, ""},
	"HTTP/1.1 204 No Content\r\n\r\n":                                                                               {204, ""},
	"HTTP/1.1 422 No\r\nContent-Length: 4\r\n\r\ncods":                                                              {422, "cods"},
	"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n5\r\nguppy\r\nA;x=1\r\n\r\n\r\n\r\n\r\n\r\n\r\n0\r\n\r\n": {200, ""},
	"HTTP/1.1 503 No\r\nTransfer-Encoding: Chunked\r\n\r\n2\r\nno\r\n3\r\nfis\r\n0\r\nTrailer: 1\r\n\r\n":           {503, "nofis"},
}

// However an answer is cut up on its way, its end is found, and what comes behind is left alone.
func TestTheEndOfAnAnswerIsFoundInPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SampledFrom(keys()).Draw(t, "answer")
		var f frame
		for range 2 { // the frame is used again
			bytes := []byte(text)
			for len(bytes) > 0 {
				n := rapid.IntRange(1, len(bytes)).Draw(t, "piece")
				piece := bytes[:n:n]
				bytes = bytes[n:]
				if len(bytes) == 0 {
					piece = append(piece, "HTTP"...)
				}
				rest, done, err := f.feed(piece)
				if err != nil || done != (len(bytes) == 0) {
					t.Fatalf("%q left: done %v, %v", bytes, done, err)
				}
				if done && string(rest) != "HTTP" {
					t.Fatalf("rest %q", rest)
				}
			}
			if want := answers[text]; f.status != want.status || string(f.start) != want.start {
				t.Fatalf("%d %q, want %v", f.status, f.start, want)
			}
			f.again()
		}
	})
}

func keys() (list []string) {
	for text := range answers {
		list = append(list, text)
	}
	return list
}

func TestWhatIsNoAnswerIsAnError(t *testing.T) {
	for _, text := range []string{
		"SSH-2.0-OpenSSH\r\n\r\n",
		"HTTP/1.1 abc\r\n\r\n",
		"HTTP/1.1 100 Continue\r\n\r\n",
		"HTTP/1.1 200 OK\r\n\r\nuntil the end",
		"HTTP/1.1 200 OK\r\nContent-Length: -3\r\n\r\n",
		"HTTP/1.1 200 OK\r\nContent-Length: many\r\n\r\n",
		"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nzebra\r\n",
		"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n2\r\nfish\r\n",
		"HTTP/1.1 200 OK\r\n" + strings.Repeat("X: long\r\n", maxHead),
		"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n" + strings.Repeat("0", maxHead+1),
	} {
		var f frame
		if _, _, err := f.feed([]byte(text)); !errors.Is(err, errFrame) {
			t.Errorf("%.60q: %v", text, err)
		}
	}
}

// A body that does not fit into the socket is sent in pieces, and an answer larger than a buffer is read in pieces.
func TestLargeRequestsAndAnswersPass(t *testing.T) {
	const size = 3 << 20
	target := dial(t, func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		if err != nil || len(body) != size {
			w.WriteHeader(http.StatusBadRequest)
		}
		_, _ = w.Write(body)
	}, 2)
	r, err := target.Rush(t.Context(), Always(Request("POST", "/", make([]byte, size))), 20*time.Millisecond)
	if err != nil || r.Count() == 0 {
		t.Errorf("%d answers, %v", r.Count(), err)
	}
}

// What wrk counts and what the server counts is the same, but for what was under way at the end.
func TestWrkSendsTheRequestsOfAFileFromAPlaceOn(t *testing.T) {
	w, err := FindWrk(t.TempDir(), -1)
	if errors.Is(err, ErrNoWrk) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	first := make(chan string, 1)
	server := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		select {
		case first <- r.URL.Path:
		default:
		}
	}))
	t.Cleanup(server.Close)
	file, err := w.Prepare([][]byte{Request("GET", "/a", nil), Request("GET", "/b", nil), Request("GET", "/c", nil)})
	if err != nil {
		t.Fatal(err)
	}
	count, pace, err := w.Rush(t.Context(), server.Listener.Addr().String(), file, 0, 1, time.Second)
	if err != nil || count == 0 || pace <= 0 {
		t.Fatalf("%d %v %v", count, pace, err)
	}
	if path := <-first; path != "/c" { // wrk itself takes one to look at
		t.Errorf("it began with %s", path)
	}
}

func TestWhatWrkPrintsIsRead(t *testing.T) {
	const good = "Running 1s test @ http://127.0.0.1:1/\n  Thread Stats   Avg\n  36518 requests in 1.00s, 4.18MB read\nRequests/sec:  36424.57\nTransfer/sec:  4.17MB\n"
	if n, pace, err := readWrk([]byte(good)); n != 36518 || pace != 36424.57 || err != nil {
		t.Errorf("%d %v %v", n, pace, err)
	}
	for _, bad := range []string{
		"", strings.Replace(good, "36518", "0", 1),
		good + "  Non-2xx or 3xx responses: 12\n", good + "  Socket errors: connect 0, read 3, write 0, timeout 0\n",
	} {
		if _, _, err := readWrk([]byte(bad)); err == nil {
			t.Errorf("%q passes", bad)
		}
	}
}
