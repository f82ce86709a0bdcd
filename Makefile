# The commands of the house. make help lists them.

GO ?= go
BIN := bin/commensal
PREFIX ?= /usr/local
RELEASE ?= $(shell git describe --tags --always --dirty 2>/dev/null)
LDFLAGS := -s -w -X main.release=$(RELEASE)
# Calibration names its fit after the day, which becomes part of the model version.
FIT ?= $(shell date -u +%Y-%m-%d)
FUZZRUNS ?= 10000x
# What make mutate looks at; MUTATEFLAGS=-comparisons=false and the like: go run ./cmd/mutate -h.
MUTATE ?= ./internal/conflict ./internal/stocking/...
STATICCHECK := honnef.co/go/tools/cmd/staticcheck@v0.8.2
GOVULNCHECK := golang.org/x/vuln/cmd/govulncheck@v1.9.0

.DEFAULT_GOAL := build
.PHONY: help have-go have-postgres build install run test torture failover cover generate generate-check lint vulncheck calibrate lists \
	bench bench-smoke bench-report bench-gate bench-tools fuzz-smoke mutate catalogue-verify catalogue-report contract-lint clients manifests \
	image image-check compose-check upgrade-check release release-check clean

## run: build, and serve on 127.0.0.1:8080 with a private PostgreSQL
run: have-go have-postgres build
	@sh deploy/run.sh $(BIN) serve

## test: run every test against a real PostgreSQL
test: have-go
	@GO='$(GO)' sh deploy/test.sh $(TESTFLAGS)

## build: build bin/commensal
build: have-go
	@CGO_ENABLED=0 $(GO) build -trimpath -ldflags '$(LDFLAGS)' -o $(BIN) ./cmd/commensal

## install: build, and put commensal on the PATH, into $(PREFIX)/bin (PREFIX=$HOME/.local needs no administrator)
install: build
	@mkdir -p '$(DESTDIR)$(PREFIX)/bin'
	@install -m 755 $(BIN) '$(DESTDIR)$(PREFIX)/bin/commensal'
	@echo "installed $(DESTDIR)$(PREFIX)/bin/commensal"

## torture: run the tests of what must hold under faults in a large size, on an idle machine
torture: have-go
	@sh deploy/ensure-postgres.sh test
	COMMENSAL_TORTURE_WRITES=$${COMMENSAL_TORTURE_WRITES:-20000} COMMENSAL_TORTURE_KILLS=$${COMMENSAL_TORTURE_KILLS:-10} \
	COMMENSAL_TORTURE_OUTAGE=$${COMMENSAL_TORTURE_OUTAGE:-60s} COMMENSAL_TORTURE_IDLE=$${COMMENSAL_TORTURE_IDLE:-5000} \
	COMMENSAL_TORTURE_READERS=$${COMMENSAL_TORTURE_READERS:-200} COMMENSAL_TORTURE_CROWD=$${COMMENSAL_TORTURE_CROWD:-15s} \
	COMMENSAL_TORTURE_ATTACKERS=$${COMMENSAL_TORTURE_ATTACKERS:-4} COMMENSAL_TORTURE_ATTACK=$${COMMENSAL_TORTURE_ATTACK:-60s} COMMENSAL_TORTURE_STRICT=1 \
		$(GO) test -count=1 -timeout=60m -parallel=1 -v ./internal/torture
	COMMENSAL_TORTURE_REQUESTS=$${COMMENSAL_TORTURE_REQUESTS:-100000} $(GO) test -count=1 -timeout=60m -run=TestDrawn -v ./api
	COMMENSAL_TORTURE_DEAR=$${COMMENSAL_TORTURE_DEAR:-300} $(GO) test -count=1 -timeout=60m -run='Dearer|Gone' -v ./api
	COMMENSAL_TORTURE_CLAIMS=$${COMMENSAL_TORTURE_CLAIMS:-3000} $(GO) test -count=1 -timeout=120m -run=TestClaims -v ./api/lists

## failover: lose the primary of a cluster again and again (patroni, etcd-server, haproxy and pgbouncer from Debian), on an idle machine
failover: have-go
	@sh deploy/ensure-postgres.sh test
	@sh deploy/ensure-packages.sh patroni etcd-server haproxy pgbouncer
	COMMENSAL_TEST_FAILOVER=1 COMMENSAL_TORTURE_FAILOVERS=$${COMMENSAL_TORTURE_FAILOVERS:-6} \
		$(GO) test -count=1 -timeout=60m -v -run=LossOfThePrimary ./internal/torture

## cover: run the tests and say how much of each package they reach
cover: have-go
	@GO='$(GO)' sh deploy/test.sh -coverpkg=./... -coverprofile=coverage.out
	@$(GO) tool cover -func=coverage.out | tail -n 1

## generate: make the API's types and router from openapi.yaml, and pack the catalogue
generate: have-go
	@sh deploy/generate.sh

## generate-check: fail when generated code is not current
generate-check: have-go
	@sh deploy/generate.sh check

