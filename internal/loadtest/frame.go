package loadtest

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"strconv"
)

// errFrame is the error of bytes that are no answer in HTTP/1.1 whose end can be told.
var errFrame = errors.New("loadtest: this is no answer whose end can be told")

// maxHead bounds the head of an answer, in bytes.
const maxHead = 64 << 10

// startKept is how much of the body of an unsound answer is kept, for the error.
const startKept = 500

// frame finds where an answer ends, and does not read what it says. The zero frame waits for an
// answer to begin.
type frame struct {
	head    []byte // where it came in pieces
	status  int
	start   []byte // of the body of an unsound answer
	inBody  bool
	chunked bool
	left    int // bytes of the body or the chunk that are to come
	line    []byte
	part    chunkPart
}

// chunkPart is where in a chunked body a frame stands.
type chunkPart int

const (
	chunkSize chunkPart = iota
	chunkData
	chunkEnd // the end of the line behind the data
	trailer
)

// feed takes the next bytes. done reports that the answer has ended; rest is what came behind it.
func (f *frame) feed(b []byte) (rest []byte, done bool, err error) {
	if !f.inBody {
		var whole bool
		if b, whole, err = f.takeHead(b); err != nil || !whole {
			return nil, false, err
		}
	}
	if f.chunked {
		return f.takeChunks(b)
	}
	n := min(f.left, len(b))
	f.keep(b[:n])
	f.left -= n
	return b[n:], f.left == 0, nil
}

// takeHead takes the head of the answer, and returns what came behind it.
func (f *frame) takeHead(b []byte) (rest []byte, whole bool, err error) {
	if len(f.head) > 0 {
		b = append(f.head, b...)
		f.head = b[:0]
	}
	end := bytes.Index(b, []byte("\r\n\r\n"))
	if end < 0 {
		if len(b) > maxHead {
			return nil, false, fmt.Errorf("%w: its head has no end", errFrame)
		}
		f.head = append(f.head[:0], b...)
		return nil, false, nil
	}
	f.inBody = true
	return b[end+4:], true, f.readHead(b[:end+2])
}

// readHead reads the status, and how the end of the body can be told.
func (f *frame) readHead(head []byte) (err error) {
	first, fields, _ := bytes.Cut(head, []byte("\r\n"))
	if len(first) < 12 || !bytes.HasPrefix(first, []byte("HTTP/1.")) {
		return fmt.Errorf("%w: it begins with %q", errFrame, first)
	}
	if f.status, err = strconv.Atoi(string(first[9:12])); err != nil || f.status < http.StatusOK {
		return fmt.Errorf("%w: its status is %q", errFrame, first)
	}
	f.left = -1
	for len(fields) > 0 {
		var field []byte
		field, fields, _ = bytes.Cut(fields, []byte("\r\n"))
		if value, is := valueOf(field, "content-length:"); is {
			if f.left, err = strconv.Atoi(string(value)); err != nil || f.left < 0 {
				return fmt.Errorf("%w: its length is %q", errFrame, value)
			}
		}
		if value, is := valueOf(field, "transfer-encoding:"); is {
			f.chunked = bytes.EqualFold(value, []byte("chunked"))
		}
	}
	switch {
	case f.status == http.StatusNoContent || f.status == http.StatusNotModified:
		f.left, f.chunked = 0, false
	case f.left < 0 && !f.chunked:
		return fmt.Errorf("%w: it has no length", errFrame)
	}
	return nil
}

// valueOf is the value of a field of a head, where its name, in small letters and with the colon, is
// the one asked for.
func valueOf(field []byte, name string) (value []byte, is bool) {
	if len(field) < len(name) || field[0]|0x20 != name[0] || !bytes.EqualFold(field[:len(name)], []byte(name)) {
		return nil, false
	}
	return bytes.TrimSpace(field[len(name):]), true
}

// takeChunks takes a part of a chunked body.
func (f *frame) takeChunks(b []byte) (rest []byte, done bool, err error) {
	for len(b) > 0 {
		if f.part == chunkData {
			n := min(f.left, len(b))
			f.keep(b[:n])
			b = b[n:]
			if f.left -= n; f.left == 0 {
				f.part = chunkEnd
			}
			continue
		}
		line, after, whole := bytes.Cut(b, []byte("\n"))
		if len(f.line)+len(line) > maxHead {
			return nil, false, fmt.Errorf("%w: a line between its chunks has no end", errFrame)
		}
		f.line = append(f.line, line...)
		if !whole {
			return nil, false, nil
		}
		b = after
		if done, err = f.takeLine(bytes.TrimSuffix(f.line, []byte("\r"))); done || err != nil {
			return b, done, err
		}
		f.line = f.line[:0]
	}
	return nil, false, nil
}

// takeLine takes a whole line of a chunked body that is no data.
func (f *frame) takeLine(line []byte) (done bool, err error) {
	switch f.part {
	case chunkSize:
		text, _, _ := bytes.Cut(line, []byte(";"))
		size, err := strconv.ParseUint(string(bytes.TrimSpace(text)), 16, 31)
		if err != nil {
			return false, fmt.Errorf("%w: a chunk is of size %q", errFrame, text)
		}
		f.left, f.part = int(size), chunkData
		if size == 0 {
			f.part = trailer
		}
	case chunkEnd:
		if len(line) > 0 {
			return false, fmt.Errorf("%w: a chunk is longer than it says", errFrame)
		}
		f.part = chunkSize
	case trailer:
		return len(line) == 0, nil
	}
	return false, nil
}

// keep keeps the beginning of the body of an unsound answer.
func (f *frame) keep(b []byte) {
	if !sound(f.status) {
		f.start = append(f.start, b[:min(len(b), startKept-len(f.start))]...)
	}
}

// again is the frame for the next answer; it uses the memory of this one.
func (f *frame) again() { *f = frame{head: f.head[:0], line: f.line[:0]} }
