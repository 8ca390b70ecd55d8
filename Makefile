# make start    everything needed to use leeward, then the bundled example, planned
# make test     everything needed to change it, then every check
# make format   lays out the code as the checks expect it
# make lock     chooses the newest packages anew and pins them
# make figures  measures what the project promises (ONLY=room for one room)
# make accuracy holds it against real people and published values

SHELL := /bin/sh
.DEFAULT_GOAL := start
.DELETE_ON_ERROR:
.PHONY: start test check format lock figures accuracy clean

VENV := .venv
BIN := $(VENV)/bin
EXAMPLE := examples/cases/ordinary.yaml
OUTPUT := leeward-output/ordinary
WORKERS := 2
# As the program does for itself: two threads at one small matrix wait for each other.
ONE_THREAD := OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1

# Some machines set these to reach where the environment must not be written.
export PIP_USER := 0
export PIP_DISABLE_PIP_VERSION_CHECK := 1
export PIP_NO_INPUT := 1
unexport PIP_TARGET PIP_PREFIX PIP_REQUIRE_VIRTUALENV PYTHONHOME PYTHONPATH

PIP := $(BIN)/python -m pip -qq
HASHED := --require-hashes --only-binary :all:

start: $(VENV)/.runtime
	@$(BIN)/leeward plan $(EXAMPLE) --out $(OUTPUT)

test: $(VENV)/.dev
	@$(MAKE) --no-print-directory check

# Each test process keeps to one core: linear algebra on all of them makes the processes wait.
check:
	@mkdir -p build
	@echo "layout"; $(BIN)/ruff format --quiet --check .
	@echo "lint"; $(BIN)/ruff check --quiet .
	@echo "types"; $(BIN)/mypy --no-error-summary
	@echo "rooms"; $(BIN)/lint-imports --no-cache >build/rooms.txt 2>&1 || { cat build/rooms.txt; exit 1; }
	@echo "docstrings"; $(BIN)/python scripts/check_docstrings.py
	@echo "tests"; LEEWARD_WORKERS=1 $(ONE_THREAD) \
	  $(BIN)/python -m pytest -q -n $(WORKERS) tests

format: $(VENV)/.dev
	@$(BIN)/ruff format --quiet . && $(BIN)/ruff check --quiet --fix .
	@$(BIN)/python scripts/write_cli_reference.py
	@$(BIN)/python scripts/write_file_reference.py

figures: $(VENV)/.dev
	@$(ONE_THREAD) $(BIN)/python -m bench.figures $(if $(ONLY),--only $(ONLY))

accuracy: $(VENV)/.dev
	@$(ONE_THREAD) $(BIN)/python -m bench.accuracy

clean:
	@rm -rf $(VENV) build leeward-output src/leeward.egg-info

# Each stamp is younger than what it was made from; nothing is done twice.

$(VENV)/.made:
	@$(BIN)/python -c 'import pip, sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || { \
	  python=$$(scripts/find-python) && \
	  echo "leeward: making $(VENV) with $$python" && \
	  "$$python" -m venv --clear $(VENV); }
	@touch $@

$(VENV)/.runtime: $(VENV)/.made requirements/runtime.lock pyproject.toml
	@echo "leeward: installing what it needs to run"
	@$(PIP) install $(HASHED) -r requirements/runtime.lock
	@$(PIP) install --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/.dev: $(VENV)/.made requirements/dev.lock pyproject.toml
	@echo "leeward: installing what it needs to run and to be checked"
	@$(PIP) install $(HASHED) -r requirements/dev.lock
	@$(PIP) install --no-deps --no-build-isolation -e .
	@touch $(VENV)/.runtime $@

# Compiled apart from this machine's pip settings, which would leak into the lock.

LOCK := build/lock
COMPILE := env -u PIP_FIND_LINKS -u PIP_INDEX_URL -u PIP_EXTRA_INDEX_URL -u PIP_CONSTRAINT \
  PIP_CONFIG_FILE=/dev/null $(LOCK)/bin/pip-compile --quiet --upgrade --generate-hashes \
  --no-emit-index-url --no-emit-find-links --no-header --no-annotate --allow-unsafe \
  --strip-extras --build-deps-for editable

lock:
	@python=$$(scripts/find-python) && "$$python" -m venv --clear $(LOCK)
	@$(LOCK)/bin/python -m pip -qq install 'pip-tools==7.6.2'
	@$(COMPILE) -o requirements/runtime.lock pyproject.toml
	@$(COMPILE) -c requirements/runtime.lock --extra fast -o requirements/fast.lock pyproject.toml
	@$(COMPILE) -c requirements/runtime.lock --extra dev -o requirements/dev.lock pyproject.toml
