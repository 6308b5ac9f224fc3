# Two commands for a fresh machine: `make demo` runs the main job on the US sample field,
# `make test` passes all tests. Each installs only the system packages that it lacks.

SHELL := /bin/bash
CARGO ?= cargo

.PHONY: demo test packages build

demo: build
	target/checked/limewright prescribe sample_fields/heron_flat/job.toml --out target/demo
	@echo "The rate map is target/demo/rate_map.geojson, its picture target/demo/map.svg."

# The properties are tried on the same invented cases each time; set PROPTEST_RNG_SEED to others.
export PROPTEST_RNG_SEED ?= 20261125

test: packages
	$(CARGO) test --profile checked --locked

build: packages
	$(CARGO) build --profile checked --locked

# PROJ is compiled with the program and needs these; Debian and Ubuntu names.
packages:
	@missing=""; \
	command -v cmake >/dev/null || missing="$$missing cmake"; \
	command -v g++ >/dev/null || missing="$$missing g++"; \
	command -v sqlite3 >/dev/null || missing="$$missing sqlite3"; \
	command -v pkg-config >/dev/null || missing="$$missing pkg-config"; \
	[ -e /usr/include/sqlite3.h ] || missing="$$missing libsqlite3-dev"; \
	if [ -n "$$missing" ]; then \
	  sudo=""; [ "$$(id -u)" = 0 ] || sudo="sudo"; \
	  echo "Installing:$$missing"; \
	  $$sudo apt-get update -qq && $$sudo env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $$missing; \
	fi
