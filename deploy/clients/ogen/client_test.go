// Package ogen tries the contract with a client that ogen makes of it: that the client compiles, and that a short run against
// the service comes out as the contract says. deploy/clients/run.sh makes the client, and starts the service.
package ogen

import (
	"context"
	"errors"
	"net/http"
	"os"
	"testing"

	"commensal/deploy/clients/ogen/client"

	"github.com/ogen-go/ogen/ogenerrors"
)

// bearer is a key, or none.
type bearer string

func (b bearer) BearerKey(context.Context, client.OperationName) (client.BearerKey, error) {
	if b == "" {
		return client.BearerKey{}, ogenerrors.ErrSkipClientSecurity
	}
	return client.BearerKey{Token: string(b)}, nil
}

func connect(t *testing.T, key string) *client.Client {
	t.Helper()
	c, err := client.NewClient(os.Getenv("COMMENSAL_URL"), bearer(key))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestLookups(t *testing.T) {
	c := connect(t, "")
	answer, err := c.ExplainPairing(t.Context(), client.ExplainPairingParams{First: "oscar", Second: "neon tetra"})
	if err != nil {
		t.Fatal(err)
	}
	if p, ok := answer.(*client.PairingHeaders); !ok || p.Response.Level != client.LevelSevere || p.Response.Species[0].ID != "astronotus-ocellatus" || len(p.Response.Factors) != 7 || p.ETag == "" {
		t.Errorf("an oscar and a neon tetra: %+v", answer)
	}
	answer, err = c.ExplainPairing(t.Context(), client.ExplainPairingParams{First: "oscarr", Second: "neon tetra"})
	if p, ok := answer.(*client.NotFoundHeaders); err != nil || !ok || len(p.Response.Errors[0].Candidates) == 0 {
		t.Errorf("a misspelt name: %v, %+v", err, answer)
	}
	check, err := c.CheckList(t.Context(), &client.CheckRequest{
		Residents: []client.LineInput{{Species: client.NewOptSpeciesName("guppy"), Count: client.NewOptInt(6), LengthCm: client.NewOptQuantity(client.NewStringQuantity("1.2in"))}},
		Incoming:  []client.LineInput{{Species: client.NewOptSpeciesName("oscar")}},
	}, client.CheckListParams{})
	if err != nil {
		t.Fatal(err)
	}
	if judged, ok := check.(*client.CheckAnswerHeaders); !ok || !judged.Response.IsCheck() || judged.Response.Check.Decision != client.DecisionHold {
		t.Errorf("guppies and an oscar: %+v", check)
	}
	_, err = c.CheckList(t.Context(), &client.CheckRequest{Residents: []client.LineInput{}}, client.CheckListParams{})
	if problem, ok := errors.AsType[*client.FailureStatusCodeWithHeaders](err); !ok || problem.Response.Type != "/problems/impossible-value" {
		t.Errorf("an empty list: %v", err)
	}
}

func TestStoredTanks(t *testing.T) {
	_, err := connect(t, "").CreateTank(t.Context(), &client.NewTank{}, client.CreateTankParams{})
	if err == nil {
		t.Error("a tank was stored without a key")
	}
	c := connect(t, os.Getenv("COMMENSAL_KEY"))
	made, err := c.CreateTank(t.Context(), &client.NewTank{Label: client.NewOptLabel("Made by a generated client"), Residents: []client.LineInput{{Species: client.NewOptSpeciesName("guppy")}}}, client.CreateTankParams{})
	if err != nil {
		t.Fatal(err)
	}
	tank, ok := made.(*client.TankHeaders)
	if !ok {
		t.Fatalf("%+v", made)
	}
	id := tank.Response.ID
	if read, err := c.GetTank(t.Context(), client.GetTankParams{Tank: id}); err != nil {
		t.Error(err)
	} else if r, ok := read.(*client.GetTankOKHeaders); !ok || r.Response.Label.Value != "Made by a generated client" {
		t.Errorf("read: %+v", read)
	}
	if _, err := c.DeleteTank(t.Context(), client.DeleteTankParams{Tank: id, IfMatch: client.NewOptString("*")}); err != nil {
		t.Errorf("deleted: %v", err)
	}
	if none, err := c.GetTank(t.Context(), client.GetTankParams{Tank: id}); err != nil {
		t.Error(err)
	} else if problem, ok := none.(*client.NoSuchThingHeaders); !ok || problem.Response.Status != http.StatusNotFound {
		t.Errorf("read again: %+v", none)
	}
}
