# Two commands do all their own set-up: `make run` and `make test`.
PYTHON ?= python3
BIN := .venv/bin
OUT ?= build/demo
DATA ?= build/desk

.PHONY: run demo test check unit fuzz lock bench clean

run: .venv/run.done            ## open the demo yard in a browser; prints the address
	$(BIN)/pitchline desk --demo --data $(DATA)

demo: .venv/run.done           ## the same yard as files: judge one machine from its sheet, write its paper
	$(BIN)/pitchline demo --out $(OUT)

test: check unit               ## everything CI runs

check: .venv/test.done         ## style, types, imports
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

unit: .venv/test.done          ## all tests, warnings are errors
	$(BIN)/python -m pytest -n 2 --dist loadfile

fuzz: .venv/test.done         ## property tests on new random examples, for as long as you let it run
	while PITCHLINE_EXAMPLES=fuzz $(BIN)/python -m pytest -q tests/property; do :; done

bench: .venv/test.done         ## timings, as ratios where there is something to compare with
	$(BIN)/python bench/judge.py
	$(BIN)/python bench/picture.py
	$(BIN)/python bench/ground.py
	$(BIN)/python bench/outlook.py --quick scores rivals speed
	$(BIN)/python bench/stops.py --quick

lock:                          ## renew the pinned requirement files
	scripts/lock

clean:
	rm -rf .venv build

.venv/bin/python:
	$(PYTHON) -m venv .venv

.venv/run.done: .venv/bin/python requirements/run.txt pyproject.toml
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/run.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $@

.venv/test.done: .venv/run.done requirements/test.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/test.txt
	touch $@
