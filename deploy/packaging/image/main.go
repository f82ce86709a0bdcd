// Command image writes a container image without a container engine and without a registry: the last
// stage of the Dockerfile, filled with files that were built before.
//
//	go run ./image -dockerfile ../../Dockerfile -context ../.. -stage build=../../bin/image/root \
//		-arg RELEASE=v1 -oci ../../bin/image/oci -archive ../../bin/image/commensal.tar -tag commensal:v1
//
// The same files and arguments give the same bytes and so the same digest, on every machine. It prints the
// digest of the manifest and the size of what a registry stores, in bytes.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/google/go-containerregistry/pkg/name"
	v1 "github.com/google/go-containerregistry/pkg/v1"
	"github.com/google/go-containerregistry/pkg/v1/empty"
	"github.com/google/go-containerregistry/pkg/v1/layout"
	"github.com/google/go-containerregistry/pkg/v1/mutate"
	"github.com/google/go-containerregistry/pkg/v1/tarball"
)

// pairs are NAME=value flags that may be given more than once.
type pairs map[string]string

func (p pairs) String() string { return fmt.Sprint(map[string]string(p)) }

func (p pairs) Set(text string) error {
	name, value, ok := strings.Cut(text, "=")
	if !ok || name == "" {
		return fmt.Errorf("%q is not NAME=value", text)
	}
	p[name] = value
	return nil
}

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "image:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	in := inputs{stages: pairs{}, args: pairs{}}
	fs := flag.NewFlagSet("image", flag.ContinueOnError)
	dockerfile := fs.String("dockerfile", "Dockerfile", "its last stage is the image")
	fs.StringVar(&in.context, "context", ".", "folder that COPY takes from")
	fs.Var(in.stages, "stage", "NAME=folder: what an earlier stage made, as its root; may be repeated")
	fs.Var(in.args, "arg", "NAME=value of an ARG; may be repeated")
	platform := fs.String("platform", "linux/amd64", "operating system and architecture of the files")
	created := fs.Int64("created", 0, "when the image says that it was made, in seconds since 1970 (UTC)")
	oci := fs.String("oci", "", "folder for an OCI image layout; made anew")
	archive := fs.String("archive", "", "file that docker load reads")
	tag := fs.String("tag", "commensal:latest", "name of the image in the archive")
	if err := fs.Parse(args); err != nil {
		return err
	}
	text, err := os.ReadFile(*dockerfile)
	if err != nil {
		return err
	}
	if in.platform, err = v1.ParsePlatform(*platform); err != nil {
		return err
	}
	in.created = time.Unix(*created, 0).UTC()
	img, err := build(text, in)
	if err != nil {
		return err
	}
	if err := errors.Join(writeLayout(*oci, img, in.platform), writeArchive(*archive, *tag, img)); err != nil {
		return err
	}
	return report(img)
}

// writeLayout writes an OCI image layout, which crane, skopeo, podman and containerd read.
func writeLayout(dir string, img v1.Image, platform *v1.Platform) error {
	if dir == "" {
		return nil
	}
	if err := os.RemoveAll(dir); err != nil {
		return err
	}
	index := mutate.AppendManifests(empty.Index, mutate.IndexAddendum{Add: img, Descriptor: v1.Descriptor{Platform: platform}})
	_, err := layout.Write(dir, index)
	return err
}

func writeArchive(file, tag string, img v1.Image) error {
	if file == "" {
		return nil
	}
	ref, err := name.NewTag(tag)
	if err != nil {
		return err
	}
	return tarball.WriteToFile(file, ref, img)
}

// report prints the digest, and the bytes that a registry stores and a client pulls.
func report(img v1.Image) error {
	digest, err := img.Digest()
	if err != nil {
		return err
	}
	bytes, err := stored(img)
	if err != nil {
		return err
	}
	fmt.Printf("%s %d\n", digest, bytes)
	return nil
}

// stored is the size of an image as a registry has it: manifest, configuration and compressed layers.
func stored(img v1.Image) (int64, error) {
	manifest, err := img.Manifest()
	if err != nil {
		return 0, err
	}
	size, err := img.Size()
	if err != nil {
		return 0, err
	}
	size += manifest.Config.Size
	for _, layer := range manifest.Layers {
		size += layer.Size
	}
	return size, nil
}
