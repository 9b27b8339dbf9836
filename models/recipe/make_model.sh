#!/usr/bin/env bash
# All stages of the recipe in order. A stage whose result is there already is left out: delete the result to run it again.
# Arguments: the Python to make an environment with, the folder of recordings, the folder to work in, training steps.
set -euo pipefail
python=$1 data=$2 work=$3 steps=$4
parts=$work/parts venv=$work/venv
mkdir -p "$parts"
if [ ! -f "$venv/.ready" ]; then
  "$python" -m venv "$venv"
  "$venv/bin/python" -m pip install --quiet "pip>=25.1"
  "$venv/bin/python" -m pip install --quiet --group train
  touch "$venv/.ready"
fi
if [ ! -d "$work/package/voices" ]; then
  (cd "$work" && npm pack --silent kokoro-js@1.2.1 && tar -xzf kokoro-js-1.2.1.tgz)
fi
KOKORO_VOICES=$(realpath "$work/package/voices")
export KOKORO_VOICES
cores=$(nproc)
stage() { "$venv/bin/python" -m models.recipe "$@"; }
[ -f "$parts/train-human.jsonl" ] || stage gather-human "$data" --parts "$parts" --processes "$cores"
[ -f "$parts/train-natural.plan.jsonl" ] || stage plan-synthetic --parts "$parts"
for part in train-synthetic train-natural dev-synthetic test-synthetic; do
  [ -f "$parts/$part.jsonl" ] || stage speak "$part" --parts "$parts" --processes "$cores"
done
[ -f "$parts/train-joined.jsonl" ] || stage join --parts "$parts"
[ -f "$work/trained/final.pt" ] || stage train --parts "$parts" --out "$work/trained" --steps "$steps" --feeders "$((cores / 4))"
stage model "$work/trained/final.pt" "$work/bay-en" --parts "$parts"
stage measure "$work/bay-en" --parts "$parts" --processes "$cores"
