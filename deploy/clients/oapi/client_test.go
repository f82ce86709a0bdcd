// Package oapi tries the contract with a client that oapi-codegen makes of it: that the client compiles, and that a short run
// against the service comes out as the contract says. deploy/clients/run.sh makes the client, and starts the service.
package oapi

import (
	"context"
	"net/http"
	"os"
	"testing"

	"commensal/deploy/clients/oapi/client"
)

func connect(t *testing.T, key string) *client.ClientWithResponses {
	t.Helper()
	c, err := client.NewClientWithResponses(os.Getenv("COMMENSAL_URL"), client.WithRequestEditorFn(func(_ context.Context, r *http.Request) error {
		if key != "" {
			r.Header.Set("Authorization", "Bearer "+key)
		}
		return nil
	}))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestLookups(t *testing.T) {
	c := connect(t, "")
	pairing, err := c.ExplainPairingWithResponse(t.Context(), "oscar", "neon tetra", &client.ExplainPairingParams{})
	if err != nil {
		t.Fatal(err)
	}
	if p := pairing.JSON200; p == nil || p.Level != client.Severe || p.Species[0].Id != "astronotus-ocellatus" || len(p.Factors) != 7 {
		t.Errorf("an oscar and a neon tetra: %s", pairing.Body)
	}
	if wrong, err := c.ExplainPairingWithResponse(t.Context(), "oscarr", "neon tetra", &client.ExplainPairingParams{}); err != nil || wrong.ApplicationproblemJSON404 == nil ||
		len(*(*wrong.ApplicationproblemJSON404.Errors)[0].Candidates) == 0 {
		t.Errorf("a misspelt name: %v, %+v", err, wrong)
	}
	length, count := client.Quantity{}, 6
	if err := length.FromQuantity1("1.2in"); err != nil {
		t.Fatal(err)
	}
	list := client.CheckRequest{Residents: &[]client.LineInput{{Species: named("guppy"), Count: &count, LengthCm: &length}}, Incoming: &[]client.LineInput{{Species: named("oscar")}}}
	check, err := c.CheckListWithResponse(t.Context(), &client.CheckListParams{}, list)
	if err != nil || check.JSON200 == nil {
		t.Fatalf("%v %s", err, check.Body)
	}
	if whole, err := check.JSON200.AsCheck(); err != nil || whole.Decision != client.Hold || len(whole.Pairings) == 0 {
		t.Errorf("guppies and an oscar: %v %s", err, check.Body)
	}
	brief := client.Brief
	list.Detail = &brief
	if check, err = c.CheckListWithResponse(t.Context(), &client.CheckListParams{}, list); err != nil || check.JSON200 == nil {
		t.Fatalf("%v %s", err, check.Body)
	}
	if short, err := check.JSON200.AsBriefCheck(); err != nil || short.Decision != client.Hold || len(short.Reasons) == 0 {
		t.Errorf("guppies and an oscar in brief: %v %s", err, check.Body)
	}
	none, err := c.CheckListWithResponse(t.Context(), &client.CheckListParams{}, client.CheckRequest{Residents: &[]client.LineInput{}})
	if err != nil || none.ApplicationproblemJSONDefault == nil || none.ApplicationproblemJSONDefault.Type != "/problems/impossible-value" {
		t.Errorf("an empty list: %v, %+v", err, none)
	}
}

func TestStoredTanks(t *testing.T) {
	label, any := "Made by a generated client", "*"
	if refused, err := connect(t, "").CreateTankWithResponse(t.Context(), &client.CreateTankParams{}, client.NewTank{}); err != nil || refused.StatusCode() != http.StatusUnauthorized ||
		refused.ApplicationproblemJSONDefault == nil {
		t.Errorf("without a key: %v, %+v", err, refused)
	}
	c := connect(t, os.Getenv("COMMENSAL_KEY"))
	made, err := c.CreateTankWithResponse(t.Context(), &client.CreateTankParams{}, client.NewTank{Label: &label, Residents: &[]client.LineInput{{Species: named("guppy")}}})
	if err != nil {
		t.Fatal(err)
	}
	if made.JSON201 == nil {
		t.Fatalf("%s", made.Body)
	}
	id := made.JSON201.Id
	if read, err := c.GetTankWithResponse(t.Context(), id); err != nil || read.JSON200 == nil || *read.JSON200.Label != label {
		t.Errorf("read: %v, %+v", err, read)
	}
	if gone, err := c.DeleteTankWithResponse(t.Context(), id, &client.DeleteTankParams{IfMatch: &any}); err != nil || gone.StatusCode() != http.StatusNoContent {
		t.Errorf("deleted: %v, %+v", err, gone)
	}
	if none, err := c.GetTankWithResponse(t.Context(), id); err != nil || none.ApplicationproblemJSON404 == nil {
		t.Errorf("read again: %v, %+v", err, none)
	}
}

// named is the name of a species, as a line has it.
func named(name string) *string { return &name }
