# tendline: `make` alone tells what can be done.
# Needs Python 3.11 or newer and make. Everything else goes into .venv, from the lock files, with hashes.
SHELL := /bin/sh
.DEFAULT_GOAL := help
VENV := .venv
BIN := $(VENV)/bin
PY := $(BIN)/python
export NUMBA_CACHE_DIR := $(CURDIR)/.numba_cache

.PHONY: help demo test check fast bench docs clean setup setup-dev format web

help: ## say what can be done
	@echo "tendline: make WHAT, where WHAT is one of"
	@sed -n 's/^\([a-z-]*\):.*## \(.*\)/  \1|\2/p' Makefile | awk -F'|' '{printf "  %-10s %s\n", $$1, $$2}'

$(VENV)/.run: requirements.lock pyproject.toml tools/find_python.sh
	@sh tools/find_python.sh $(VENV)
	@echo "installing the locked packages into $(VENV) (the first time takes a minute or two)"
	@$(PY) -m pip install --quiet --disable-pip-version-check --require-hashes --no-deps -r requirements.lock
	@$(PY) -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/.dev: $(VENV)/.run requirements-dev.lock
	@echo "installing the packages the tests need into $(VENV)"
	@$(PY) -m pip install --quiet --disable-pip-version-check --require-hashes --no-deps -r requirements-dev.lock
	@touch $@

setup: $(VENV)/.run ## make .venv with what tendline needs to run

setup-dev: $(VENV)/.dev ## make .venv with what the tests need as well

web: $(VENV)/.run ## build the pages for the phone, when their sources have changed
	@$(PY) tools/build_web.py

demo: $(VENV)/.run ## build the invented example line and run the main job on it
	@$(BIN)/tendline demo demo-line --fresh

check: $(VENV)/.dev web ## fast: format, lint, types, import contracts, unit and house tests
	@$(BIN)/ruff format --check .
	@$(BIN)/ruff check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports --no-cache
	@$(BIN)/pytest -q tests/unit tests/house

test: $(VENV)/.dev web ## everything that must pass before a change lands
	@$(BIN)/ruff format --check .
	@$(BIN)/ruff check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports --no-cache
	@$(BIN)/pytest -n 2 tests/unit tests/house tests/laws tests/interfaces tests/rules tests/validation tests/journeys

fast: $(VENV)/.dev web ## unit tests only
	@$(BIN)/pytest -q tests/unit

bench: $(VENV)/.dev ## measure, as ratios in one run (benchmarks/)
	@$(PY) -m benchmarks

docs: $(VENV)/.dev ## make the generated reference pages again
	@$(PY) tools/make_reference.py
	@$(PY) -m tools.make_coverage

format: $(VENV)/.dev ## put the code in its standard form
	@$(BIN)/ruff format .
	@$(BIN)/ruff check --fix .

clean: ## remove .venv and everything made
	rm -rf web/node_modules src/tendline/server/pages
	rm -rf $(VENV) .numba_cache demo-line build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis
