// Command archive packs files for a release: the same files give the same bytes, on every machine.
//
//	go run ./archive -out commensal_v1_linux_amd64.tar.gz -folder commensal_v1_linux_amd64 -created 1767225600 bin/commensal LICENSE
//
// The name of the archive says which kind it is: .tar.gz or .zip.
package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"
)

func main() {
	out := flag.String("out", "", "the archive")
	folder := flag.String("folder", "", "folder that it unpacks to")
	created := flag.Int64("created", 0, "age of the files, in seconds since 1970 (UTC)")
	flag.Parse()
	if err := pack(*out, *folder, time.Unix(*created, 0).UTC(), flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "archive:", err)
		os.Exit(1)
	}
}

func pack(out, folder string, created time.Time, files []string) (err error) {
	if len(files) == 0 || folder == "" {
		return errors.New("name the folder and the files")
	}
	f, err := os.Create(out)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	switch {
	case strings.HasSuffix(out, ".tar.gz"):
		return packTar(f, folder, created, files)
	case strings.HasSuffix(out, ".zip"):
		return packZip(f, folder, created, files)
	}
	return fmt.Errorf("%s is neither .tar.gz nor .zip", out)
}

// read is a file's content, and whether it is a program.
func read(name string) (content []byte, mode os.FileMode, err error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, 0, err
	}
	mode = 0o644
	if info.Mode()&0o100 != 0 {
		mode = 0o755
	}
	content, err = os.ReadFile(name)
	return content, mode, err
}

func packTar(to io.Writer, folder string, created time.Time, files []string) error {
	compressed, err := gzip.NewWriterLevel(to, gzip.BestCompression)
	if err != nil {
		return err
	}
	w := tar.NewWriter(compressed)
	for _, name := range files {
		content, mode, err := read(name)
		if err != nil {
			return err
		}
		header := &tar.Header{Typeflag: tar.TypeReg, Name: path.Join(folder, filepath.Base(name)), Size: int64(len(content)), Mode: int64(mode), ModTime: created}
		if err := w.WriteHeader(header); err != nil {
			return err
		}
		if _, err := w.Write(content); err != nil {
			return err
		}
	}
	return errors.Join(w.Close(), compressed.Close())
}

func packZip(to io.Writer, folder string, created time.Time, files []string) error {
	w := zip.NewWriter(to)
	for _, name := range files {
		content, mode, err := read(name)
		if err != nil {
			return err
		}
		header := &zip.FileHeader{Name: path.Join(folder, filepath.Base(name)), Method: zip.Deflate, Modified: created}
		header.SetMode(mode)
		entry, err := w.CreateHeader(header)
		if err != nil {
			return err
		}
		if _, err := entry.Write(content); err != nil {
			return err
		}
	}
	return w.Close()
}
