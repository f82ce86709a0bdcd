package dbtest

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"net/url"
	"os"
	"strings"
	"time"

	"github.com/cenkalti/backoff/v5"
	"github.com/jackc/pgx/v5"
	"github.com/moby/moby/api/types/container"
	"github.com/moby/moby/api/types/network"
	"github.com/testcontainers/testcontainers-go"
)

// defaultImage is the official image.
const defaultImage = "postgres:16-alpine"

// containerPassword guards a server that listens on a loopback port for the
// length of a test run.
const containerPassword = "commensal-test"

const postgresPort = "5432/tcp"

// fromContainer runs a server in a container with its data in memory.
func fromContainer(ctx context.Context) (provided, error) {
	if err := dockerAnswers(ctx); err != nil {
		return provided{}, fmt.Errorf("%w: no Docker engine answers: %w", errNotHere, err)
	}
	image := cmp.Or(os.Getenv(imageVariable), defaultImage)
	ctr, err := testcontainers.Run(ctx, image,
		testcontainers.WithEnv(map[string]string{"POSTGRES_USER": "commensal", "POSTGRES_PASSWORD": containerPassword, "POSTGRES_DB": "commensal"}),
		testcontainers.WithExposedPorts(postgresPort),
		testcontainers.WithHostConfigModifier(publish),
		testcontainers.WithTmpfs(map[string]string{"/var/lib/postgresql/data": "rw"}),
		testcontainers.WithCmd("postgres", "-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off",
			"-c", "autovacuum=off", "-c", "max_connections="+manyConnections),
	)
	stop := func(ctx context.Context) error {
		return testcontainers.TerminateContainer(ctr, testcontainers.StopContext(ctx), testcontainers.StopTimeout(0))
	}
	if err != nil {
		err = fmt.Errorf("image %s (%s names another; deploy/test-image/build.sh makes one without a registry): %w", image, imageVariable, err)
		return provided{}, errors.Join(err, stop(context.WithoutCancel(ctx)))
	}
	dsn, err := await(ctx, ctr)
	if err != nil {
		return provided{}, errors.Join(err, stop(context.WithoutCancel(ctx)))
	}
	return provided{dsn: dsn, stop: stop}, nil
}

// publish opens the port on the loopback interface alone, unless the engine is on
// another machine.
func publish(config *container.HostConfig) {
	if host := os.Getenv("DOCKER_HOST"); host != "" && !strings.HasPrefix(host, "unix:") {
		return
	}
	config.PortBindings = network.PortMap{network.MustParsePort(postgresPort): {{HostIP: netip.AddrFrom4([4]byte{127, 0, 0, 1})}}}
}

func dockerAnswers(ctx context.Context) (err error) {
	// The library panics where it finds no way to an engine at all.
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
	}()
	if err := hostAnswers(ctx, os.Getenv("DOCKER_HOST")); err != nil {
		return err
	}
	provider, err := testcontainers.NewDockerProvider()
	if err != nil {
		return err
	}
	defer provider.Close()
	return provider.Health(ctx)
}

// hostAnswers dials the engine that DOCKER_HOST names. The library would quietly
// pass on to another one if it did not answer.
func hostAnswers(ctx context.Context, host string) error {
	u, err := url.Parse(host)
	if err != nil {
		return err
	}
	network, address := u.Scheme, u.Host
	switch u.Scheme {
	case "unix":
		address = u.Path
	case "tcp":
	default: // not set, or by ssh: the library's business
		return nil
	}
	dialer := net.Dialer{Timeout: 5 * time.Second}
	conn, err := dialer.DialContext(ctx, network, address)
	if err != nil {
		return fmt.Errorf("DOCKER_HOST: %w", err)
	}
	return conn.Close()
}

// addresses are where the server may be reached: on loopback, at the engine's
// host, or, from a container beside it, at its own address.
func addresses(ctx context.Context, ctr testcontainers.Container) ([]string, error) {
	port, err := ctr.MappedPort(ctx, postgresPort)
	if err != nil {
		return nil, err
	}
	host, err := ctr.Host(ctx)
	if err != nil {
		return nil, err
	}
	list := []string{net.JoinHostPort("127.0.0.1", port.Port()), net.JoinHostPort(host, port.Port())}
	if ip, err := ctr.ContainerIP(ctx); err == nil && ip != "" {
		list = append(list, net.JoinHostPort(ip, "5432"))
	}
	return list, nil
}

// await polls until the server answers at one of its addresses and returns its
// connection string. The official image first runs a server without a port to
// make its database, so an answer there is final, whereas its readiness line
// appears twice.
func await(ctx context.Context, ctr testcontainers.Container) (string, error) {
	ctx, cancel := context.WithTimeout(ctx, time.Minute)
	defer cancel()
	hosts, err := addresses(ctx, ctr)
	if err != nil {
		return "", err
	}
	var last error
	dsn, err := backoff.Retry(ctx, func() (string, error) {
		var failures []error
		for _, host := range hosts {
			dsn, err := dial(ctx, host)
			if err == nil {
				return dsn, nil
			}
			failures = append(failures, err)
		}
		last = errors.Join(failures...)
		return "", last
	}, backoff.WithBackOff(backoff.NewConstantBackOff(50*time.Millisecond)), backoff.WithMaxElapsedTime(0))
	if err != nil {
		return "", fmt.Errorf("the server in the container does not answer: %w", last)
	}
	return dsn, nil
}

func dial(ctx context.Context, host string) (dsn string, err error) {
	u := url.URL{Scheme: "postgres", User: url.UserPassword("commensal", containerPassword), Host: host, Path: "/commensal", RawQuery: "sslmode=disable"}
	ctx, cancel := context.WithTimeout(ctx, 2*time.Second)
	defer cancel()
	conn, err := pgx.Connect(ctx, u.String())
	if err != nil {
		return "", err
	}
	return u.String(), conn.Close(ctx)
}
