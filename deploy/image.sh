#!/bin/sh
# Builds the container image without a container engine and without a registry:
#
#     deploy/image.sh            into bin/image: oci/ (an OCI image layout) and commensal.tar (docker load)
#
# The last stage of the Dockerfile describes it. IMAGE_ARCH (amd64), RELEASE, REVISION and
# SOURCE_DATE_EPOCH say what it is for and from; the latter two are the commit's by default.
# The same commit gives the same digest.
set -eu

cd "$(dirname "$0")/.."
go=${GO:-go}
arch=${IMAGE_ARCH:-amd64}
out=${IMAGE_OUT:-bin/image}
release=${RELEASE:-$(git describe --tags --always --dirty 2>/dev/null || echo unknown)}
revision=${REVISION:-$(git rev-parse HEAD 2>/dev/null || echo unknown)}
created=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct 2>/dev/null || echo 0)}

mkdir -p "$out/root/out"
out=$(cd "$out" && pwd)
# The line is that of the Dockerfile's first stage.
CGO_ENABLED=0 GOOS=linux GOARCH=$arch "$go" build -trimpath -buildvcs=false -ldflags "-s -w -X main.release=$release" -o "$out/root/out/commensal" ./cmd/commensal
here=$(pwd)
cd deploy/packaging
digest=$("$go" run ./image -dockerfile "$here/Dockerfile" -context "$here" -stage "build=$out/root" \
	-arg "RELEASE=$release" -arg "REVISION=$revision" -platform "linux/$arch" -created "$created" \
	-oci "$out/oci" -archive "$out/commensal.tar" -tag "commensal:$release")
echo "commensal:$release linux/$arch ${digest% *}"
echo "${digest#* } bytes compressed: what a registry stores and a machine pulls"
