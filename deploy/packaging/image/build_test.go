package main

import (
	"archive/tar"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	v1 "github.com/google/go-containerregistry/pkg/v1"
)

const dockerfile = `FROM golang AS build
RUN go build
FROM scratch
ARG RELEASE=none
LABEL version="${RELEASE}" kind=test
COPY --from=build /out/program /program
COPY LICENSE /doc/LICENSE
USER 65532:65532
ENV A=b
EXPOSE 8080
HEALTHCHECK --interval=10s CMD ["/program", "ready"]
ENTRYPOINT ["/program"]
CMD ["serve"]
`

// given are inputs with a program and a licence.
func given(t *testing.T, program string) inputs {
	t.Helper()
	context, built := t.TempDir(), t.TempDir()
	write := func(name, text string, mode os.FileMode) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), mode); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(built, "out", "program"), program, 0o750)
	write(filepath.Join(context, "LICENSE"), "free", 0o600)
	return inputs{context: context, stages: pairs{"build": built}, args: pairs{"RELEASE": "v7"},
		platform: &v1.Platform{OS: "linux", Architecture: "arm64"}, created: time.Unix(1_700_000_000, 0).UTC()}
}

func made(t *testing.T, text string, in inputs) v1.Image {
	t.Helper()
	img, err := build([]byte(text), in)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func digest(t *testing.T, img v1.Image) string {
	t.Helper()
	d, err := img.Digest()
	if err != nil {
		t.Fatal(err)
	}
	return d.String()
}

func TestTheLastStageBecomesTheConfiguration(t *testing.T) {
	file, err := made(t, dockerfile, given(t, "bytes")).ConfigFile()
	if err != nil {
		t.Fatal(err)
	}
	c := file.Config
	_, port := c.ExposedPorts["8080/tcp"]
	if c.User != "65532:65532" || c.Labels["version"] != "v7" || c.Labels["kind"] != "test" || strings.Join(c.Env, " ") != "A=b" || !port ||
		strings.Join(c.Entrypoint, " ") != "/program" || strings.Join(c.Cmd, " ") != "serve" {
		t.Errorf("the configuration is %+v", c)
	}
	if h := c.Healthcheck; h == nil || strings.Join(h.Test, " ") != "CMD /program ready" || h.Interval != 10*time.Second {
		t.Errorf("the health check is %+v", h)
	}
	if file.OS != "linux" || file.Architecture != "arm64" {
		t.Errorf("the image is for %s/%s", file.OS, file.Architecture)
	}
}

func TestTheFilesAreRootsAndNobodyElseMayWriteThem(t *testing.T) {
	layers, err := made(t, dockerfile, given(t, "bytes")).Layers()
	if err != nil || len(layers) != 1 {
		t.Fatalf("%d layers, %v", len(layers), err)
	}
	r, err := layers[0].Uncompressed()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	found := map[string]int64{}
	for files := tar.NewReader(r); ; {
		h, err := files.Next()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		found[h.Name] = h.Mode
		if h.Uid != 0 || h.Gid != 0 || h.ModTime.Unix() != 1_700_000_000 {
			t.Errorf("%s: owner %d:%d, age %v", h.Name, h.Uid, h.Gid, h.ModTime)
		}
	}
	if len(found) != 2 || found["program"] != 0o755 || found["doc/LICENSE"] != 0o644 {
		t.Errorf("the files are %v", found)
	}
}

func TestTheSameInputsGiveTheSameDigestAndOthersAnother(t *testing.T) {
	first := digest(t, made(t, dockerfile, given(t, "bytes")))
	if again := digest(t, made(t, dockerfile, given(t, "bytes"))); again != first {
		t.Errorf("twice the same gives %s and %s", first, again)
	}
	older := given(t, "bytes")
	older.created = older.created.Add(-time.Second)
	for what, img := range map[string]v1.Image{
		"program": made(t, dockerfile, given(t, "other")),
		"setting": made(t, strings.Replace(dockerfile, "A=b", "A=c", 1), given(t, "bytes")),
		"age":     made(t, dockerfile, older),
	} {
		if digest(t, img) == first {
			t.Errorf("another %s gives the same digest", what)
		}
	}
}

func TestWhatCannotBeBuiltIsSaid(t *testing.T) {
	for replaced, want := range map[string]string{
		"USER 65532:65532|RUN true":                             "RUN",
		"FROM scratch|FROM debian":                              "FROM debian",
		"--from=build /out/program|--from=other /p":             "stage other",
		"COPY LICENSE|COPY missing":                             "missing",
		"COPY LICENSE /doc/LICENSE|COPY LICENSE /doc/":          "the name that it gets",
		`ENTRYPOINT ["/program"]|ENTRYPOINT /program`:           "JSON array",
		`COPY LICENSE /doc/LICENSE|COPY --chmod=777 LICENSE /l`: "the name that it gets",
	} {
		old, now, _ := strings.Cut(replaced, "|")
		_, err := build([]byte(strings.Replace(dockerfile, old, now, 1)), given(t, "bytes"))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, which does not tell of %q", now, err, want)
		}
	}
}

func TestTheSizeIsWhatARegistryStores(t *testing.T) {
	img := made(t, dockerfile, given(t, "bytes"))
	dir := filepath.Join(t.TempDir(), "oci")
	if err := writeLayout(dir, img, &v1.Platform{OS: "linux", Architecture: "arm64"}); err != nil {
		t.Fatal(err)
	}
	var sum int64
	blobs, err := filepath.Glob(filepath.Join(dir, "blobs", "sha256", "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, blob := range blobs {
		info, err := os.Stat(blob)
		if err != nil {
			t.Fatal(err)
		}
		sum += info.Size()
	}
	if size, err := stored(img); err != nil || size != sum || len(blobs) != 3 {
		t.Errorf("the size is %d (%v), %d blobs have %d", size, err, len(blobs), sum)
	}
}
