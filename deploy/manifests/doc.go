// Package manifests holds what deploy/ describes for other programs against what those programs know: the
// Kubernetes manifests are rendered and decoded strictly into the published API types and held to a policy
// of what must never be missing; the compose file is loaded as compose loads it; HAProxy and systemd judge
// their files themselves.
package manifests
