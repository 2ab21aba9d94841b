# Everything here needs only make and Python 3.11 or later with its venv module.
# On a bare Debian or Ubuntu machine: sudo apt install make python3 python3-venv
# Another Python: make test PYTHON=python3.13

PYTHON ?= python3
BIN := .venv/bin

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.NOTPARALLEL:
.PHONY: help demo test check lint bench docs requirements

help:  ## List what can be made
	@sed -n 's/^\([a-z]*\):.*## /  make \1  \t/p' Makefile

demo: .venv/ready-to-run  ## Walk the built-in circuits through, into demo-output/
	$(BIN)/pedalwright demo demo-output

test: .venv/ready-to-develop lint  ## Everything the machine that guards the project runs
	$(BIN)/pytest -n auto --maxprocesses 4

check: .venv/ready-to-develop lint  ## The same without the slow tests
	$(BIN)/pytest -m "not slow"

lint: .venv/ready-to-develop  ## Style, types and layers only
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo

bench: .venv/ready-to-develop  ## Measure the speed of the main job on this machine
	@set -e; for script in benchmarks/*.py; do \
	  test -f "$$script" || { echo "There is no script in benchmarks/ yet." >&2; exit 1; }; \
	  OPENBLAS_NUM_THREADS=1 $(BIN)/python "$$script"; \
	done

docs: .venv/ready-to-develop  ## Write the manual's reference pages again
	$(BIN)/python tools/write_reference.py
	$(BIN)/python tools/write_readme.py

# The two environments are one folder. A stamp says how far it is: make compares it with the lists, so a second run
# costs nothing and a changed list is installed by itself.
#
# Wheels only, and every one checked against its hash: nothing is built from foreign source, so no compiler is needed.
# The project itself is then linked in (`--editable`), not copied, with the setuptools just installed and checked:
# `--no-build-isolation` keeps pip from fetching another one, `--no-index` from fetching anything.

INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check --no-input
INSTALL_LIST := $(INSTALL) --require-hashes --only-binary=:all: --requirement
LINK_PROJECT := $(INSTALL) --no-index --no-deps --no-build-isolation --editable .

.venv/ready-to-run: requirements/run.txt pyproject.toml | .venv/pyvenv.cfg
	@echo "Installing what Pedalwright needs into .venv"
	@$(INSTALL_LIST) requirements/run.txt
	@$(LINK_PROJECT)
	@touch $@

.venv/ready-to-develop: requirements/develop.txt pyproject.toml | .venv/pyvenv.cfg
	@echo "Installing what developing Pedalwright needs into .venv"
	@$(INSTALL_LIST) requirements/develop.txt
	@$(LINK_PROJECT)
	@touch .venv/ready-to-run $@

.venv/pyvenv.cfg:
	@command -v $(PYTHON) >/dev/null || { \
	  echo "There is no $(PYTHON). Debian, Ubuntu: sudo apt install python3 python3-venv" >&2; exit 1; }
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo "Pedalwright needs Python 3.11 or later; $(PYTHON) is older. Name a newer one: make PYTHON=python3.13" >&2; \
	  exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { \
	  echo "$(PYTHON) cannot make virtual environments. Debian, Ubuntu: sudo apt install python3-venv" >&2; exit 1; }
	@$(PYTHON) -m venv .venv

# The lists are compiled with the oldest Python served, and with the machine's own pip settings put aside: a local
# folder of wheels knows the hashes of its own files only, and the lists must hold for every platform.

COMPILE_VENV := build/compile-venv
COMPILE := env -u PIP_FIND_LINKS -u PIP_INDEX_URL -u PIP_EXTRA_INDEX_URL PIP_CONFIG_FILE=/dev/null \
  $(COMPILE_VENV)/bin/pip-compile --quiet --upgrade --generate-hashes --allow-unsafe --strip-extras --no-header \
  --no-emit-index-url --no-emit-find-links --no-emit-trusted-host

requirements:  ## Compile the lists in requirements/ again, with today's versions
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info[:2] != (3, 11))' || { \
	  echo "Compile with Python 3.11, the oldest one served: make requirements PYTHON=python3.11" >&2; exit 1; }
	$(PYTHON) -m venv $(COMPILE_VENV)
	$(COMPILE_VENV)/bin/python -m pip install --quiet --require-hashes --requirement requirements/compile.txt
	$(COMPILE) --output-file requirements/run.txt requirements/run.in
	$(COMPILE) --output-file requirements/develop.txt requirements/develop.in
	$(COMPILE) --output-file requirements/compile.txt requirements/compile.in
