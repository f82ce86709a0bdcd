package respond

import (
	"encoding/base64"
	"testing"
	"time"

	"github.com/google/uuid"
)

// encoded is a cursor of any bytes.
func encoded(parts ...[]byte) string {
	var raw []byte
	for _, p := range parts {
		raw = append(raw, p...)
	}
	return base64.RawURLEncoding.EncodeToString(raw)
}

func TestACursorIsReadOnlyAsItIsWritten(t *testing.T) {
	t.Parallel()
	list := listOf{1, 2, 3, 4, 5, 6, 7, 8}
	good := cursorAt(list, 5)
	if at, err := readCursor(&good, list, 100); err != nil || at != 5 {
		t.Fatalf("%d, %v", at, err)
	}
	version := []byte{cursorVersion}
	for name, text := range map[string]string{
		"a number with a needless byte": encoded(version, list[:], []byte{0x85, 0x00}),
		"a byte behind the number":      encoded(version, list[:], []byte{5, 0}),
		"a number without its end":      encoded(version, list[:], []byte{0x85}),
		"a number beyond all":           encoded(version, list[:], []byte{0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x01}),
		"a line break within":           good[:4] + "\n" + good[4:],
		"a carriage return behind":      good + "\r",
	} {
		if at, err := readCursor(&text, list, 100); err == nil {
			t.Errorf("%s was read as %d", name, at)
		}
	}
}

func TestAPlaceInAListIsReadOnlyAsItIsWritten(t *testing.T) {
	t.Parallel()
	whose, at := uuid.New(), time.Date(2026, 11, 30, 10, 0, 0, 5000, time.UTC)
	first, err := NewKeyset(whose, "/v1/things", nil, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	read := func(place, within string) error {
		cursor, _ := first.next(whose, place)
		text := (*cursor)[:4] + within + (*cursor)[4:]
		k, err := NewKeyset(whose, "/v1/things", nil, nil, &text)
		if err == nil {
			_, _, err = k.BeforeMoment()
		}
		return err
	}
	good := MomentPlace(at, whose)
	if err := read(good, ""); err != nil {
		t.Fatal(err)
	}
	for name, err := range map[string]error{
		"a line break within":  read(good, "\n"),
		"another zone":         read("2026-11-30T12:00:00.000005+02:00 "+whose.String(), ""),
		"needless zeros":       read("2026-11-30T10:00:00.000005000Z "+whose.String(), ""),
		"something behind it":  read(good+" ", ""),
		"no place in a moment": read("x", ""),
	} {
		if err == nil {
			t.Errorf("%s was read", name)
		}
	}
}

// FuzzCursor holds that a cursor is read only when it was written for the list.
func FuzzCursor(f *testing.F) {
	list := listOf{1, 2, 3, 4, 5, 6, 7, 8}
	f.Add(cursorAt(list, 5))
	f.Add(cursorAt(listOf{}, 5))
	f.Add("AQ")
	f.Fuzz(func(t *testing.T, text string) {
		at, err := readCursor(&text, list, 100)
		if err != nil {
			if _, ok := err.(*Fault); !ok {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		if at < 1 || at >= 100 || cursorAt(list, at) != text {
			t.Fatalf("%q was read as %d", text, at)
		}
	})
}
