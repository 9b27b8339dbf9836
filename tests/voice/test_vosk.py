"""A Vosk model directory that is missing, incomplete or damaged gets one sentence, and never ends the process."""

from __future__ import annotations

import hashlib
import shutil
import struct
from pathlib import Path

import pytest

from assistant.bay.hearable import unheard
from assistant.events import PhraseLimits, Thresholds
from assistant.language.en import ENGLISH
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening import model_files
from assistant.voice.listening.limits import USUAL_LIMITS, hash_of_net, limits_text, read_limits
from assistant.voice.listening.model_files import OWN_MODEL, check_model, knows_word_order
from assistant.voice.ports import VoiceFault
from tests.jobs import SHORT, opening

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
        VoskRecogniser(ENGLISH, folder)
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


def test_limits_of_a_model_come_from_its_own_file(model: Path) -> None:
    assert read_limits(model) == USUAL_LIMITS
    (model / "conf/limits.json").write_text('{"harmless": 0.2, "moving": 0.5, "critical": 0.8, "chosen": "on voices"}')
    assert read_limits(model) == Thresholds(0.2, 0.5, 0.8)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "0.4",
        '{"harmless": 0.2, "moving": 0.5}',
        '{"harmless": 0.9, "moving": 0.5, "critical": 0.95}',
        '{"harmless": 0.2, "moving": "high", "critical": 0.8}',
        '{"harmless": 0.0, "moving": 0.5, "critical": 0.8}',
        '{"harmless": 0.2, "moving": 0.5, "critical": 1.5}',
        '{"harmless": 0.2, "moving": 0.5, "critical": 0.8, "phrases": {"yes": {"asked": 0.2}}}',
        '{"harmless": 0.2, "moving": 0.5, "critical": 0.8, "phrases": ["yes"]}',
        '{"harmless": 0.2, "moving": 0.5, "critical": 0.8, "phrases": {"no": '
        '{"asked": 0.4, "expected": 0.3, "believed": 0.5}}}',
    ],
)
def test_limits_that_make_no_sense_are_refused(model: Path, text: str) -> None:
    (model / "conf/limits.json").write_text(text)
    with pytest.raises(VoiceFault, match="rising numbers between 0 and 1"):
        read_limits(model)


def test_limits_of_phrases_hold_for_the_net_for_which_they_were_chosen(model: Path) -> None:
    own = PhraseLimits(believed=0.6, expected=0.5, asked=0.3, likelier=8.0)
    limits = Thresholds(0.6, 0.75, 0.9, 0.85, 0.4, 2.0, {"yes": own})
    (model / "conf/limits.json").write_text(limits_text(limits, hash_of_net(model)))
    assert read_limits(model) == limits
    with (model / "am/final.mdl").open("ab") as net:
        net.write(b"more")
    with pytest.raises(VoiceFault, match="chosen for another net than the one beside it"):
        read_limits(model)


def test_the_own_model_that_is_missing_is_told_with_where_to_get_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(model_files, "OWN_MODEL", tmp_path / "bay-en")
    with pytest.raises(VoiceFault, match="install the program again"):
        check_model(tmp_path / "bay-en")


@pytest.mark.parametrize(("name", "kept"), [("am/final.mdl", 100_000), ("graph/HCLr.fst", 5_000)])
def test_the_own_model_cut_short_is_found(tmp_path: Path, name: str, kept: int) -> None:
    folder = tmp_path / "copy"
    shutil.copytree(OWN_MODEL, folder)
    (folder / name).write_bytes((folder / name).read_bytes()[:kept])
    assert "damaged or cut short" in sentence(folder)


def test_a_model_of_another_language_is_told(tmp_path: Path) -> None:
    class Dutch:
        """A recogniser that knows no English."""

        def unknown_words(self, words: set[str]) -> dict[str, str]:
            return dict.fromkeys(sorted(words), "")

    session, first = opening(SHORT)
    session.open(first, 0.0)
    assert "is it English?" in unheard(Dutch(), session)


def test_a_graph_with_one_state_knows_no_order_of_words(model: Path) -> None:
    # The head of an OpenFst file, fst/fst.h: magic number, two names with their lengths, version, flags (32 bits each),
    # properties, start state, number of states, number of arcs (64 bits each).
    def head(states: int) -> bytes:
        names = struct.pack("<i", 6) + b"vector" + struct.pack("<i", 8) + b"standard"
        return FST + names + struct.pack("<iiQqqq", 2, 0, 0, 0, states, 5)

    for states, knows in ((1, False), (2, True), (4000, True)):
        (model / "graph/Gr.fst").write_bytes(head(states))
        assert knows_word_order(model) is knows
