# The two commands that matter: `make demo` runs the main job, `make test` passes the tests.
# Everything they need beyond python3, venv and pip is installed into .venv from the lock files.

PYTHON ?= python3
BIN := .venv/bin
ARGS ?=
# Tests share the work, a process for each core; the tests of one file stay together.
SHARED := -n auto --dist loadfile --no-loadscope-reorder
export OPENBLAS_NUM_THREADS ?= 1
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check

.PHONY: demo test check study bench lock clean help

help:
	@echo "make demo    an invented hospital from its charts to its report (ARGS=\"--no-serve --size full\")"
	@echo "make test    the tests        make check   style, types and tests"
	@echo "make study   slow studies     make bench   benchmarks, as ratios against a named peer"

demo: .venv/.runs
	$(BIN)/browline demo $(ARGS)

test: .venv/.tests
	$(BIN)/python -m pytest $(SHARED) $(ARGS)

check: .venv/.tests
	$(BIN)/ruff check src tests tools benchmarks
	$(BIN)/ruff format --check src tests tools benchmarks
	$(BIN)/mypy
	$(BIN)/python -m pytest $(SHARED) $(ARGS)

study: .venv/.tests
	$(BIN)/python -m pytest studies -s $(ARGS)

bench: .venv/.tests
	for script in benchmarks/*.py; do $(BIN)/python $$script || exit 1; done

lock: .venv/.tests
	$(BIN)/pip-compile $(LOCK) -o requirements.lock pyproject.toml
	$(BIN)/pip-compile $(LOCK) --extra dev -c requirements.lock -o requirements-dev.lock pyproject.toml
LOCK := -q --generate-hashes --no-emit-index-url --no-emit-find-links --no-emit-trusted-host --allow-unsafe \
	--no-header --strip-extras

.venv/.runs: requirements.lock pyproject.toml
	test -x $(BIN)/python || $(PYTHON) -m venv .venv
	$(PIP) --require-hashes --requirement requirements.lock
	$(PIP) --no-deps --editable .
	touch $@

.venv/.tests: .venv/.runs requirements-dev.lock
	$(PIP) --require-hashes --requirement requirements-dev.lock
	touch $@

clean:
	rm -rf .venv demo-book
