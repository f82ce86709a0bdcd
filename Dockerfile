# A static binary that runs as an unprivileged user; certificate authorities and time zones are compiled in.
# It needs a PostgreSQL server: see deploy/compose.yaml. make image builds the last stage without a
# container engine, and reproducibly: there it may only COPY single files, and run nothing.
FROM golang:1.26-bookworm AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
ARG RELEASE=container
RUN CGO_ENABLED=0 go build -trimpath -buildvcs=false -ldflags "-s -w -X main.release=${RELEASE}" -o /out/commensal ./cmd/commensal

FROM scratch
ARG RELEASE=container
ARG REVISION=unknown
LABEL org.opencontainers.image.title="commensal" \
      org.opencontainers.image.description="Answers whether fish can live together in a tank for their whole lives" \
      org.opencontainers.image.licenses="Apache-2.0" \
      org.opencontainers.image.version="${RELEASE}" \
      org.opencontainers.image.revision="${REVISION}"
COPY --from=build /out/commensal /commensal
COPY LICENSE /LICENSE
USER 65532:65532
ENV COMMENSAL_ADDR=0.0.0.0:8080 COMMENSAL_METRICS_ADDR=0.0.0.0:9090
EXPOSE 8080 9090
HEALTHCHECK --interval=10s --timeout=3s --start-period=20s CMD ["/commensal", "ready"]
ENTRYPOINT ["/commensal"]
CMD ["serve", "--migrate"]
