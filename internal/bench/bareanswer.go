package bench

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// readyAnswer is what a bare handler answers everything with.
type readyAnswer struct {
	Status int    `json:"status"`
	Type   string `json:"type"`
	ETag   string `json:"etag"`
	Body   []byte `json:"body"`

	location string // of what was stored
}

// ServeBare is the bare side of a bench, in a process of its own: it reads a ready answer, says on which address it
// listens, gives that answer to whoever asks, and ends with its input.
func ServeBare(_ context.Context, in io.Reader, out io.Writer) error {
	lines := bufio.NewReader(in)
	var ready readyAnswer
	if err := readLine(lines, &ready); err != nil {
		return err
	}
	e := echo.New()
	e.Any("/*", func(c echo.Context) error {
		if ready.ETag != "" {
			c.Response().Header().Set("ETag", ready.ETag)
		}
		if ready.Status == http.StatusNotModified {
			return c.NoContent(ready.Status)
		}
		return c.Blob(ready.Status, ready.Type, ready.Body)
	})
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	server := &http.Server{Handler: e, ReadHeaderTimeout: 10 * time.Second}
	served := make(chan error, 1)
	go func() { served <- server.Serve(listener) }()
	fmt.Fprintln(out, listener.Addr())
	_, err = io.Copy(io.Discard, lines)
	err = errors.Join(err, server.Close())
	if s := <-served; !errors.Is(s, http.ErrServerClosed) {
		err = errors.Join(err, s)
	}
	return err
}

// readLine reads a line of JSON.
func readLine(in *bufio.Reader, into any) error {
	line, err := in.ReadBytes('\n')
	if err != nil {
		return err
	}
	return json.Unmarshal(line, into)
}