## lint: gofmt, vet and staticcheck
lint: have-go
	@unformatted=$$(gofmt -l $$(git ls-files --cached --others --exclude-standard '*.go')); \
	if [ -n "$$unformatted" ]; then echo "gofmt would change:"; echo "$$unformatted"; exit 1; fi
	$(GO) vet ./...
	$(GO) run $(STATICCHECK) ./...

## vulncheck: look for known vulnerabilities
vulncheck: have-go
	$(GO) run $(GOVULNCHECK) ./...

## calibrate: fit the model's weights to testdata/judgements-*.csv (FIT=name)
calibrate: have-go
	$(GO) run ./cmd/calibrate -version $(FIT)

## lists: ask about the judged lists of testdata/lists.json and print the table by main cause
lists: have-go
	$(GO) run ./cmd/lists $(LISTSFLAGS)

## bench: run every benchmark
bench: have-go
	$(GO) test -run='^$$' -bench=. -benchmem ./...

## bench-smoke: run every benchmark once
bench-smoke: have-go
	$(GO) test -run='^$$' -bench=. -benchtime=1x -benchmem ./...

## bench-report: measure the service and its peers, and put the tables into internal/loadtest/README.md (an idle machine, 5 minutes)
bench-report: build
	@sh deploy/ensure-postgres.sh test $(BIN)
	$(BIN) bench --into internal/loadtest/README.md $(BENCHFLAGS)
	cd internal/loadtest/peers && $(GO) run . -into ../README.md

## bench-gate: compare ten benchmarks with those of a commit in turns, and fail on a sure loss above 10 % (BASE=commit, ROUNDS=10)
bench-gate: have-go
	@sh deploy/ensure-postgres.sh test
	@cd deploy/benchgate && $(GO) run . -root ../.. -base '$(BASE)' -rounds $(or $(ROUNDS),10)

## bench-tools: test what bench-gate and bench-report rest on: the verdict, and that the peers agree
bench-tools: have-go
	@sh deploy/ensure-postgres.sh test
	@cd deploy/benchgate && $(GO) vet ./... && $(GO) test ./...
	@cd internal/loadtest/peers && $(GO) vet ./... && $(GO) test ./...

## mutate: change constants and comparisons of the model one at a time, and print what no test minds (hours)
mutate: have-go
	$(GO) run ./cmd/mutate $(MUTATEFLAGS) $(MUTATE)

## fuzz-smoke: fuzz each target for FUZZRUNS executions
fuzz-smoke: have-go
	@GO='$(GO)' sh deploy/fuzz.sh $(FUZZRUNS)

## catalogue-verify: check the built-in catalogue
catalogue-verify: build
	@$(BIN) catalogue verify --report

## catalogue-report: write db/catalogue/COVERAGE.md, what the catalogue holds and rests on
catalogue-report: have-go
	@$(GO) generate ./db
	@$(MAKE) --no-print-directory build
	@$(BIN) catalogue verify --markdown >db/catalogue/COVERAGE.md.new
	@mv db/catalogue/COVERAGE.md.new db/catalogue/COVERAGE.md

## contract-lint: check openapi.yaml with a validator of its own, and that the lint sees slips
contract-lint: have-go
	@cd deploy/contractlint && $(GO) test ./... && $(GO) run . ../../openapi.yaml

## clients: make clients of the contract with two generators, and let them ask the service
clients: build
	@sh deploy/ensure-postgres.sh test $(BIN)
	@GO='$(GO)' sh deploy/clients/run.sh $(BIN)

## manifests: hold what deploy/ describes for Kubernetes, compose, systemd and HAProxy against what those know
manifests: have-go
	@cd deploy/manifests && $(GO) vet ./... && $(GO) test ./...

## image: build the container image into bin/image, without a container engine (IMAGE_ARCH=arm64 for another machine)
image: have-go
	@GO='$(GO)' sh deploy/image.sh

## image-check: build the image twice, compare, and run it where a Docker engine answers
image-check: have-go
	@cd deploy/packaging && $(GO) vet ./... && $(GO) test ./...
	@GO='$(GO)' deploy/image-check.sh

## compose-check: run deploy/compose.yaml on the image built here, and take a replica away while it is asked
compose-check: have-go
	@GO='$(GO)' deploy/compose-check.sh

## upgrade-check: let earlier states of the program answer while today's migrates their database and takes over the catalogue
upgrade-check: have-go
	@sh deploy/ensure-postgres.sh test
	@GO='$(GO)' deploy/upgrade-check.sh

## release: build the archives of a release into bin/release (RELEASE=v1.2.3, TARGETS='linux/arm64 …')
release: have-go
	@GO='$(GO)' RELEASE='$(RELEASE)' sh deploy/release.sh $(TARGETS)

## release-check: build this machine's archive, and look at what it holds
release-check: have-go
	@GO='$(GO)' deploy/release-check.sh

## clean: remove what was built
clean:
	rm -rf bin coverage.out deploy/clients/*/client

## help: list the commands
help:
	@sed -n 's/^## //p' $(MAKEFILE_LIST)

have-go:
	@sh deploy/ensure-go.sh $(GO)

have-postgres:
	@sh deploy/ensure-postgres.sh run
