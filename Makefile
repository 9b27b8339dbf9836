# Everything a person needs: `make demo` and `make test` set up what they need by themselves.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
export PYTHONUNBUFFERED := 1
# What was compiled is kept: the tests start the program hundreds of times.
unexport PYTHONDONTWRITEBYTECODE

# What the program needs from Debian: the synthesiser's engine, the sound library, PortAudio's way to PulseAudio, and what sets pages.
RUN_PACKAGES  := python3-venv espeak-ng libespeak-ng1 libportaudio2 libasound2-plugins libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core
# What the tests need as well: null sinks to play into, voices that are not the assistant's own, a browser, and tools that look
# from outside; of systemd it is the checker of units, of PostgreSQL the server.
SHOP_PACKAGES := postgresql
TEST_PACKAGES := systemd $(SHOP_PACKAGES) pulseaudio pulseaudio-utils flite strace sqlite3 chromium firefox-esr webkit2gtk-driver xvfb

# What making the acoustic model needs: synthesisers, OpenFst, a way to fetch voice files, and a compiler for one of the synthesisers.
MODEL_PACKAGES := libespeak-ng1 flite festival festvox-us-slt-hts festvox-kdlpc16k libfst-tools npm build-essential python3-dev

PROCEDURE ?= procedures/coolant-pump-cover.yaml
TALK      ?= audio_fixtures/coolant-pump-cover.flac
ARGS      ?=
DATA      ?=
STEPS     ?= 29000

.DEFAULT_GOAL := help
.PHONY: help setup link demo run shop shop-stop test quick check static bench bench-hearing proof pictures model lock clean

help: ## Say what can be made
	@awk -F':.*## ' '/^[a-z-]+:.*## / {printf "make %-13s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

setup: $(VENV)/.ready ## Install system packages (with apt) and the locked environment in .venv
	@if command -v assistant >/dev/null; then echo "Ready. Say: assistant doctor"; \
	else echo "Ready. Call it as $(BIN)/assistant from this folder; make link puts it on the PATH. Say: $(BIN)/assistant doctor"; fi

LINK ?= $(HOME)/.local/bin
link: $(VENV)/.ready ## Put assistant on the PATH, as a link in ~/.local/bin (LINK=folder)
	@mkdir -p "$(LINK)"
	@if [ -e "$(LINK)/assistant" ] && [ "$$(readlink -f "$(LINK)/assistant")" != "$$(readlink -f $(BIN)/assistant)" ]; then \
	  echo "$(LINK)/assistant is another program: take it away, or say make link LINK=folder."; exit 1; fi
	@ln -sf "$(abspath $(BIN)/assistant)" "$(LINK)/assistant"
	@case ":$$PATH:" in *":$(LINK):"*) echo "assistant is on the PATH now." ;; \
	*) echo "$(LINK) is not on the PATH: add the line  export PATH=\"$(LINK):\$$PATH\"  to ~/.profile and log in again." ;; esac

demo: setup ## Run a whole job on recorded speech: no microphone, no network
	@mkdir -p build
	@rm -rf build/demo
	ASSISTANT_HOME=build/demo $(BIN)/assistant rehearse $(PROCEDURE) --audio-in $(TALK) --audio-out build/demo-spoken.wav
	ASSISTANT_HOME=build/demo $(BIN)/assistant jobs

run: setup ## Start a live job with the microphone and the loudspeaker (PROCEDURE=..., ARGS=...)
	$(BIN)/assistant run $(PROCEDURE) $(ARGS)

# A workshop to try out: all that it keeps lies in this folder, its PostgreSQL too.
SHOP ?= build/shop

shop: setup .packages-shop ## Try a workshop: an own PostgreSQL, an office and two rehearsing bays, until Control-C (SHOP=folder)
	@mkdir -p "$(SHOP)"  # with the usual rights: Debian's user for PostgreSQL must come through
	$(BIN)/assistant workshop try "$(SHOP)" --recordings audio_fixtures $(ARGS)

shop-stop: ## Stop what make shop keeps at work
	$(BIN)/assistant workshop stop "$(SHOP)"

# Four more than there are processors: two work in real time, mostly wait and have the processor first; others wait for browsers.
WORKERS ?= $(shell echo $$(($$(nproc) + 4)))

test: setup .packages-test ## Run the tests
	@$(BIN)/python -m compileall -q assistant
	$(BIN)/pytest -n $(WORKERS) --dist loadgroup

quick: setup .packages-test ## Run the tests without sound, browser, PDFs and programs: the daily loop, in a minute
	$(BIN)/pytest -q -n auto -m "not audio and not browser and not slow"

