# make handbook   create .venv, install the locked packages, build the handbook and every card
# make test       lint, types, dead code and the tests, on a demo of their own; HEAVY=1 takes the long ones too
# make wheel      the package, with all that a handbook needs, and what it is made of (CycloneDX), into .cache/dist/
# make serve      rebuild and reload while you edit         make bench   measure speed
# make lock       pin again after a change to pyproject.toml (LOCK_ARGS=--upgrade for newer versions)
# make compare    do two revisions say the same on pages, cards and in results? (BEFORE=v1 AFTER=v2; after: as it stands)
# make mutate     put small faults into the calculations and see whether a test notices (MUTATE_ARGS="--number 80")
# make fuzz       slips in the files of a handbook, a hundred thousand of them (HANDBOOK_EXPLORE=7 draws others)
# make contact-sheet   every drawing of site_data/ in light, dark and print, phone and desktop: build/contact-sheet.html
# make clean      remove what was made, and .venv

PYTHON ?= python3
HEAVY ?=
PYTEST_ARGS ?= -n auto --dist worksteal
LOCK_ARGS ?=
MUTATE_ARGS ?=
BEFORE ?= HEAD
AFTER ?=
VENV = .venv
BIN := $(VENV)/bin
INSTALLED := $(VENV)/installed
TESTED := $(VENV)/tested
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check

python_ok = $(filter yes,$(shell $(PYTHON) -c 'import sys; print("yes" if sys.version_info >= (3, 11) else "no")'))
too_old = The handbook needs Python 3.11 or newer, and "$(PYTHON)" is not. Name another: make PYTHON=python3.12

.PHONY: handbook test serve bench compare mutate fuzz wheel contact-sheet lock clean

handbook: $(INSTALLED)
	$(BIN)/handbook build
	$(BIN)/handbook card --all

test: $(TESTED)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/python -m tests.dead_code
	$(BIN)/python -m pytest $(if $(HEAVY),,-m "not heavy") $(PYTEST_ARGS)

serve: $(INSTALLED)
	$(BIN)/handbook serve

bench: $(TESTED)
	set -e; for script in $(sort $(wildcard tests/benchmarks/bench_*.py)); do $(BIN)/python $$script; done

compare: $(TESTED)
	$(BIN)/python -m tests.revisions $(BEFORE) $(AFTER)

mutate: $(TESTED)
	$(BIN)/python -m tests.mutation.mutate $(MUTATE_ARGS)

fuzz: $(TESTED)
	HANDBOOK_FUZZ=100000 $(BIN)/python -m pytest $(PYTEST_ARGS) tests/fuzz

wheel: $(TESTED)
	$(BIN)/python -m pip wheel --quiet --disable-pip-version-check --no-deps --no-build-isolation --wheel-dir .cache/dist .
	$(BIN)/python -m tests.sbom .cache/dist/sbom.cdx.json

# The smaller lock takes its versions from the larger, so that what is tested is what runs.
COMPILE = $(BIN)/uv pip compile pyproject.toml --universal --python-version 3.11 --fork-strategy fewest \
  --generate-hashes --no-emit-index-url --no-emit-find-links --quiet --custom-compile-command "make lock"

contact-sheet: $(TESTED)
	$(BIN)/python -m tests.contact_sheet

lock: $(TESTED)
	$(COMPILE) --extra install --extra test $(LOCK_ARGS) --output-file requirements-test.txt
	$(COMPILE) --extra install --constraints requirements-test.txt --output-file requirements.txt

clean:
	rm -rf $(VENV) build site print .cache .mypy_cache .pytest_cache .ruff_cache .hypothesis *.egg-info

$(INSTALLED): requirements.txt pyproject.toml
	$(if $(python_ok),,$(error $(too_old)))
	@echo "Installing the locked packages into $(VENV): a minute or two the first time."
	$(PYTHON) -m venv $(VENV)
	$(PIP) --require-hashes -r requirements.txt
	@# The warning is setuptools' usual one about editable installs.
	PYTHONWARNINGS=ignore $(PIP) --no-deps --no-build-isolation --editable .
	@touch $@

$(TESTED): requirements-test.txt $(INSTALLED)
	@echo "Installing what the tests need besides: more than the handbook itself."
	$(PIP) --require-hashes -r requirements-test.txt
	@touch $@
