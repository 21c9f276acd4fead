# Everything a newcomer needs: `make demo` and `make test` set themselves up with git, make, Python 3.11 and pip alone.
# A Python of your own: make PYTHON=/path/to/python3.11 demo

PYTHON ?= $(firstword $(foreach name,python3.11 python3.12 python3.13 python3.14 python3 python,$(if $(shell $(name) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>&1 || echo no),,$(name))))
VENV ?= .venv
# How many processes the tests use; `make test WORKERS=0` runs them in one.
WORKERS ?= auto
JOB ?= examples/hive-pickup.job.yaml

BIN := $(VENV)/bin
# pip stays outside of the environment: a Python without ensurepip does, and set-up is quicker.
INTO_VENV = $(PYTHON) -m pip --python $(BIN)/python --disable-pip-version-check -q -q install
LOCK = uv pip compile pyproject.toml --universal --generate-hashes --no-emit-index-url --no-header --no-annotate --quiet --python-version 3.11

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help demo test bench lint format types layers docs texts lock check setup setup-demo programs clean

help: ## list these targets
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-10s %s\n", $$1, $$2 }' Makefile

demo: $(VENV)/.ready-demo ## plan the beekeeper's pickup and print it
	@$(BIN)/groundstrap plan $(JOB); status=$$?; \
	if [ $$status -eq 1 ] || [ $$status -eq 4 ]; then \
		echo; echo "make: status $$status is the plan's own verdict (1: a finding of level stop, 4: one could not be decided), not a failure of the demo"; \
	else exit $$status; fi

# Neighbours stay in one process, which makes once what a module shares; who is done first takes half of the rest.
# Byte code is written: of the plugins that pytest rewrites, every worker would make it again.
test: $(VENV)/.ready programs ## run every test
	@PYTHONDONTWRITEBYTECODE= $(BIN)/python -m pytest -n $(WORKERS) --dist worksteal $(PYTEST_ARGS)

bench: $(VENV)/.ready programs ## measure speed and run the long comparisons
	@set -e; for script in benchmarks/[a-z]*.py; do echo "== $$script"; PYTHONPATH=. $(BIN)/python $$script; done

lint: $(VENV)/.ready ## ruff: mistakes and layout
	@$(BIN)/ruff check .
	@$(BIN)/ruff format --check .

format: $(VENV)/.ready ## lay out the code as `make lint` wants it
	@$(BIN)/ruff check --fix .
	@$(BIN)/ruff format .

types: $(VENV)/.ready ## mypy, strict
	@$(BIN)/mypy $(wildcard src benchmarks docs/generate.py tests/conftest.py tests/support tests/contract)

layers: $(VENV)/.ready ## the import contracts
	@$(BIN)/lint-imports --no-logo

docs: $(VENV)/.ready ## build the documentation; any warning fails
	@$(BIN)/sphinx-build -W --keep-going -q -E -b html docs docs/_build/html
	@echo "docs: docs/_build/html/index.html"

check: lint types layers test docs ## all of the above that must pass before a change goes in

texts: $(VENV)/.ready ## bring the catalogues of other languages up to date, and compile them
	@PYTHONPATH=src:. $(BIN)/python -m tests.support.catalogue

lock: ## pin what pyproject.toml asks for (needs uv)
	$(LOCK) --all-extras --group dev -o requirements.lock
	$(LOCK) --extra bench --group build -c requirements.lock -o requirements-demo.lock

setup: $(VENV)/.ready ## environment with everything, once
setup-demo: $(VENV)/.ready-demo ## environment with what a user needs, once

clean: ## remove what a build leaves behind, not the environment
	rm -rf build dist docs/_build docs/reference .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache

$(BIN)/python:
	@$(if $(PYTHON),,echo "make: needs Python 3.11 or newer; none found. Give one: make PYTHON=/path/to/python3.11 $(MAKECMDGOALS)" >&2; exit 2)
	@$(PYTHON) -c 'import sys; sys.exit(f"make: needs Python 3.11 or newer; {sys.executable} is {sys.version.split()[0]}" if sys.version_info < (3, 11) else 0)'
	@$(PYTHON) -m venv --without-pip $(VENV)

# --no-compile, then one compileall: byte code is there even where PYTHONDONTWRITEBYTECODE is set. A third of what
# is installed are the libraries' own tests and what mypy has as machine code: nobody loads those. The status is
# ignored, because some libraries carry files that are meant not to compile.
define install
	@echo "make: setting up $(VENV) from $(1) (once)"
	@$(INTO_VENV) --no-compile --require-hashes -r $(1)
	@$(INTO_VENV) --no-compile --no-deps --no-build-isolation -e .
	@$(BIN)/python -m compileall -q -j 0 -x '/(tests|mypyc?)/' $(VENV)/lib src >/dev/null 2>&1 || true
	@touch $@
endef

$(VENV)/.ready-demo: requirements-demo.lock pyproject.toml | $(BIN)/python
	$(call install,requirements-demo.lock)

$(VENV)/.ready: requirements.lock pyproject.toml | $(BIN)/python
	$(call install,requirements.lock)
	@touch $(VENV)/.ready-demo

# What some tests compare with or work on: a simulator, a browser, a database. Debian keeps the last off the path.
PROGRAMS := ngspice chromium postgresql
HAVE = { [ $$program = postgresql ] && ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1; } || command -v $$program >/dev/null

programs:
	@missing=; for program in $(PROGRAMS); do $(HAVE) || missing="$$missing $$program"; done; \
	[ -z "$$missing" ] && exit 0; \
	if command -v apt-get >/dev/null && [ "$$(id -u)" = 0 ]; then \
		echo "make: installing the Debian packages$$missing, which some tests need"; \
		export DEBIAN_FRONTEND=noninteractive; \
		{ apt-get -qq install -y --no-install-recommends $$missing || \
		  { apt-get -qq update && apt-get -qq install -y --no-install-recommends $$missing; }; } >/dev/null 2>&1 </dev/null || true; \
	fi; \
	for program in $$missing; do \
		$(HAVE) || echo "make: no $$program here and no way to install it: the tests that need it are skipped"; \
	done
