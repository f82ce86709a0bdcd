package auth

import "github.com/google/uuid"

// inquiry is one or more questions about a key that are under way. Forgetting the key voids
// them: an answer that was on its way while the key was revoked is used by whoever asked
// before that, and by nobody after.
type inquiry struct {
	asking int
	void   bool
}

// begin joins the inquiry about a key, and makes one where there is none.
func (v *Verifier) begin(id string) *inquiry {
	v.mu.Lock()
	defer v.mu.Unlock()
	q := v.inquiries[id]
	if q == nil {
		q = &inquiry{}
		v.inquiries[id] = q
	}
	q.asking++
	return q
}

// end leaves the inquiry. v.mu is held.
func (v *Verifier) end(id string, q *inquiry) {
	q.asking--
	if q.asking == 0 && v.inquiries[id] == q {
		delete(v.inquiries, id)
	}
}

// Forget makes the next Verify of a key ask the source, whatever lookups of it are under
// way. Whoever revokes a key forgets it when that is committed: every request that begins
// after Forget has returned is refused.
func (v *Verifier) Forget(id string) {
	v.mu.Lock()
	defer v.mu.Unlock()
	delete(v.known, id)
	if q := v.inquiries[id]; q != nil {
		q.void = true
		delete(v.inquiries, id) // those who ask from now on do not share it
	}
}

// ForgetOrganization is [Verifier.Forget] for all keys of an organization that are remembered, and for every lookup under
// way: what is known of the organization itself has changed.
func (v *Verifier) ForgetOrganization(organization uuid.UUID) {
	v.mu.Lock()
	defer v.mu.Unlock()
	for id, m := range v.known {
		if m.principal.Organization == organization {
			delete(v.known, id)
		}
	}
	for id, q := range v.inquiries {
		q.void = true
		delete(v.inquiries, id)
	}
}
