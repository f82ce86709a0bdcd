// Command elsewhere reports whether a program compiles for systems that it is not built on here: it checks the types of all
// that the program is made of, from source, and makes no code, which takes a tenth of a build.
//
//	go run ./elsewhere -in ../.. ./cmd/commensal windows/amd64 darwin/arm64
package main

import (
	"flag"
	"fmt"
	"os"
	"strings"

	"golang.org/x/tools/go/packages"
)

func main() {
	in := flag.String("in", ".", "the folder of the module")
	flag.Parse()
	if flag.NArg() < 2 {
		fmt.Fprintln(os.Stderr, "elsewhere: name a package, and the systems as os/arch")
		os.Exit(2)
	}
	sound := true
	for _, target := range flag.Args()[1:] {
		faults, err := check(*in, flag.Arg(0), target)
		if err != nil {
			fmt.Fprintln(os.Stderr, "elsewhere:", err)
			os.Exit(2)
		}
		for _, f := range faults {
			fmt.Fprintf(os.Stderr, "%s: %s\n", target, f)
			sound = false
		}
	}
	if !sound {
		os.Exit(1)
	}
}

// check lists what keeps a package from compiling for a system, without cgo.
func check(dir, pattern, target string) (faults []string, err error) {
	system, arch, ok := strings.Cut(target, "/")
	if !ok {
		return nil, fmt.Errorf("%q is not os/arch", target)
	}
	loaded, err := packages.Load(&packages.Config{
		Mode: packages.NeedName | packages.NeedImports | packages.NeedDeps | packages.NeedCompiledGoFiles | packages.NeedSyntax | packages.NeedTypes |
			packages.NeedTypesSizes | packages.NeedTypesInfo | packages.NeedModule,
		Dir: dir,
		Env: append(os.Environ(), "CGO_ENABLED=0", "GOOS="+system, "GOARCH="+arch),
	}, pattern)
	if err != nil {
		return nil, err
	}
	packages.Visit(loaded, nil, func(p *packages.Package) {
		for _, e := range p.Errors {
			faults = append(faults, e.Error())
		}
	})
	return faults, nil
}
