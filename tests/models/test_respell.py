"""Words go into the shipped model and out of it again, and nothing else changes."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from models.recipe.respell import respell
from tests.whole_jobs.talks import ROOT

SHIPPED = ROOT / "models" / "bay-en"
needs_openfst = pytest.mark.skipif(shutil.which("fstprint") is None, reason="OpenFst (Debian: libfst-tools) is missing")


@pytest.fixture
def model(tmp_path: Path) -> Path:
    return Path(shutil.copytree(SHIPPED, tmp_path / "model"))


def words(folder: Path) -> set[str]:
    return {line.split()[0] for line in (folder / "graph/words.txt").read_text("utf-8").splitlines()}


def arcs(folder: Path) -> list[tuple[str, ...]]:
    """Return what each arc hears, the word that it says and its cost, as OpenFst's own tools print them."""
    plain = subprocess.run(
        ["fstconvert", "--fst_type=vector", str(folder / "graph/HCLr.fst")],
        stdout=subprocess.PIPE, check=True, env={"LD_PRELOAD": "libfstlookahead.so.22", "PATH": "/usr/bin:/bin"},
    ).stdout  # fmt: skip
    lines = subprocess.run(["fstprint"], input=plain, stdout=subprocess.PIPE, check=True).stdout.decode().splitlines()
    names = dict(line.split()[::-1] for line in (folder / "graph/words.txt").read_text("utf-8").splitlines())
    rows = [line.split() for line in lines]
    return sorted((row[2], names[row[3]], *row[4:]) for row in rows if len(row) > 2)


@needs_openfst
def test_a_word_goes_in_and_out_and_nothing_else_changes(model: Path) -> None:
    before = arcs(model)
    respell(model, {"zyxxlorp": [["Z", "IH", "K", "S", "L", "AO", "R", "P"], ["Z", "AY", "K", "L", "AO", "R", "P"]]})
    assert words(model) - words(SHIPPED) == {"zyxxlorp"}
    subprocess.run(["sha256sum", "--check", "--quiet", "SHA256SUMS"], cwd=model, check=True)
    respell(model, {}, ["zyxxlorp"])
    assert words(model) == words(SHIPPED)
    assert arcs(model) == before


@pytest.mark.parametrize(
    ("add", "without", "says"),
    [
        ({"next": [("N",)]}, (), "knows 'next' already"),
        ({"zyxxlorp": [("XX",)]}, (), "'XX' in 'zyxxlorp' is no ARPAbet phone"),
        ({}, ("zyxxlorp",), "has no word 'zyxxlorp'"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_the_model_stays(
    model: Path, add: dict[str, list[tuple[str, ...]]], without: tuple[str, ...], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        respell(model, add, without)
    subprocess.run(["sha256sum", "--check", "--quiet", "SHA256SUMS"], cwd=model, check=True)
