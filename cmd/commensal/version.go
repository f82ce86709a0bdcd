package main

import (
	"fmt"
	"runtime/debug"

	"commensal/internal/conflict"
)

// release is the version of the program; the Makefile sets it with -ldflags.
var release = ""

// programVersion is the release, else what the build knows of its origin.
func programVersion() string {
	if release != "" {
		return release
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "dev"
}

// version is the line that --version prints: the program, and the model whose
// version stands in every answer.
func version() string {
	model, err := conflict.Default()
	if err != nil {
		return "commensal " + programVersion()
	}
	return fmt.Sprintf("commensal %s (model %s)", programVersion(), model.Version())
}
