# Every command of the project. They need Python 3.11 or newer with ensurepip, make, and the network once.

PYTHON ?= python3
VENV := .venv
PY := $(VENV)/bin/python
PIP := $(PY) -m pip --disable-pip-version-check --quiet
RUN_STAMP := $(VENV)/installed-run
DEV_STAMP := $(VENV)/installed-dev

DEMO := .demo/workshop.sqlite
SITE := .site

# Tests run beside each other, on each core a worker with a browser and a database server of its own.
# COVERED=yes also measures which lines and branches the quick tests run. That doubles their time, and the slow ones
# reach little that these do not: they are not measured.
WORKERS ?= logical
BESIDE := -n $(WORKERS) --dist loadfile --durations 15
COVER = $(if $(COVERED),--cov --cov-report=)

LOCK_VENV := .lock-venv
COMPILE := $(LOCK_VENV)/bin/uv pip compile --quiet --system-certs --upgrade --universal --python-version 3.11 \
	--generate-hashes --no-header --no-emit-index-url --no-emit-find-links --no-annotate

# A worker that may not keep what it compiled compiles all of it again, and so does every process it starts.
export PYTHONDONTWRITEBYTECODE :=

.DEFAULT_GOAL := help
.PHONY: help demo serve test rest check long benchmark docs release matrix lock licences clean

help:
	@echo "make demo       install what runs the program and print a plan for the demo fork"
	@echo "make serve      fill a demo workshop in .demo and serve its pages to a browser on this machine"
	@echo "make test       layers, style, types and all but the slow tests"
	@echo "make check      all of it, with the slow tests and how much they cover: what a change must pass"
	@echo "make long       the long random tests; repeat one run with SEED=n"
	@echo "make benchmark  measure against benchmarks/budgets.toml"
	@echo "make docs       build the documentation in .site, with pictures where there is a Chromium"
	@echo "make release    build the package and try it in an empty environment; publishes nothing"
	@echo "make matrix     the fast tests with every Python from 3.11 to 3.14 on this machine"
	@echo "make lock       choose the newest dependencies again and write requirements/*.lock"
	@echo "make licences   every installed dependency with its licence"
	@echo "make clean      remove the environments and every cache"

demo: $(RUN_STAMP)
	$(VENV)/bin/sagwright plan examples/shorten-t35.yaml
	@echo
	@echo "To go on: $(VENV)/bin/sagwright serve opens the workshop's pages for a browser on this machine."

serve: $(RUN_STAMP)
	$(VENV)/bin/sagwright demo fill --workshop $(DEMO)
	$(VENV)/bin/sagwright serve --workshop $(DEMO)

test: $(DEV_STAMP)
	$(PY) -m pytest --quiet tests/test_layers.py
	$(PY) -m ruff check .
	$(PY) -m ruff format --check .
	@echo "$(PY) -m mypy, beside $(PY) -m pytest"
	@$(PY) -m mypy > $(VENV)/types 2>&1 & types=$$!; \
	SAGWRIGHT_HYPOTHESIS=fast $(PY) -m pytest -m "not slow and not long" $(BESIDE) $(COVER); tests=$$?; \
	wait $$types; typed=$$?; cat $(VENV)/types; \
	test $$tests -eq 0 -a $$typed -eq 0

rest: $(DEV_STAMP)
	$(PY) -m pytest -m "slow and not long" $(BESIDE)

check:
	$(MAKE) test COVERED=yes
	$(PY) scripts/coverage_floor.py
	$(MAKE) rest
	$(MAKE) docs

long: $(DEV_STAMP)
	@seed="$(SEED)"; seed=$${seed:-$$($(PY) -c 'import secrets; print(secrets.randbelow(2**32))')}; \
	echo "hypothesis seed $$seed; to repeat: make long SEED=$$seed"; \
	SAGWRIGHT_HYPOTHESIS=long $(PY) -m pytest -m "law or long" -o faulthandler_timeout=0 --hypothesis-seed="$$seed"

benchmark: $(DEV_STAMP)
	$(PY) -m benchmarks.run

licences: $(DEV_STAMP)
	$(PY) scripts/licences.py

docs: $(DEV_STAMP)
	$(PY) -m sphinx --fail-on-warning --keep-going --nitpicky --quiet --doctree-dir $(SITE)/doctrees docs $(SITE)/html
	@echo "The site is in $(SITE)/html; begin with index.html."

release: $(DEV_STAMP)
	$(PY) scripts/release.py

matrix:
	@$(require_python)
	$(PYTHON) scripts/matrix.py

lock:
	@$(require_python)
	$(PYTHON) -m venv --clear $(LOCK_VENV)
	$(LOCK_VENV)/bin/python -m pip --disable-pip-version-check --quiet install uv
	$(COMPILE) --output-file requirements/run.lock pyproject.toml requirements/build.in
	$(COMPILE) --output-file requirements/dev.lock pyproject.toml requirements/build.in requirements/dev.in

clean:
	rm -rf $(VENV) $(LOCK_VENV) .demo .matrix .site build dist docs/generated
	rm -rf .coverage .mypy_cache .pytest_cache .ruff_cache .hypothesis
	find src tests benchmarks scripts docs -name __pycache__ -type d -prune -exec rm -rf {} +

# Each stamp says that its lock is installed; the second lock contains the first, pin for pin.
$(RUN_STAMP): requirements/run.lock pyproject.toml
	@$(require_python)
	$(PYTHON) -m venv $(VENV)
	$(PIP) install --require-hashes -r requirements/run.lock
	$(PIP) install --no-deps --no-build-isolation --editable .
	@touch $@

$(DEV_STAMP): requirements/dev.lock $(RUN_STAMP)
	$(PIP) install --require-hashes -r requirements/dev.lock
	@touch $@

define require_python
$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || \
{ echo "Sagwright needs Python 3.11 or newer, but $(PYTHON) is missing or older; try: make PYTHON=python3.12" >&2; exit 1; }
endef
