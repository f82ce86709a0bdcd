//go:build unix

package localpg

import (
	"bytes"
	"fmt"
	"io"
	"os"
)

// maxLog is the size in bytes past which a start moves the log aside.
const maxLog = 10 << 20

// maxTail bounds the part of the log quoted in errors, in bytes.
const maxTail = 2 << 10

// logFile is postgres.log, opened to append, and where this start began in it.
type logFile struct {
	file  *os.File
	begin int64
}

func openLog(root *os.Root) (*logFile, error) {
	const name = "postgres.log"
	if info, err := root.Lstat(name); err == nil && info.Size() > maxLog {
		if err := root.Rename(name, name+".1"); err != nil {
			return nil, fmt.Errorf("localpg: log: %w", err)
		}
	}
	f, err := openOwn(root, name, os.O_CREATE|os.O_RDWR|os.O_APPEND, 0o600)
	if err != nil {
		return nil, fmt.Errorf("localpg: log: %w", err)
	}
	info, err := f.Stat()
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("localpg: log: %w", err)
	}
	return &logFile{file: f, begin: info.Size()}, nil
}

// tail is the end of what was printed since this start, in whole lines, or a
// note why it cannot be read.
func (l *logFile) tail() string {
	info, err := l.file.Stat()
	if err != nil {
		return err.Error()
	}
	from := max(l.begin, info.Size()-maxTail)
	text, err := io.ReadAll(io.NewSectionReader(l.file, from, info.Size()-from))
	if err != nil {
		return err.Error()
	}
	if from > l.begin {
		if i := bytes.IndexByte(text, '\n'); i >= 0 {
			text = text[i+1:]
		}
	}
	return string(bytes.TrimSpace(text))
}

func (s *Server) startError(what string, err error) error {
	return &StartError{What: what, Err: err, LogFile: s.log.file.Name(), Tail: s.log.tail()}
}
