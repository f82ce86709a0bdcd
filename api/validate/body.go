package validate

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/api/respond"

	"github.com/labstack/echo/v4"
)

// LinesMedia is the media type of bodies with a JSON value on each line.
const LinesMedia = "application/x-ndjson"

// MaxBody is the largest body in bytes that is read.
const MaxBody = 1 << 20

// maxValues is the most values of a body, counted with those inside them: the largest sound
// request there is has about a hundred thousand.
const maxValues = 150_000

// readAtOnce is up to how many bytes a body gets its memory before it has come.
const readAtOnce = 32 << 10

// maxDepth is the deepest nesting of a body.
const maxDepth = 32

// checkBody reads the body, checks it and holds it for the handler; or finds the answer
// to the same body, which is then whole.
func (o *Operation) checkBody(c echo.Context) (before *respond.Reply, err error) {
	r := c.Request()
	media, err := o.checkMedia(r.Header)
	if err != nil {
		return nil, err
	}
	if media == LinesMedia {
		return nil, nil // the handler reads it, a line at a time
	}
	text, err := o.readBody(c.Response(), r)
	if err != nil {
		return nil, err
	}
	if media == o.Media { // some programs put a byte order mark before UTF-8, which says nothing
		text = bytes.TrimPrefix(text, []byte("\ufeff"))
	}
	if o.Cached != nil {
		if before = o.Cached(c, o.ID, text); before != nil {
			return before, nil
		}
	}
	if o.Begins != nil {
		if err := o.Begins(r.Context(), len(text)); err != nil {
			return nil, err
		}
	}
	if media != o.Media {
		c.Set(sentKey, &Sent{text: text})
		c.Set(mediaKey, media)
		return nil, nil
	}
	sent, err := o.Hold(text)
	if err != nil {
		return nil, err
	}
	c.Set(sentKey, sent)
	if o.Permits != nil {
		err = o.Permits(c, sent)
	}
	return nil, err
}

// sentKey and mediaKey are where a request's context of echo holds the body, and what it is where it is no JSON.
const sentKey, mediaKey = "commensal.body", "commensal.media"

// MediaOfText is the media type of a body that is text of its own; "" for JSON.
func MediaOfText(c echo.Context) string {
	media, _ := c.Get(mediaKey).(string)
	return media
}

// Text is the body of a request as it was sent, once it was held against the contract.
func Text(c echo.Context) []byte {
	if sent, ok := c.Get(sentKey).(*Sent); ok {
		return sent.text
	}
	return nil
}

// Body is the body of a request as the contract has it.
func Body[T any](c echo.Context) (*T, error) {
	sent, ok := c.Get(sentKey).(*Sent)
	if !ok {
		sent = &Sent{}
	}
	in, err := Read[T](sent)
	if err != nil {
		return nil, &respond.Fault{Slug: respond.MalformedBody, Detail: "The body cannot be read: " + err.Error() + "."}
	}
	return in, nil
}

// Hold holds a body against the contract.
func (o *Operation) Hold(text []byte) (*Sent, error) {
	if b := o.body(); b.plan != nil && b.plan.sound(text) {
		return &Sent{text: text, plain: true}, nil
	}
	value, err := decodeStrictly(text, maxValues*int(o.MaxBody/MaxBody))
	if err != nil {
		return nil, &respond.Fault{Slug: respond.MalformedBody, Detail: "The body cannot be read: " + err.Error() + "."}
	}
	if err := o.Fits(value); err != nil {
		return nil, err
	}
	return &Sent{text: text, value: value}, nil
}

// Fits holds a decoded body against the contract.
func (o *Operation) Fits(value any) error {
	misfits := o.body().misfits(value)
	if len(misfits) == 0 {
		return nil
	}
	found := respond.Faults{Malformed: respond.MalformedBody}
	for _, v := range misfits {
		subject := v.pointer
		if subject == "" {
			subject = "The body"
		}
		field := respond.AtField(gen.Body, v.pointer, subject+" "+v.what+".", v.fix)
		if v.impossible {
			found.Impossible = append(found.Impossible, field)
		} else {
			found.Unreadable = append(found.Unreadable, field)
		}
	}
	if o.AlsoWrong != nil {
		found.Impossible = append(found.Impossible, o.AlsoWrong(value)...)
	}
	return found.Err()
}

