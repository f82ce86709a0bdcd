//go:build linux

package torture

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"time"
)

// etcd is a member of the three that keep who leads.
type etcd struct {
	*daemon
	name   string
	client string // host:port
}

// newEtcds starts three members. They need no disk to be sure: no machine is lost here.
func (h *ha) newEtcds() {
	h.t.Helper()
	var peers [len(h.etcds)]string
	var cluster []string
	for i := range peers {
		peers[i] = "http://" + host + ":" + freePort(h.t)
		cluster = append(cluster, fmt.Sprintf("etcd%d=%s", i, peers[i]))
	}
	for i := range h.etcds {
		name, client := fmt.Sprint("etcd", i), host+":"+freePort(h.t)
		h.etcds[i] = &etcd{name: name, client: client, daemon: h.daemon(name, "etcd", "--name", name, "--data-dir", h.dir+"/"+name,
			"--listen-client-urls", "http://"+client, "--advertise-client-urls", "http://"+client, "--listen-peer-urls", peers[i], "--initial-advertise-peer-urls", peers[i],
			"--initial-cluster", strings.Join(cluster, ","), "--unsafe-no-fsync")}
	}
	eventually(h.t, "etcd has a leader", func() bool { return h.etcdLeader() != nil })
}

// status is what a member says of itself and of who leads; ok is false where it does not answer.
func (e *etcd) status() (self, leader string, ok bool) {
	c := http.Client{Timeout: time.Second}
	response, err := c.Post("http://"+e.client+"/v3/maintenance/status", "application/json", strings.NewReader("{}"))
	if err != nil {
		return "", "", false
	}
	defer response.Body.Close()
	var said struct {
		Header struct {
			Member string `json:"member_id"`
		}
		Leader string
	}
	err = json.NewDecoder(response.Body).Decode(&said)
	return said.Header.Member, said.Leader, err == nil && said.Leader != "" && said.Leader != "0"
}

// etcdLeader is the member that leads; nil where none does.
func (h *ha) etcdLeader() *etcd {
	for _, e := range h.etcds {
		if self, leader, ok := e.status(); ok && self == leader {
			return e
		}
	}
	return nil
}
