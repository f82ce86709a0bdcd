package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"

	"commensal/api"
	"commensal/api/gen"
	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

// outcome is what the API answered to a list.
type outcome struct {
	*judged
	check   gen.Check
	problem *gen.Problem // set where the list was refused
}

// decision is the decision, or "refused".
func (o *outcome) decision() string {
	if o.problem != nil {
		return "refused"
	}
	return string(o.check.Decision)
}

func (o *outcome) inside() bool { return o.accepts(o.decision()) }

// askAll asks about every list.
func askAll(cases []judged) ([]outcome, error) {
	handler, err := skin()
	if err != nil {
		return nil, err
	}
	out := make([]outcome, len(cases))
	for i := range cases {
		out[i].judged = &cases[i]
		if err := out[i].ask(handler); err != nil {
			return nil, fmt.Errorf("%s: %w", cases[i].ID, err)
		}
	}
	return out, nil
}

// skin is the API over the built-in catalogue, without network or database.
func skin() (http.Handler, error) {
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		return nil, err
	}
	snapshot, err := species.NewSnapshot(0, c)
	if err != nil {
		return nil, err
	}
	model, err := conflict.Default()
	if err != nil {
		return nil, err
	}
	book := conflict.NewBook(model, snapshot)
	server, err := api.New(api.Config{Book: func() *conflict.Book { return book }, Version: "lists", CacheBytes: -1})
	if err != nil {
		return nil, err
	}
	return server.Handler(), nil
}

func (o *outcome) ask(handler http.Handler) error {
	body, err := o.body()
	if err != nil {
		return err
	}
	request := httptest.NewRequest(http.MethodPost, "/v1/checks", bytes.NewReader(body))
	request.Header.Set("Content-Type", "application/json")
	answer := httptest.NewRecorder()
	handler.ServeHTTP(answer, request)
	switch {
	case answer.Code == http.StatusOK:
		return json.Unmarshal(answer.Body.Bytes(), &o.check)
	case answer.Code >= http.StatusInternalServerError || answer.Code == http.StatusTooManyRequests:
		return fmt.Errorf("status %d: %s", answer.Code, answer.Body)
	}
	o.problem = &gen.Problem{}
	return json.Unmarshal(answer.Body.Bytes(), o.problem)
}
