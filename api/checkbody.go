package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"
	"unicode/utf8"

	"commensal/api/gen"

	"github.com/labstack/echo/v4"
)

// maxBody is the largest body in bytes that is read.
const maxBody = 1 << 20

// maxDepth is the deepest nesting of a body.
const maxDepth = 32

// checkBody reads the body, checks it and puts it back for the handler; or finds the answer
// to the same body, which is then whole.
func (o *operation) checkBody(c echo.Context) (kept *reply, err error) {
	r := c.Request()
	if err := o.checkMedia(r.Header); err != nil {
		return nil, err
	}
	text, err := readBody(c.Response(), r)
	if err != nil {
		return nil, err
	}
	if o.kept != nil {
		if kept = o.kept(c, o, text); kept != nil {
			return kept, nil
		}
	}
	if call := callOf(r.Context()); call != nil {
		call.read(r, text)
	}
	value, err := o.checkText(r, text)
	if err == nil && o.permits != nil {
		err = o.permits(c, value, text)
	}
	return nil, err
}

// checkText checks a body, decodes it and puts it back.
func (o *operation) checkText(r *http.Request, text []byte) (value any, err error) {
	value, err = decodeStrictly(text)
	if err != nil {
		return nil, &fault{slug: malformedBody, detail: "The body cannot be read: " + err.Error() + "."}
	}
	if err := o.fits(value); err != nil {
		return nil, err
	}
	r.Header.Set("Content-Type", "application/json") // the binder knows only this spelling
	r.Body = io.NopCloser(bytes.NewReader(text))
	r.ContentLength = int64(len(text))
	return value, nil
}

// fits holds a decoded body against the contract.
func (o *operation) fits(value any) error {
	err := o.body.Validate(value)
	if err == nil {
		return nil
	}
	found := faults{malformed: malformedBody}
	for _, v := range violations(err) {
		subject := v.pointer
		if subject == "" {
			subject = "The body"
		}
		field := atField(gen.Body, v.pointer, subject+" "+v.what+".", v.fix)
		if v.impossible {
			found.impossible = append(found.impossible, field)
		} else {
			found.unreadable = append(found.unreadable, field)
		}
	}
	if o.also != nil {
		found.impossible = append(found.impossible, o.also(value)...)
	}
	return found.err()
}

// checkMedia wants plain JSON, under the name that the contract gives it.
func (o *operation) checkMedia(h http.Header) error {
	refuse := func(detail string) error { return &fault{slug: unsupportedMediaType, detail: detail} }
	media, params, err := mime.ParseMediaType(h.Get("Content-Type"))
	charset := params["charset"]
	switch {
	case err != nil || media != o.media:
		return refuse("The body must be " + o.media + ".")
	case charset != "" && !strings.EqualFold(charset, "utf-8"):
		return refuse("The body must be in UTF-8.")
	case h.Get("Content-Encoding") != "" && !strings.EqualFold(h.Get("Content-Encoding"), "identity"):
		return refuse("The body must not be compressed.")
	}
	return nil
}

func readBody(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	tooLarge := &fault{slug: bodyTooLarge, detail: "The body is over 1 MiB (1,048,576 bytes)."}
	if r.ContentLength > maxBody {
		return nil, tooLarge
	}
	text, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
	var limit *http.MaxBytesError
	switch {
	case errors.As(err, &limit):
		return nil, tooLarge
	case err != nil:
		return nil, &fault{slug: malformedBody, detail: "The body ended before it was whole."}
	}
	return text, nil
}

// decodeStrictly reads one JSON value in UTF-8 with nothing behind it, no field twice
// in one object, and no NUL in a string. encoding/json lets all but the first pass.
func decodeStrictly(text []byte) (any, error) {
	if !utf8.Valid(text) {
		return nil, errors.New("it is not valid UTF-8")
	}
	d := json.NewDecoder(bytes.NewReader(text))
	value, err := decodeValue(d, 0)
	if err != nil {
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, errors.New("something follows the JSON value")
	}
	return value, nil
}

func decodeValue(d *json.Decoder, depth int) (any, error) {
	token, err := d.Token()
	if err != nil {
		return nil, notJSON(d, err)
	}
	switch token := token.(type) {
	case json.Delim:
		if depth == maxDepth {
			return nil, fmt.Errorf("it is nested more than %d deep", maxDepth)
		}
		if token == '[' {
			return decodeList(d, depth+1)
		}
		return decodeObject(d, depth+1)
	case string:
		return token, withoutNUL(token)
	}
	return token, nil
}

func decodeList(d *json.Decoder, depth int) (any, error) {
	list := []any{}
	for d.More() {
		value, err := decodeValue(d, depth)
		if err != nil {
			return nil, err
		}
		list = append(list, value)
	}
	return list, closing(d)
}

func decodeObject(d *json.Decoder, depth int) (any, error) {
	object := map[string]any{}
	for d.More() {
		token, err := d.Token()
		if err != nil {
			return nil, notJSON(d, err)
		}
		name, _ := token.(string) // the decoder lets nothing else stand here
		if err := withoutNUL(name); err != nil {
			return nil, err
		}
		if _, twice := object[name]; twice {
			return nil, fmt.Errorf("the field %q is given twice", printable(name))
		}
		if object[name], err = decodeValue(d, depth); err != nil {
			return nil, err
		}
	}
	return object, closing(d)
}

func closing(d *json.Decoder) error {
	if _, err := d.Token(); err != nil {
		return notJSON(d, err)
	}
	return nil
}

func notJSON(d *json.Decoder, err error) error {
	if err == io.EOF || errors.Is(err, io.ErrUnexpectedEOF) {
		return errors.New("it ends too early to be JSON")
	}
	return fmt.Errorf("it is not JSON near byte %d", d.InputOffset())
}

func withoutNUL(s string) error {
	if strings.ContainsRune(s, 0) {
		return errors.New("a text has a NUL character in it")
	}
	return nil
}
