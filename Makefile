# Plain make; everything Python lives in .venv.  `make` alone lists what there is.
SHELL := /bin/sh
PYTHON ?= python3
BIN := .venv/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check --no-input install --quiet
PYTEST := $(BIN)/python -m pytest
# Two cores are what the time limits are meant for; WORKERS=0 runs the tests in one process.
WORKERS ?= 2
# What the extension module is built from.
NATIVE := $(wildcard src/hutwright/native/build.py src/hutwright/native/core/*.[ch] src/hutwright/native/sim/*.[ch] src/hutwright/native/wave/*.[ch])

# An environment that cannot run, or was made in another folder, is made anew.
ifeq ($(wildcard .venv/made-in),.venv/made-in)
ifneq ($(shell $(BIN)/python -c 'print("runs")' 2>/dev/null; cat .venv/made-in),runs $(CURDIR))
$(shell rm -rf .venv)
endif
endif

.DEFAULT_GOAL := help
.PHONY: help needs setup demo fast test lint types layers everyday slow bench tools handbook walk campaign proofs wave \
  populations budget clean

help:  ## list what there is
	@sed -n 's/^\([a-z]*\):[^#]*## */\1\t/p' $(MAKEFILE_LIST) | while IFS='	' read -r name what; do \
	  printf '  make %-11s %s\n' "$$name" "$$what"; done

needs:  ## say what is missing on this machine
	@PYTHON='$(PYTHON)' sh tools/needs.sh

# ---- the environment: each step runs again only when what it reads has changed ----------------------

.venv/made-in:
	@PYTHON='$(PYTHON)' sh tools/needs.sh
	@echo "making .venv"
	@$(PYTHON) -m venv .venv
	@printf '%s\n' '$(CURDIR)' > $@

.venv/has-needs: .venv/made-in requirements/build.txt requirements/run.txt
	@echo "installing what hutwright needs into .venv"
	@$(PIP) -r requirements/build.txt -r requirements/run.txt
	@touch $@

.venv/has-run: .venv/has-needs pyproject.toml setup.py $(NATIVE)
	@echo "building hutwright into .venv"
	@$(PIP) --no-deps --no-build-isolation --editable .
	@touch $@

# What the tests need does not change with the C files, so it waits for the build, but is not made anew by it.
.venv/has-test: .venv/has-needs requirements/test.txt | .venv/has-run
	@echo "installing what the tests need into .venv"
	@$(PIP) -r requirements/test.txt
	@$(BIN)/python -m pip --disable-pip-version-check check
	@touch $@

setup: .venv/has-test  ## make .venv with everything for development

# ---- what one does with it --------------------------------------------------------------------------

demo: .venv/has-run  ## check the demo hut (1 as exit status, "something misses", is an answer too)
	@$(BIN)/hutwright check demos/orchard; status=$$?; \
	if [ $$status -gt 1 ]; then echo "hutwright ended with status $$status" >&2; exit $$status; fi

fast: everyday  ## the everyday tests only

test: .venv/has-test  ## everything: lint, types, layers, everyday tests, slow tests
	@sh tools/debian_tools.sh --or-skip
	@$(MAKE) --no-print-directory lint
	@$(MAKE) --no-print-directory types
	@$(MAKE) --no-print-directory layers
	@$(MAKE) --no-print-directory everyday
	@$(MAKE) --no-print-directory slow

lint: .venv/has-test  ## ruff: faults and form
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: .venv/has-test  ## mypy, strict
	$(BIN)/mypy --strict src
	$(BIN)/mypy

layers: .venv/has-test  ## import-linter: imports go down only
	PYTHONPATH=src $(BIN)/lint-imports

everyday: .venv/has-test
	$(PYTEST) -n $(WORKERS) --dist loadfile -m "not slow"

slow: .venv/has-test  ## the slow tests, with more examples each
	$(PYTEST) -n $(WORKERS) --dist loadfile -m slow --hypothesis-profile thorough

bench: .venv/has-test  ## the promises about speed
	$(BIN)/python benchmarks/run.py

budget: .venv/has-test  ## what the firmware takes of the 8-bit board
	$(BIN)/python -m tests.board.budget

handbook: .venv/has-test  ## write the generated pages of the handbook anew
	$(BIN)/python -m tools.outside_checks
	$(BIN)/python -m tools.handbook
	$(BIN)/python -m tools.closed_form
	$(BIN)/python -m tools.window_practice
	$(BIN)/python -m tools.first_hour
	$(BIN)/python -m tools.prove.page

walk: .venv/has-test  ## type the walk from a board to rehearsed settings and write its page anew (two minutes)
	$(BIN)/python -m tools.walk

campaign: .venv/has-test  ## play the fault campaign and write its page anew (some minutes)
	$(BIN)/python -m tools.fault_campaign

proofs: .venv/has-test  ## prove the controller's promises for every tick, and refute every mutant
	$(BIN)/python -m tools.prove.page --prove

wave: .venv/has-test  ## hold the integral against the full wave and write that page anew (a quarter of an hour)
	$(BIN)/python -m tools.full_wave

populations: .venv/has-test  ## hold reversal settings against each other on invented doors and write that page anew (half an hour or more)
	@$(BIN)/python -m tools.populations

tools: ## install the Debian packages that some tests need
	@sh tools/debian_tools.sh

clean:  ## remove everything that make made
	rm -rf .venv build dist src/hutwright/native/*.so .mypy_cache .pytest_cache .ruff_cache .import_linter_cache .hypothesis src/*.egg-info
	find src tests tools -name __pycache__ -type d -prune -exec rm -rf {} +
