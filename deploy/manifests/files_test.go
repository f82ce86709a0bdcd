package manifests

import (
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// program finds a program that judges files of its own. Where it is missing the test is left out with
// words, unless COMMENSAL_TEST_MANIFESTS says that it must be there, as in CI.
func program(t *testing.T, name string) string {
	t.Helper()
	found, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("COMMENSAL_TEST_MANIFESTS") != "" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed; CI installs it", name)
	}
	return found
}

// maxExposure is what systemd's own judgement of a unit, from 0 to 10, must stay below.
const maxExposure = 3.0

func exposure(t *testing.T, unit string) float64 {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), program(t, "systemd-analyze"), "security", "--offline=true", "--no-pager", unit).CombinedOutput()
	found := regexp.MustCompile(`Overall exposure level for \S+: ([0-9.]+)`).FindSubmatch(out)
	if found == nil {
		t.Fatalf("systemd-analyze: %v\n%s", err, out)
	}
	level, err := strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return level
}

func TestTheUnitIsHardened(t *testing.T) {
	if level := exposure(t, "../systemd/commensal.service"); level >= maxExposure {
		t.Errorf("the exposure is %.1f, %.1f or more", level, maxExposure)
	}
	text, err := os.ReadFile("../systemd/commensal.service")
	if err != nil {
		t.Fatal(err)
	}
	softer := t.TempDir() + "/commensal.service"
	plain := regexp.MustCompile(`(?m)^(Protect|Private|Restrict|SystemCall|Capability|NoNew|DynamicUser|User=).*\n`).ReplaceAll(text, nil)
	if err := os.WriteFile(softer, plain, 0o600); err != nil {
		t.Fatal(err)
	}
	if level := exposure(t, softer); level < maxExposure {
		t.Errorf("a unit without hardening has an exposure of %.1f: the test sees nothing", level)
	}
}

func TestSystemdKnowsEverySettingOfTheUnit(t *testing.T) {
	text, err := os.ReadFile("../systemd/commensal.service")
	if err != nil {
		t.Fatal(err)
	}
	complaints := func(unit string) string {
		path := t.TempDir() + "/commensal.service"
		// The program need not be installed here.
		if err := os.WriteFile(path, []byte(strings.Replace(unit, "/usr/local/bin/commensal", "/bin/true", 1)), 0o600); err != nil {
			t.Fatal(err)
		}
		out, _ := exec.CommandContext(t.Context(), program(t, "systemd-analyze"), "verify", "--man=no", path).CombinedOutput()
		return string(out)
	}
	if said := complaints(string(text)); strings.Contains(said, "commensal.service") {
		t.Error(said)
	}
	if said := complaints(strings.Replace(string(text), "ProtectHome=", "ProtectHouse=", 1)); !strings.Contains(said, "ProtectHouse") {
		t.Errorf("an unknown setting is not seen: %s", said)
	}
}

func TestHAProxyTakesItsFile(t *testing.T) {
	haproxy := program(t, "haproxy")
	if out, err := exec.CommandContext(t.Context(), haproxy, "-c", "-f", "../haproxy/haproxy.cfg").CombinedOutput(); err != nil || strings.Contains(string(out), "WARNING") {
		t.Errorf("%v\n%s", err, out)
	}
}
