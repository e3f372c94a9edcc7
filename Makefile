# Every target makes the environment it needs; `make help` lists them.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed
CHANGED_SINCE ?=

.DEFAULT_GOAL := help
.PHONY: help site stick serve test check fix bench bench-browser bench-identify bench-records bench-tables audit audit-tables lock clean

help: ## list the targets
	@sed -n 's/^\([a-z-]*\):.*## \(.*\)/  make \1|\2/p' $(MAKEFILE_LIST) | column -t -s '|'

# The environment lies in the checkout and is made anew when its description changes.
$(STAMP): pyproject.toml requirements.lock
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Python 3.11 or newer is needed; say which with: make PYTHON=python3.12 …")'
	@echo "Making the environment in $(VENV) …"
	@$(PYTHON) -m venv $(VENV)
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint requirements.lock --editable '.[test]'
	@touch $@

site: $(STAMP) ## build the site into site/
	@NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs build --strict --quiet
	@echo "The site is in site/: open site/index.html, or 'make serve' and go to http://127.0.0.1:8000/"

stick: site ## write stick/: the same site for opening from a USB stick, without a server
	@$(BIN)/python -m decoder_site.stick site stick

serve: $(STAMP) ## build the site, show it on this machine and rebuild on every change
	@NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs serve

test: $(STAMP) ## run every test, in a real browser too (gets one if none is there)
	@BROWSER="$$($(BIN)/python tests/tools/find_browser.py)"; export BROWSER; \
	if [ -z "$$BROWSER" ] && [ "$$CI" = true ]; then echo "No browser: the browser tests cannot run, and CI asks for them." >&2; exit 1; fi; \
	NO_MKDOCS_2_WARNING=1 $(BIN)/python -m pytest; status=$$?; \
	if [ -z "$$BROWSER" ]; then echo "WARNING: NO BROWSER, SO THE BROWSER TESTS DID NOT RUN. Set BROWSER=/path/to/chromium and run again." >&2; fi; \
	exit $$status

check: $(STAMP) ## check records, code style and types
	@$(BIN)/python -m decoder check
	@$(BIN)/python -m decoder schema --check
	@$(BIN)/ruff format --check --quiet . && $(BIN)/ruff check --quiet .
	@$(BIN)/mypy

fix: $(STAMP) ## put right what a machine can: order of records, schema, code format
	@$(BIN)/python -m decoder fix
	@$(BIN)/python -m decoder schema
	@$(BIN)/ruff check --quiet --fix . ; $(BIN)/ruff format --quiet .

bench: bench-tables bench-records bench-browser bench-identify ## measure speed and identification (figures, not tests)

bench-tables: $(STAMP) ## measure how long the reference tables take to load
	@$(BIN)/python tests/benchmarks/bench_tables.py

bench-records: $(STAMP) ## measure how long 2000 joints take to read and check
	@$(BIN)/python tests/benchmarks/bench_records.py

bench-browser: site ## measure how quick the identify page is on a slow phone, in a real browser
	@BROWSER="$$($(BIN)/python tests/tools/find_browser.py)" $(BIN)/python -m tests.benchmarks.bench_browser site

bench-identify: $(STAMP) ## measure how well and how fast parts are identified, for the page of the site too
	@$(BIN)/python tests/benchmarks/bench_identify.py --out site_data/benchmarks/identification.json

audit: site ## look at the built site with axe, the Nu HTML checker and Lighthouse (gets them with npm; not a test)
	@BROWSER="$$($(BIN)/python tests/tools/find_browser.py)" $(BIN)/python -m tests.tools.audit site $(AUDIT)

audit-tables: $(STAMP) ## change single digits in the tables and say which slips go unseen
	@$(BIN)/python tests/tools/audit_mutations.py

lock: $(STAMP) ## write the exact versions in use into requirements.lock
	@$(BIN)/python -m pip freeze --disable-pip-version-check --exclude-editable > requirements.lock

clean: ## remove the environment and everything built
	@rm -rf $(VENV) site .site-* stick .stick-* .cache .mypy_cache .ruff_cache .pytest_cache .hypothesis dist
