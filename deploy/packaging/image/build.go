package main

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	v1 "github.com/google/go-containerregistry/pkg/v1"
	"github.com/google/go-containerregistry/pkg/v1/empty"
	"github.com/google/go-containerregistry/pkg/v1/mutate"
	"github.com/google/go-containerregistry/pkg/v1/tarball"
	"github.com/google/go-containerregistry/pkg/v1/types"
	"github.com/moby/buildkit/frontend/dockerfile/instructions"
	"github.com/moby/buildkit/frontend/dockerfile/parser"
	"github.com/moby/buildkit/frontend/dockerfile/shell"
)

// inputs is what an image is made of, beside its Dockerfile.
type inputs struct {
	context  string // folder of the files that COPY takes without --from
	stages   pairs  // folders of what COPY --from takes
	args     pairs  // values of ARG
	platform *v1.Platform
	created  time.Time
}

// build makes the image that the last stage of a Dockerfile describes. That stage is FROM scratch and
// runs nothing: all that is needed of Dockerfiles here, and an error says what is not.
func build(dockerfile []byte, in inputs) (v1.Image, error) {
	parsed, err := parser.Parse(bytes.NewReader(dockerfile))
	if err != nil {
		return nil, err
	}
	stages, _, err := instructions.Parse(parsed.AST, nil)
	if err != nil {
		return nil, err
	}
	last := stages[len(stages)-1]
	if last.BaseName != "scratch" {
		return nil, fmt.Errorf("the last stage is FROM %s: only scratch can be built without a registry", last.BaseName)
	}
	s := stage{in: in, lex: shell.NewLex(parsed.EscapeToken), values: map[string]string{}}
	for _, command := range last.Commands {
		if err := s.do(command); err != nil {
			return nil, fmt.Errorf("line %d: %s: %w", command.Location()[0].Start.Line, command.Name(), err)
		}
	}
	return s.image()
}

// stage is the last stage while its commands are carried out.
type stage struct {
	in     inputs
	lex    *shell.Lex
	values map[string]string // of ARG and ENV, for expansion
	config v1.Config
	files  []file
}

// file is a file of the image.
type file struct{ name, from string }

// Get and Keys make the values what a [shell.Lex] expands from.
func (s *stage) Get(name string) (string, bool) { v, ok := s.values[name]; return v, ok }

func (s *stage) Keys() []string {
	return slices.Sorted(maps.Keys(s.values))
}

func (s *stage) expand(word string) (string, error) {
	text, _, err := s.lex.ProcessWord(word, s)
	return text, err
}

func (s *stage) do(command instructions.Command) error {
	if c, ok := command.(instructions.SupportsSingleWordExpansion); ok {
		if err := c.Expand(s.expand); err != nil {
			return err
		}
	}
	switch c := command.(type) {
	case *instructions.ArgCommand:
		for _, a := range c.Args {
			if a.Value != nil {
				s.values[a.Key] = *a.Value
			}
			if v, ok := s.in.args[a.Key]; ok {
				s.values[a.Key] = v
			}
		}
	case *instructions.LabelCommand:
		if s.config.Labels == nil {
			s.config.Labels = map[string]string{}
		}
		for _, l := range c.Labels {
			s.config.Labels[l.Key] = l.Value
		}
	case *instructions.EnvCommand:
		for _, e := range c.Env {
			s.values[e.Key] = e.Value
			s.config.Env = append(s.config.Env, e.String())
		}
	case *instructions.UserCommand:
		s.config.User = c.User
	case *instructions.WorkdirCommand:
		s.config.WorkingDir = c.Path
	case *instructions.ExposeCommand:
		if s.config.ExposedPorts == nil {
			s.config.ExposedPorts = map[string]struct{}{}
		}
		for _, port := range c.Ports {
			if !strings.Contains(port, "/") {
				port += "/tcp"
			}
			s.config.ExposedPorts[port] = struct{}{}
		}
	case *instructions.StopSignalCommand:
		s.config.StopSignal = c.Signal
	case *instructions.HealthCheckCommand:
		h := c.Health
		s.config.Healthcheck = &v1.HealthConfig{Test: h.Test, Interval: h.Interval, Timeout: h.Timeout, StartPeriod: h.StartPeriod, Retries: h.Retries}
	case *instructions.EntrypointCommand:
		if c.PrependShell {
			return fmt.Errorf("there is no shell in the image: write a JSON array")
		}
		s.config.Entrypoint = c.CmdLine
	case *instructions.CmdCommand:
		if c.PrependShell {
			return fmt.Errorf("there is no shell in the image: write a JSON array")
		}
		s.config.Cmd = c.CmdLine
	case *instructions.CopyCommand:
		return s.copy(c)
	default:
		return fmt.Errorf("not possible without running something")
	}
	return nil
}

// copy takes single files to the name that is given for them.
func (s *stage) copy(c *instructions.CopyCommand) error {
	root := s.in.context
	if c.From != "" {
		var ok bool
		if root, ok = s.in.stages[c.From]; !ok {
			return fmt.Errorf("no folder is given for the stage %s", c.From)
		}
	}
	if len(c.SourcePaths) != 1 || len(c.SourceContents) != 0 || strings.HasSuffix(c.DestPath, "/") || c.Chown != "" || c.Chmod != "" {
		return fmt.Errorf("write one file and the name that it gets")
	}
	s.files = append(s.files, file{name: strings.TrimPrefix(path.Clean(c.DestPath), "/"), from: filepath.Join(root, c.SourcePaths[0])})
	return nil
}

func (s *stage) image() (v1.Image, error) {
	layer, err := s.layer()
	if err != nil {
		return nil, err
	}
	img := mutate.ConfigMediaType(mutate.MediaType(empty.Image, types.OCIManifestSchema1), types.OCIConfigJSON)
	img, err = mutate.Append(img, mutate.Addendum{Layer: layer, MediaType: types.OCILayer, History: v1.History{
		Created: v1.Time{Time: s.in.created}, CreatedBy: "deploy/image"}})
	if err != nil {
		return nil, err
	}
	cfg, err := img.ConfigFile()
	if err != nil {
		return nil, err
	}
	cfg = cfg.DeepCopy()
	cfg.Config, cfg.Created = s.config, v1.Time{Time: s.in.created}
	cfg.OS, cfg.Architecture, cfg.Variant = s.in.platform.OS, s.in.platform.Architecture, s.in.platform.Variant
	return mutate.ConfigFile(img, cfg)
}

// layer holds the files, owned by root and writable by nobody else, all of the same age.
func (s *stage) layer() (v1.Layer, error) {
	var buf bytes.Buffer
	w := tar.NewWriter(&buf)
	for _, f := range s.files {
		if err := s.add(w, f); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	open := func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(buf.Bytes())), nil }
	return tarball.LayerFromOpener(open, tarball.WithCompressionLevel(gzip.BestCompression), tarball.WithMediaType(types.OCILayer))
}

func (s *stage) add(w *tar.Writer, f file) error {
	info, err := os.Stat(f.from)
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%s is no file", f.from)
	}
	content, err := os.ReadFile(f.from)
	if err != nil {
		return err
	}
	mode := int64(0o644)
	if info.Mode()&0o100 != 0 {
		mode = 0o755
	}
	header := &tar.Header{Typeflag: tar.TypeReg, Name: f.name, Size: int64(len(content)), Mode: mode, ModTime: s.in.created, Format: tar.FormatPAX}
	if err := w.WriteHeader(header); err != nil {
		return err
	}
	_, err = w.Write(content)
	return err
}
