package manifests

import (
	"slices"
	"testing"

	"github.com/compose-spec/compose-go/v2/cli"
	"github.com/compose-spec/compose-go/v2/types"
)

// composed loads the compose file as compose does, with the variables that it asks for.
func composed(t *testing.T, variables ...string) (*types.Project, error) {
	t.Helper()
	options, err := cli.NewProjectOptions([]string{"../compose.yaml"}, cli.WithEnv(variables))
	if err != nil {
		t.Fatal(err)
	}
	return options.LoadProject(t.Context())
}

func TestTheComposeFileAsksForAPassword(t *testing.T) {
	if _, err := composed(t); err == nil {
		t.Error("the database gets an empty password")
	}
}

func TestTwoReplicasStandBehindTheProxyAndTheDatabaseBehindThem(t *testing.T) {
	p, err := composed(t, "POSTGRES_PASSWORD=x", "RELEASE=v1")
	if err != nil {
		t.Fatal(err)
	}
	service, proxy, database, migrate := p.Services["commensal"], p.Services["proxy"], p.Services["database"], p.Services["migrate"]
	if service.Deploy == nil || service.Deploy.Replicas == nil || *service.Deploy.Replicas != 2 || len(service.Ports) != 0 || service.Image != "commensal:v1" || migrate.Image != service.Image {
		t.Errorf("the service is %+v", service)
	}
	if len(proxy.Ports) != 1 || proxy.Ports[0].HostIP != "127.0.0.1" || len(database.Ports) != 0 || len(migrate.Ports) != 0 {
		t.Error("something else than the proxy is reached from outside, or the proxy from other machines")
	}
	for name, s := range map[string]types.ServiceConfig{"commensal": service, "migrate": migrate, "proxy": proxy} {
		if !s.ReadOnly || !slices.Contains(s.CapDrop, "ALL") || !slices.Contains(s.SecurityOpt, "no-new-privileges:true") || s.Privileged {
			t.Errorf("%s has more rights than it needs", name)
		}
	}
	for name, s := range p.Services {
		if s.Deploy == nil || s.Deploy.Resources.Limits == nil || s.Deploy.Resources.Limits.MemoryBytes < 128<<20 {
			t.Errorf("the memory of %s is not bounded, or to less than it needs", name)
		}
	}
	if _, shared := proxy.Networks["back"]; shared || !p.Networks["back"].Internal {
		t.Error("the proxy reaches the database, or the database the world")
	}
	if of := service.DependsOn; of["migrate"].Condition != types.ServiceConditionCompletedSuccessfully || of["database"].Condition != types.ServiceConditionHealthy ||
		proxy.DependsOn["commensal"].Condition != types.ServiceConditionHealthy {
		t.Error("something starts before what it needs")
	}
}
