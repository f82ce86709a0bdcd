package service

import (
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// requirePrometheus is the variable that makes a missing prometheus a failure, as in CI.
const requirePrometheus = "COMMENSAL_TEST_PROMETHEUS"

func prometheusProgram(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv(requirePrometheus) != "" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed (Debian package prometheus); CI installs it", name)
	}
	return path
}

const rulesFolder = "../../deploy/prometheus"

func TestTheRulesAreSoundAndFireForWhatTheyAreMeantFor(t *testing.T) {
	t.Parallel()
	promtool := prometheusProgram(t, "promtool")
	for _, args := range [][]string{{"check", "config", "prometheus.yml"}, {"test", "rules", "rules_test.yaml"}} {
		cmd := exec.CommandContext(t.Context(), promtool, args...)
		cmd.Dir = rulesFolder
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Errorf("promtool %v: %v\n%s", args, err, out)
		}
	}
}

// Each alert has its unit test and its place in the runbook.
func TestEveryAlertIsTestedAndHasARunbook(t *testing.T) {
	t.Parallel()
	read := func(name string) string {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	rules, tests, runbook := read(rulesFolder+"/rules.yaml"), read(rulesFolder+"/rules_test.yaml"), read("../../deploy/README.md")
	alerts := map[string]bool{}
	for line := range strings.Lines(rules) {
		if _, name, ok := strings.Cut(strings.TrimSpace(line), "- alert: "); ok {
			alerts[name] = true
		}
	}
	if len(alerts) < 9 {
		t.Errorf("only %d alerts are found", len(alerts))
	}
	for name := range alerts {
		fires := false // somewhere it is expected, and not only expected to be silent
		for _, after := range strings.Split(tests, "alertname: "+name+"\n")[1:] {
			fires = fires || !strings.HasPrefix(strings.TrimSpace(after), "exp_alerts: []")
		}
		if !fires {
			t.Errorf("no unit test lets %s fire", name)
		}
		if !strings.Contains(runbook, "\n#### "+name+"\n") {
			t.Errorf("deploy/README.md says nothing of %s", name)
		}
		if !strings.Contains(rules, "runbook: deploy/README.md#"+strings.ToLower(name)) {
			t.Errorf("%s does not lead to its place in the runbook", name)
		}
	}
}

// scraping starts a prometheus that scrapes a service every second, with the rules of deploy/.
func scraping(t *testing.T, metrics string) (base string) {
	t.Helper()
	program, dir := prometheusProgram(t, "prometheus"), t.TempDir()
	rules, err := filepath.Abs(rulesFolder + "/rules.yaml")
	if err != nil {
		t.Fatal(err)
	}
	config := fmt.Sprintf("global: {scrape_interval: 1s, evaluation_interval: 1s}\nrule_files: [%q]\nscrape_configs:\n- job_name: commensal\n  static_configs: [{targets: [%q]}]\n", rules, metrics)
	if err := os.WriteFile(dir+"/prometheus.yml", []byte(config), 0o600); err != nil {
		t.Fatal(err)
	}
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := free.Addr().String()
	if err := free.Close(); err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), program, "--config.file="+dir+"/prometheus.yml", "--storage.tsdb.path="+dir+"/data",
		"--web.listen-address="+address, "--enable-feature=exemplar-storage", "--log.level=warn")
	cmd.Stdout, cmd.Stderr = t.Output(), t.Output()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	return "http://" + address
}

// query asks prometheus and returns what it found, nil where it does not answer.
func query(base, path string, parameters url.Values) (found []json.RawMessage, said string) {
	response, err := http.Get(base + path + "?" + parameters.Encode())
	if err != nil {
		return nil, err.Error()
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	if err != nil {
		return nil, err.Error()
	}
	var answer struct {
		Status string
		Data   json.RawMessage
	}
	if json.Unmarshal(body, &answer) != nil || answer.Status != "success" {
		return nil, string(body)
	}
	var vector struct{ Result []json.RawMessage }
	if json.Unmarshal(answer.Data, &vector) == nil {
		return vector.Result, string(body)
	}
	_ = json.Unmarshal(answer.Data, &found)
	return found, string(body)
}
