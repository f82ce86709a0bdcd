//go:build linux

package torture

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"strconv"
	"strings"
	"sync/atomic"
)

// writer changes tanks of its own and remembers what was acknowledged. What it was not told
// it finds out: a POST by sending it again with its Idempotency-Key, any other change by
// looking.
type writer struct {
	*client
	name  string
	rng   *rand.Rand
	done  *atomic.Int64 // changes acknowledged to all writers
	tanks []*tank
	posts []post
	count int // of the things it has named

	unknown, found int    // changes not acknowledged at first, and those of them that had been carried out
	put            string // the last answer by which a change was put off
}

// do asks once, and notes an answer that puts it off.
func (w *writer) do(method, path, body string, headers ...string) answer {
	a := w.client.do(method, path, body, headers...)
	if a.later() {
		w.put = fmt.Sprintf("%s %s: %d after %s: %s (%v)", method, path, a.status, a.took, a.body, a.err)
	}
	return a
}

// tank is what the service must have of a tank.
type tank struct {
	path, label, etag   string
	residents, readings map[string]bool // by id
}

// post is a POST that was acknowledged, with its first answer.
type post struct {
	path, key, body string
	first           answer
}

func newWriter(c *client, number, seed int, done *atomic.Int64) *writer {
	return &writer{client: c, name: fmt.Sprintf("till-%d", number), rng: rand.New(rand.NewPCG(uint64(seed), uint64(number))), done: done}
}

// write makes changes until all writers together have made enough.
func (w *writer) write(enough int64) {
	for w.done.Load() < enough && !w.t.Failed() {
		w.step()
		w.done.Add(1)
	}
}

// step makes one change.
func (w *writer) step() {
	draw := w.rng.IntN(100)
	if len(w.tanks) == 0 || draw < 20 {
		w.makeTank()
		return
	}
	i := w.rng.IntN(len(w.tanks))
	k := w.tanks[i]
	switch {
	case draw < 40:
		w.add(k.path+"/residents", fmt.Sprintf(`{"species":"neon tetra","count":%d}`, 6+w.rng.IntN(20)), k.residents)
	case draw < 65:
		w.add(k.path+"/readings", fmt.Sprintf(`{"ph":7.%d}`, w.rng.IntN(10)), k.readings)
	case draw < 80:
		w.rename(k, http.MethodPatch, `{"label":%q}`, "application/merge-patch+json")
	case draw < 88:
		w.rename(k, http.MethodPut, `{"label":%q,"tank":{"volume_l":120}}`, "application/json")
	case draw < 94:
		w.removeResident(k)
	default:
		w.remove(k.path, func() { w.tanks = append(w.tanks[:i], w.tanks[i+1:]...) })
	}
}

// newName is a name that nothing had before.
func (w *writer) newName() string {
	w.count++
	return w.name + "-" + strconv.Itoa(w.count)
}

// post sends a POST until it is acknowledged.
func (w *writer) post(path, body string) answer {
	p := post{path: path, body: body, key: w.newName()}
	var unknown int
	p.first, unknown = w.untilKnown(func() answer { return w.repeat(p) })
	if p.first.status != http.StatusCreated {
		w.t.Errorf("POST %s: %d %v %s", path, p.first.status, p.first.err, p.first.body)
	}
	w.judge(unknown, p.first.header.Get("Idempotent-Replayed") == "true")
	w.posts = append(w.posts, p)
	return p.first
}

func (w *writer) repeat(p post) answer {
	return w.do(http.MethodPost, p.path, p.body, "Idempotency-Key", p.key)
}

// judge counts a change whose first answer said nothing; carriedOut tells what was found.
func (w *writer) judge(unknown int, carriedOut bool) {
	if unknown == 0 {
		if carriedOut {
			w.t.Error("a first request was answered as a repeat")
		}
		return
	}
	w.unknown++
	if carriedOut {
		w.found++
	}
}

func (w *writer) makeTank() {
	label := w.newName()
	a := w.post("/v1/tanks", fmt.Sprintf(`{"label":%q,"tank":{"size":"120x50x50cm"}}`, label))
	w.tanks = append(w.tanks, &tank{path: a.header.Get("Location"), label: label, etag: a.header.Get("ETag"), residents: map[string]bool{}, readings: map[string]bool{}})
}

func (w *writer) add(path, body string, to map[string]bool) {
	to[decoded[thing](w.t, w.post(path, body)).ID] = true
}

// rename gives a tank a new label. It must gain exactly one version, however often it is asked.
func (w *writer) rename(k *tank, method, body, media string) {
	label, unknown := w.newName(), 0
	for !w.t.Failed() {
		a := w.do(method, k.path, fmt.Sprintf(body, label), "If-Match", k.etag, "Content-Type", media)
		switch {
		case a.status == http.StatusOK:
			w.judge(unknown, false)
			w.renamed(k, label, a)
			return
		case a.later():
			unknown++
		case a.status == http.StatusPreconditionFailed && unknown > 0: // it was carried out after we looked
		default:
			w.t.Errorf("%s %s: %d %s", method, k.path, a.status, a.body)
			return
		}
		now, _ := w.untilKnown(func() answer { return w.get(k.path) })
		if now.header.Get("ETag") != k.etag {
			w.judge(unknown, true)
			w.renamed(k, label, now)
			return
		}
	}
}

func (w *writer) renamed(k *tank, label string, now answer) {
	if want := nextVersion(k.etag); now.status != http.StatusOK || now.header.Get("ETag") != want || decoded[thing](w.t, now).Label != label {
		w.t.Errorf("%s: %d, version %s, want %s with the label %s: %s", k.path, now.status, now.header.Get("ETag"), want, label, now.body)
	}
	k.label, k.etag = label, now.header.Get("ETag")
}

// nextVersion is the entity tag of the version after that of etag.
func nextVersion(etag string) string {
	n, _ := strconv.Atoi(strings.Trim(etag, `"`))
	return strconv.Quote(strconv.Itoa(n + 1))
}

func (w *writer) removeResident(k *tank) {
	for id := range k.residents { // one of them
		w.remove(k.path+"/residents/"+id, func() { delete(k.residents, id) })
		return
	}
}

// remove deletes a thing and then takes it out of the model.
func (w *writer) remove(path string, forget func()) {
	a, unknown := w.untilKnown(func() answer { return w.do(http.MethodDelete, path, "", "If-Match", "*") })
	gone := a.status == http.StatusNotFound && unknown > 0
	if a.status != http.StatusNoContent && !gone {
		w.t.Errorf("DELETE %s: %d %s", path, a.status, a.body)
		return
	}
	w.judge(unknown, gone)
	forget()
}