# mypy has what processors the tests leave, and tells at the end. What a moment finds comes first.
check: ## Exactly what CI runs: format, lint, types, import rule, docs checks, tests
	@$(MAKE) --no-print-directory -j 2 setup .packages-test
	@$(MAKE) --no-print-directory sound
	@mkdir -p build; nice -n 19 $(BIN)/mypy >build/mypy.log 2>&1 & types=$$!; \
	trap 'kill $$types 2>/dev/null' INT TERM; \
	$(MAKE) --no-print-directory test; tests=$$?; \
	wait $$types; typed=$$?; echo "+ $(BIN)/mypy"; cat build/mypy.log; \
	[ $$tests = 0 ] || echo "make check: tests failed; see above."; \
	[ $$typed = 0 ] || echo "make check: mypy found what is wrong; see above."; \
	[ $$tests = 0 ] && [ $$typed = 0 ]

static: sound ## Format, lint, types and import rule alone
	$(BIN)/mypy

# The tests are compiled meanwhile: each worker would do it by itself otherwise. What is wrong with them, the tests say.
.PHONY: sound
sound: setup
	@$(BIN)/pytest --collect-only -q >/dev/null 2>&1 & \
	trap wait EXIT; set -ex; \
	$(BIN)/ruff format --check .; \
	$(BIN)/ruff check .; \
	$(BIN)/lint-imports --no-cache

bench: setup .packages-test ## Measure speed, memory and hearing on this machine (minutes)
	$(BIN)/python -m tests.bench

proof: setup ## Install the wheel as on a clean PC, from the registry alone: work, back up, update, go back, move (root, minutes)
	$(BIN)/python -m tests.installing.moving

pictures: setup .packages-test ## Take pictures of the display and the desk's pages into build/pictures
	$(BIN)/python -m tests.display.pictures

bench-hearing: setup .packages-test ## Measure hearing against its bars (PEOPLE=folder with manifest.tsv, DATA=folder with lists of recordings)
	$(BIN)/python -m tests.bench.hearing $(if $(DATA),--data $(DATA)) $(if $(PEOPLE),--people $(PEOPLE))

model: ## Make the acoustic model anew in build/model/bay-en (DATA=folder with manifest.tsv; see models/README.md)
	@test -f "$(DATA)/manifest.tsv" || { echo "There is no recorded speech to train on: $(if $(DATA),$(DATA)/manifest.tsv is missing,no folder was named). Say make model DATA=folder, with a manifest.tsv as models/README.md describes."; exit 1; }
	$(MAKE) --no-print-directory .packages-model
	@bash models/recipe/make_model.sh "$(PYTHON)" "$(DATA)" build/model "$(STEPS)"

lock: ## Make the lock file anew from pyproject.toml (needs uv)
	uv pip compile --universal --python-version 3.11 --generate-hashes --group dev --all-extras --quiet \
	    --no-header pyproject.toml -o requirements.lock

clean: ## Remove everything that was made here
	rm -rf $(VENV) build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis .import_linter_cache *.egg-info

# Compiled where it is first loaded: what only tests and checks load, and what nobody does. pip would compile all, on one processor.
NOT_COMPILED := /(tests?|pip|setuptools|pkg_resources|scipy|mypyc?|playwright|hypothesis|pint|pypdf|_pytest)/

$(VENV)/.ready: requirements.lock pyproject.toml | .packages-run
	@echo "[2/3] Making the locked environment in $(VENV) (about a minute)"
	@$(PYTHON) -c 'import sys; sys.exit("Python 3.11 or newer is needed; this is " + sys.version.split()[0] + ". Install it and say: make PYTHON=python3.11 setup") if sys.version_info < (3, 11) else None'
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	@$(BIN)/python -m pip install --disable-pip-version-check --quiet --no-compile --require-hashes -r requirements.lock
	@$(BIN)/python -m compileall -qq -j 0 -x '$(NOT_COMPILED)' $(VENV)/lib || true
	@echo "[3/3] Installing the assistant itself"
	@$(BIN)/python -m pip install --disable-pip-version-check --quiet --no-deps --editable .
	@touch $@

# Installs the named Debian packages that are missing; asks apt only when something is.
define install_packages
@missing=""; for p in $(1); do dpkg-query -W -f '$${Status}' $$p 2>/dev/null | grep -q 'ok installed' || missing="$$missing $$p"; done; \
if [ -n "$$missing" ]; then \
  echo "[1/3] Installing system packages:$$missing"; \
  if [ "$$(id -u)" = 0 ]; then sudo=; elif command -v sudo >/dev/null; then sudo=sudo; else \
    echo "These Debian packages are missing:$$missing. Install them as root (apt-get install$$missing) and try again."; exit 1; fi; \
  $$sudo apt-get update -qq && DEBIAN_FRONTEND=noninteractive $$sudo apt-get install -y -qq --no-install-recommends $$missing >/dev/null \
    || { echo "apt-get could not install:$$missing. Read its message above, then try again."; exit 1; }; \
fi
endef

.PHONY: .packages-run .packages-shop .packages-test .packages-model
.packages-run:
	$(call install_packages,$(RUN_PACKAGES))
.packages-shop:
	$(call install_packages,$(SHOP_PACKAGES))
.packages-test: .packages-run
	$(call install_packages,$(TEST_PACKAGES))
.packages-model:
	$(call install_packages,$(MODEL_PACKAGES))
