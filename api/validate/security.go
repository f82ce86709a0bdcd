package validate

import (
	"errors"
	"fmt"

	"commensal/internal/auth"
)

// keyScheme is what the contract calls the key that a request carries.
const keyScheme = "bearerKey"

// scopesOf reads who may call an operation from its own security: nobody in particular
// (an empty list), or the holder of a key with one of the scopes. An operation that says
// nothing is refused, so that none is open by an oversight.
func scopesOf(op map[string]any) ([]auth.Scope, error) {
	rules, said := op["security"].([]any)
	if !said {
		return nil, errors.New("it does not say who may call it: give it security")
	}
	var scopes []auth.Scope
	for _, rule := range rules {
		if len(AsMap(rule)) == 0 { // a key may come along: what needs it is for the handler to say
			return nil, nil
		}
		list := AsList(AsMap(rule)[keyScheme])
		if len(list) != 1 {
			return nil, errors.New("each alternative of its security names one scope of a key")
		}
		name, _ := list[0].(string)
		if !auth.Scope(name).Known() {
			return nil, fmt.Errorf("there is no scope %q", name)
		}
		scopes = append(scopes, auth.Scope(name))
	}
	return scopes, nil
}
