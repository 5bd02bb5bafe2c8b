# make env    the tools in .venv, from constraints.txt
# make demo   plan an example tank into demo/, and say where to look
# make test   everything that must hold: lint, types, imports, tests, generated pages
# make help   all targets

PYTHON ?= python3
UV_PIN := 0.13.9
BIN := .venv/bin
DEMO := demo
EXAMPLE := library-foyer-120

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help env demo test lint types imports unit docs docs-check test-packages bench constraints wheel clean

help: ## this list
	@grep -E '^[a-z-]+:.*##' $(firstword $(MAKEFILE_LIST)) | sed -E 's/^([a-z-]+):.*## */\1\t/' | expand -t 16

env: .venv/.ok ## the tools in .venv

.venv/.ok: pyproject.toml constraints.txt Makefile
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
	  { echo "Fizzwright needs Python 3.11 or later, $(PYTHON) is `$(PYTHON) -V 2>&1`. Try: make PYTHON=python3.12 $(MAKECMDGOALS)"; exit 1; }
	@$(PYTHON) -m venv .venv || \
	  { echo "Python could not make .venv. On Debian and Ubuntu: apt-get install python3-venv. Then run make again."; exit 1; }
	@$(BIN)/python -m pip install --quiet uv==$(UV_PIN)
	@$(BIN)/uv pip install --quiet --python $(BIN)/python -c constraints.txt -e . --group dev
	@touch $@

demo: env ## plan an example tank into demo/
	@mkdir -p $(DEMO)
	@echo '$$ fizzwright new --example $(EXAMPLE)'
	@$(BIN)/fizzwright new --example $(EXAMPLE) --to $(DEMO) --force
	@echo; echo '$$ fizzwright plan $(EXAMPLE).toml --sheet plan.pdf --svg day.svg'
	@$(BIN)/fizzwright plan $(DEMO)/$(EXAMPLE).toml --sheet $(DEMO)/plan.pdf --svg $(DEMO)/day.svg
	@echo; echo '$$ fizzwright plan $(EXAMPLE).toml --night $(EXAMPLE)-night.csv --sheet plan-fitted.pdf'
	@$(BIN)/fizzwright plan $(DEMO)/$(EXAMPLE).toml --night $(DEMO)/$(EXAMPLE)-night.csv --sheet $(DEMO)/plan-fitted.pdf
	@echo; echo "Look next at:"
	@printf '  %-32s %s\n' \
	  $(DEMO)/$(EXAMPLE).toml "the tank as surveyed; change a line and plan again" \
	  $(DEMO)/plan.pdf "the sheet to print, before any night was logged" \
	  $(DEMO)/plan-fitted.pdf "the same tank after one logged night" \
	  $(DEMO)/day.svg "the day's curve, for a browser" \
	  docs/tutorial/first-plan.md "the same, step by step"

test: env test-packages lint types imports unit docs-check ## everything that must hold

lint: env ## ruff, rules and layout of the code
	@$(BIN)/ruff check .
	@$(BIN)/ruff format --check .

types: env ## mypy, strict
	@$(BIN)/mypy

imports: env ## who may import whom
	@$(BIN)/lint-imports

unit: env ## pytest alone
	@$(BIN)/pytest

docs: env ## make the generated pages and the picture of the README anew
	@$(BIN)/python -m tools.make_docs
	@$(BIN)/fizzwright plan src/fizzwright/data/examples/$(EXAMPLE).toml --svg docs/img/plan-day.svg >/dev/null

docs-check: env ## fail where a generated page is out of step
	@$(BIN)/python -m tools.make_docs --check

# pdftoppm and its kin read the printed sheet back, chromium opens the pages, and the record is tried on a PostgreSQL
# server that the tests start and stop themselves; without them those tests are skipped with a reason, and fail where CI=true.
NO_CLUSTER := /etc/postgresql-common/createcluster.d/none-for-tests.conf
test-packages:
	@missing=""; \
	command -v pdftoppm >/dev/null 2>&1 || missing="poppler-utils"; \
	ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || command -v initdb >/dev/null 2>&1 || \
	  missing="$$missing postgresql"; \
	[ -x /usr/bin/chromium ] || missing="$$missing chromium"; \
	if [ -z "$$missing" ]; then exit 0; fi; \
	if ! command -v apt-get >/dev/null 2>&1 || [ "`id -u`" != 0 ]; then \
	  echo "Not installed: $$missing. The tests that need it will be skipped."; exit 0; fi; \
	echo "Installing $$missing for the tests"; \
	mkdir -p `dirname $(NO_CLUSTER)`; echo "create_main_cluster = false" >$(NO_CLUSTER); \
	apt-get update -qq >/dev/null 2>&1; \
	DEBIAN_FRONTEND=noninteractive apt-get install -qq -y --no-install-recommends $$missing >/dev/null 2>&1 || \
	  echo "Could not install $$missing; the tests that need it will say so."; \
	rm -f $(NO_CLUSTER)

bench: env ## times against benchmarks/budgets.toml
	@$(BIN)/python -m benchmarks.run

constraints: env ## pin the newest versions that fit pyproject.toml
	@$(BIN)/uv pip compile pyproject.toml --group dev --universal --python-version 3.11 --no-header --no-annotate --quiet --upgrade -o constraints.txt

wheel: env ## the wheel in dist/
	@$(BIN)/uv build --quiet --wheel --out-dir dist

clean: ## remove what make made, .venv too
	@rm -rf .venv $(DEMO) dist .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
