# make handbook   create .venv, install the locked packages, build the handbook and every card
# make test       the same, then lint, types, dead code and the whole test suite
# make serve      rebuild and reload while you edit         make bench   measure speed
# make lock       pin again after a change to pyproject.toml (LOCK_ARGS=--upgrade for newer versions)
# make mutate   put small faults into the calculations and see whether a test notices (MUTATE_ARGS="--number 80")
# make clean      remove what was made, and .venv

PYTHON ?= python3
PYTEST_ARGS ?= -n auto --dist worksteal
LOCK_ARGS ?=
MUTATE_ARGS ?=
VENV = .venv
BIN := $(VENV)/bin
INSTALLED := $(VENV)/installed
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check

python_ok = $(filter yes,$(shell $(PYTHON) -c 'import sys; print("yes" if sys.version_info >= (3, 11) else "no")'))
too_old = The handbook needs Python 3.11 or newer, and "$(PYTHON)" is not. Name another: make PYTHON=python3.12

.PHONY: handbook test serve bench mutate lock clean

handbook: $(INSTALLED)
	$(BIN)/handbook build
	$(BIN)/handbook card --all

test: handbook
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/python -m tests.dead_code
	$(BIN)/python -m pytest $(PYTEST_ARGS)

serve: $(INSTALLED)
	$(BIN)/handbook serve

bench: $(INSTALLED)
	set -e; for script in $(sort $(wildcard tests/benchmarks/bench_*.py)); do $(BIN)/python $$script; done

mutate: $(INSTALLED)
	$(BIN)/python -m tests.mutation.mutate $(MUTATE_ARGS)

lock: $(INSTALLED)
	$(BIN)/uv pip compile pyproject.toml --extra test --universal --python-version 3.11 --fork-strategy fewest \
	  --generate-hashes --no-emit-index-url --no-emit-find-links --quiet $(LOCK_ARGS) \
	  --custom-compile-command "make lock" --output-file requirements.txt

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
