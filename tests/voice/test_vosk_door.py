"""A Vosk model directory that is missing, incomplete or damaged gets one sentence, and never ends the process."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from assistant.voice.model_files import check_model
from assistant.voice.ports import VoiceFault
from assistant.voice.vosk_door import VoskRecogniser

FST = (2125659606).to_bytes(4, "little")  # kFstMagicNumber of OpenFst, fst/fst.h
FILES = {
    "am/final.mdl": b"\0B<TransitionModel> ",
    "conf/mfcc.conf": b"--use-energy=false\n",
    "conf/model.conf": b"--beam=11\n",
    "graph/HCLr.fst": FST + b"rest",
    "graph/Gr.fst": FST + b"rest",
}


@pytest.fixture
def model(tmp_path: Path) -> Path:
    """A directory that looks like a model."""
    folder = tmp_path / "small"
    for name, content in FILES.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


def sentence(folder: Path) -> str:
    with pytest.raises(VoiceFault) as caught:
        VoskRecogniser(folder)
    said = caught.value.sentence
    assert str(folder) in said
    assert said.endswith(".")
    assert "\n" not in said
    assert ": " in said
    return said


def test_a_complete_directory_passes_the_check(model: Path) -> None:
    check_model(model)


def test_a_missing_directory(tmp_path: Path) -> None:
    assert "There is no speech model" in sentence(tmp_path / "en-us")
    (tmp_path / "file").write_text("x")
    assert "There is no speech model" in sentence(tmp_path / "file")


@pytest.mark.parametrize("name", FILES)
def test_a_missing_file_is_named(model: Path, name: str) -> None:
    (model / name).unlink()
    assert f"lacks {name}" in sentence(model)


@pytest.mark.parametrize("name", FILES)
def test_an_empty_file_is_named(model: Path, name: str) -> None:
    (model / name).write_bytes(b"")
    said = sentence(model)
    assert str(model / name) in said
    assert "damaged" in said


@pytest.mark.parametrize("name", ["am/final.mdl", "graph/HCLr.fst", "graph/Gr.fst"])
def test_a_file_of_another_kind_is_named(model: Path, name: str) -> None:
    (model / name).write_bytes(b"<html>Not found</html>")
    assert f"{model / name} is damaged" in sentence(model)


def test_a_model_with_a_fixed_vocabulary_is_told_apart(model: Path) -> None:
    (model / "graph/HCLr.fst").unlink()
    (model / "graph/HCLG.fst").write_bytes(FST)
    assert "fixed vocabulary" in sentence(model)


def test_a_file_cut_short_is_found_by_its_checksum(model: Path) -> None:
    listed = "".join(f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name, content in FILES.items())
    (model / "SHA256SUMS").write_text(listed)
    check_model(model)
    whole = (model / "graph/Gr.fst").read_bytes()
    (model / "graph/Gr.fst").write_bytes(whole[:-1])
    assert "damaged or cut short" in sentence(model)
