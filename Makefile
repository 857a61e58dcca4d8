# Two commands do all their own set-up: `make run` and `make test`.
PYTHON ?= python3
BIN := .venv/bin
OUT ?= build/demo
DATA ?= build/desk
# Not run again on PostgreSQL: a test that asks no database, or whose every statement a test that does run there sends too (CONTRIBUTING.md).
SQLITE_IS_ENOUGH := tests/desk/sqlite_is_enough.txt
# What is lost with the server is gone with it anyway: it waits for no disk.
SERVER_OF_A_RUN := -c fsync=off -c synchronous_commit=off -c full_page_writes=off

DJHTML := $(BIN)/djhtml --tabwidth 2 --extra-block remembered,endremembered
TEMPLATES = $(shell find src/pitchline/desk -path '*/templates/*' -name '*.html')

.PHONY: run demo test check types style templates unit fuzz pictures lock bench wheel trial clean

run: .venv/run.done            ## open the demo yard in a browser; prints the address
	$(BIN)/pitchline desk --demo --data $(DATA)

demo: .venv/run.done           ## the same yard as files: judge one machine from its sheet, write its paper
	$(BIN)/pitchline demo --out $(OUT)

test: .venv/test.done          ## everything CI runs
	@$(RUN_TESTS) types style $(TESTS)

# Some at a time, each printed whole once it is done where this make can do so; what fails stops no other.
BESIDE = $(MAKE) --no-print-directory -k $(if $(filter output-sync,$(.FEATURES)),-O)

check: .venv/test.done         ## style, types, imports, templates
	@$(BESIDE) -j 2 types style

types: .venv/test.done
	$(BIN)/mypy

style: .venv/test.done
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/lint-imports
	$(DJHTML) --check $(TEMPLATES)

templates: .venv/test.done     ## indent the templates anew; breaking long lines is yours
	$(DJHTML) $(TEMPLATES) || true

# What was compiled is kept: a test run starts some sixty processes, and each would compile all it imports anew.
unexport PYTHONDONTWRITEBYTECODE