// checkMedia wants plain JSON, under the name that the contract gives it, or one of its texts.
func (o *Operation) checkMedia(h http.Header) (media string, err error) {
	refuse := func(detail string) (string, error) {
		return "", &respond.Fault{Slug: respond.UnsupportedMediaType, Detail: detail}
	}
	if is := h["Content-Type"]; len(is) > 0 && is[0] == o.Media && h["Content-Encoding"] == nil { // as programs send it
		return o.Media, nil
	}
	media, params, err := mime.ParseMediaType(h.Get("Content-Type"))
	charset := params["charset"]
	switch {
	case err != nil || media != o.Media && !slices.Contains(o.Texts, media):
		return refuse("The body must be " + strings.Join(append([]string{o.Media}, o.Texts...), " or ") + ".")
	case charset != "" && !strings.EqualFold(charset, "utf-8"):
		return refuse("The body must be in UTF-8.")
	case h.Get("Content-Encoding") != "" && !strings.EqualFold(h.Get("Content-Encoding"), "identity"):
		return refuse("The body must not be compressed.")
	}
	return media, nil
}

func (o *Operation) readBody(w http.ResponseWriter, r *http.Request) ([]byte, error) {
	if r.ContentLength > o.MaxBody {
		return nil, o.tooLarge()
	}
	if n := r.ContentLength; n >= 0 && n <= readAtOnce { // which net/http holds it to
		text := make([]byte, n)
		if _, err := io.ReadFull(r.Body, text); err != nil {
			return nil, errCutShort
		}
		return text, nil
	}
	text, err := io.ReadAll(http.MaxBytesReader(w, r.Body, o.MaxBody))
	var limit *http.MaxBytesError
	switch {
	case errors.As(err, &limit):
		return nil, o.tooLarge()
	case err != nil:
		return nil, errCutShort
	}
	return text, nil
}

func (o *Operation) tooLarge() error {
	return &respond.Fault{Slug: respond.BodyTooLarge, Detail: "The body is over " + strconv.FormatInt(o.MaxBody>>20, 10) + " MiB (" + strconv.FormatInt(o.MaxBody, 10) + " bytes)."}
}

var errCutShort = &respond.Fault{Slug: respond.MalformedBody, Detail: "The body ended before it was whole."}

// DecodeStrictly reads one JSON value in UTF-8 with nothing behind it, no field twice
// in one object, and no NUL in a string. encoding/json lets all but the first pass.
func DecodeStrictly(text []byte) (any, error) { return decodeStrictly(text, maxValues) }

func decodeStrictly(text []byte, most int) (any, error) {
	if !utf8.Valid(text) {
		return nil, errors.New("it is not valid UTF-8")
	}
	d := &decoder{Decoder: json.NewDecoder(bytes.NewReader(text)), most: most}
	value, err := decodeValue(d, 0)
	if err != nil {
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, errors.New("something follows the JSON value")
	}
	return value, nil
}

// decoder counts the values that it decodes.
type decoder struct {
	*json.Decoder
	values, most int
}

func decodeValue(d *decoder, depth int) (any, error) {
	if d.values++; d.values > d.most {
		return nil, fmt.Errorf("it has more than %d values", d.most)
	}
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

func decodeList(d *decoder, depth int) (any, error) {
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

func decodeObject(d *decoder, depth int) (any, error) {
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
			return nil, fmt.Errorf("the field %q is given twice", Printable(name))
		}
		if object[name], err = decodeValue(d, depth); err != nil {
			return nil, err
		}
	}
	return object, closing(d)
}

func closing(d *decoder) error {
	if _, err := d.Token(); err != nil {
		return notJSON(d, err)
	}
	return nil
}

func notJSON(d *decoder, err error) error {
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