# The tests, each part by a process of its own that reads the files of its part alone. A browser waits as long as it works, so more run
# at once than there are cores; what takes longest begins first. Whatever no other part names is in the last.
TESTS := desk-apps browser-first desk-itself browser-second postgresql-apps property postgresql-itself judged desk-api learned drawn rest
BROWSER_FIRST := $(addprefix tests/browser/test_,round.py scripts.py planning.py saving.py marks.py empty_yard.py picture_text.py phones.py)
NAMED := tests/property tests/reference $(addprefix tests/unit/,judge demo exchange papers picture fleet bench_tools outlook)
DESK_ITSELF := $(wildcard tests/desk/test_*.py)
DESK_APPS := $(filter-out tests/desk/ tests/desk/api/,$(sort $(dir $(wildcard tests/desk/*/test_*.py))))
browser-first: PART = $(BROWSER_FIRST)
browser-second: PART = tests/browser $(addprefix --ignore ,$(BROWSER_FIRST))
property: PART = tests/property tests/reference
judged: PART = $(filter %/judge %/demo %/exchange,$(NAMED))
drawn: PART = $(filter %/papers %/picture,$(NAMED))
learned: PART = $(filter %/fleet %/bench_tools %/outlook,$(NAMED))
rest: PART = $(addprefix --ignore ,tests/browser tests/desk $(NAMED))
desk-itself: PART = $(DESK_ITSELF)
postgresql-itself: PART = $(filter-out $(shell sed -n 's/^--ignore=//p' $(SQLITE_IS_ENOUGH)),$(DESK_ITSELF))  # what is named is not ignored
desk-apps: PART = $(DESK_APPS)
desk-api: PART = tests/desk/api
postgresql-apps: PART = $(DESK_APPS) tests/desk/api

# One thread for each matrix: threads that wait for each other cost half the time.
$(TESTS) ahead unit fuzz: export OPENBLAS_NUM_THREADS := 1
PYTEST = $(BIN)/python -m pytest -q -o cache_dir=.pytest_cache/$@ $(if $(filter desk-api,$@),,-p no:schemathesis)
# What is judged and planned in one part is known to the others; nothing comes from a run before.
RUN_TESTS = PITCHLINE_TEST_RUN=$$(mktemp -d) && export PITCHLINE_TEST_RUN && trap 'rm -rf "$$PITCHLINE_TEST_RUN"' EXIT && \
	trap 'exit 130' INT TERM && $(BESIDE) -j 4 AHEAD=ahead

.PHONY: $(TESTS) ahead
unit: .venv/test.done          ## all tests, warnings are errors; one part of them: make desk-apps
	@$(RUN_TESTS) $(TESTS)

# Before any of them: what all import is compiled once, not by four at the same time, and the tables are made once.
$(TESTS): | $(AHEAD)
ahead: .venv/test.done
	@$(PYTEST) tests/desk/test_base.py >/dev/null || true  # told by its own part

$(filter-out browser-% postgresql-%,$(TESTS)): .venv/test.done
	@$(PYTEST) $(PART)

$(filter browser-%,$(TESTS)): .venv/test.done
	@$(PYTEST) $(PART) || { \
		echo "In the browser something failed: a browser is no clockwork, so what failed runs once more."; \
		$(PYTEST) --last-failed $(PART); }

$(filter postgresql-%,$(TESTS)): .venv/test.done
	@if scripts/with-postgres --there 2>/dev/null; then \
		echo "The desk's tests again, on PostgreSQL:"; \
		PITCHLINE_POSTGRES_SET="$(SERVER_OF_A_RUN)" scripts/with-postgres $(PYTEST) $(PART) @$(SQLITE_IS_ENOUGH); \
	else echo "The desk's tests ran on SQLite alone: there is no PostgreSQL server on this computer."; fi

fuzz: .venv/test.done         ## property tests on new random examples, for as long as you let it run
	while PITCHLINE_EXAMPLES=fuzz $(BIN)/python -m pytest -q tests/property; do :; done

bench: .venv/test.done         ## timings, as ratios where there is something to compare with
	$(BIN)/python bench/start.py
	$(BIN)/python bench/judge.py
	$(BIN)/python bench/picture.py
	$(BIN)/python bench/ground.py
	$(BIN)/python bench/outlook.py --quick scores rivals speed
	$(BIN)/python bench/odd_parts.py --machines 60
	$(BIN)/python bench/stops.py --quick
	$(BIN)/python bench/desk.py
	if scripts/with-postgres --there; then scripts/with-postgres $(BIN)/python bench/desk.py; fi

pictures: .venv/run.done       ## draw docs/pictures anew; look at them before you commit
	$(BIN)/python scripts/pictures.py

wheel: .venv/run.done          ## build/pitchline-VERSION-py3-none-any.whl, for computers without git and make
	@rm -f build/pitchline-*.whl
	$(BIN)/python -m pip wheel --quiet --disable-pip-version-check --no-deps --no-build-isolation --wheel-dir build .

trial: wheel                   ## that wheel in an empty environment: fetches what it needs, judges, draws, opens the desk
	$(BIN)/python scripts/try_wheel.py build/pitchline-*.whl

lock:                          ## renew the pinned requirement files
	scripts/lock

clean:
	rm -rf .venv build

# Modules are compiled when they are first imported: all of them at once takes as long as fetching them.
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check --no-compile
# uv fetches and unpacks the same files with a tenth of the work. Where it reaches no index (one that only pip was told of), pip does it.
INSTALL = sh -c '$(BIN)/uv pip install --quiet --python $(BIN)/python "$$@" 2>.venv/uv.log || $(PIP) "$$@"' install

.venv/bin/python:
	$(PYTHON) -m venv .venv
	$(PIP) --require-hashes -r requirements/install.txt || true

.venv/run.done: .venv/bin/python requirements/run.txt pyproject.toml
	$(INSTALL) --require-hashes -r requirements/run.txt
	$(INSTALL) --no-deps --no-build-isolation -e .
	touch $@

.venv/test.done: .venv/bin/python requirements/test.txt pyproject.toml
	$(INSTALL) --require-hashes -r requirements/test.txt
	$(INSTALL) --no-deps --no-build-isolation -e .
	touch .venv/run.done $@
