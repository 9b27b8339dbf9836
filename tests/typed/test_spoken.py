"""How long and how often something is said: sentences of a breath, notes in full, counts that tell something."""

from __future__ import annotations

import pytest

from assistant.language.en.talk import breaths
from tests.session.ear import unfit_for_the_ear
from tests.typed.play import ROOT, Played, play

LID = ROOT / "tests/typed/procedures/gear-lid.yaml"
PREPARED = ["next"] * 4
NOTE = (
    "the left face is scratched from the second hole to the third and somebody filed it before because the marks run "
    "across the seat and the edge is round there"
)
"""Thirty words, as nobody says them with stops."""

PLUG = """\
# All values are invented, for tests of the assistant only: not for use on any machine.
procedure:
  {id: plug, title: Plug of the practice case, revision: 1, source: Invented for these tests,
   machine: Practice case on the bench, hazard_scheme: ansi}
preliminary:
  conditions: [The case is empty.]
  persons: [{kind: mechanic, count: 1}]
  support_equipment: [{id: wrench, name: torque wrench}]
  supplies: []
  spares: []
  safety: []
groups:
  - {id: plug, name: plug, size: ten millimetre, bolts: 1}
  - {id: side, name: side bolts, size: six millimetre, bolts: 2-4}
chapters:
  - chapter: Refit
    steps:
      - id: tighten
        tighten: Tighten the plug and the side bolts.
        tools: [wrench]
        stages:
          - {torque: 15 N·m, tool: wrench, exception: Only the plug., runs: [{group: plug, bolts: [1]}]}
          - {torque: 25 N·m, tool: wrench, exception: Only the plug., runs: [{group: plug, bolts: [1]}]}
          - {torque: 8 N·m, tool: wrench, exception: Only the side bolts., runs: [{group: side, bolts: 2-4}]}
closing:
  - {id: wiped, check: "Is the case wiped clean and are all tools back?"}
"""


def fit(played: Played) -> list[str]:
    assert played.said, played.stderr
    return [wrong for said in played.said if (wrong := unfit_for_the_ear(said))]


def test_one_bolt_is_not_counted_and_several_are() -> None:
    played = play(PLUG, [*["next"] * 3, "bolt by bolt", *["next"] * 5])
    said = " ".join(played.said)
    assert "That makes one." not in said
    assert "That makes three." in said


def test_a_note_is_read_back_in_full_in_sentences_of_a_breath() -> None:
    played = play(LID, [*PREPARED, "take a note", f'"{NOTE}"', "end note"])
    assert played.last.said.lower().replace(".", "").removeprefix("note kept: ") == NOTE
    assert fit(played) == []


def test_a_reason_is_read_back_in_full_and_all_of_it_is_told_in_a_briefing() -> None:
    played = play(LID, [*PREPARED, "skip this", f'"{NOTE}"', "end note", "confirmed", "count three", "brief again"])
    assert played.facts("asked")[0]["reason"] == NOTE
    asked = next(said for said in played.said if said.startswith("You said:"))
    assert f"you said: {NOTE}" in asked.lower().replace(".", "")
    accepted = play(
        LID, [*PREPARED, "count three", "confirmed", f'"{NOTE}"', "end note", "confirmed", "(key) brief again"]
    )
    assert NOTE in accepted.last.said.lower().replace(".", "")
    assert fit(played) + fit(accepted) == []


def test_a_very_long_note_is_read_back_whole() -> None:
    long = " ".join([NOTE] * 2)
    played = play(LID, [*PREPARED, "problem", f'"{long}"', "end note"])
    assert played.last.said.lower().replace(".", "") == f"problem kept: {long}"


def test_long_words_of_a_procedure_are_spoken_in_sentences_of_a_breath() -> None:
    long = LID.read_text("utf-8").replace("do: Lift the lid.", f'do: "Lift the lid, {NOTE}."')
    played = play(long, [*PREPARED, "count four", "repeat step"])
    assert NOTE in played.last.said.lower().replace(".", "")
    assert fit(played) == []


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("One. Two. Three.", "One. Two. Three."),
        (" ".join(["a"] * 20) + ".", " ".join(["a"] * 20) + "."),
        (f"Take {'a ' * 9}then: put {'b ' * 12}on.", f"Take {'a ' * 9}then. Put {'b ' * 12}on."),
        (f"Take {'a ' * 9}off, put {'b ' * 12}on.", f"Take {'a ' * 9}off. Put {'b ' * 12}on."),
        (f"Take {'a ' * 9}off and put {'b ' * 12}on.", f"Take {'a ' * 9}off. And put {'b ' * 12}on."),
        (f"{'w ' * 41}end?", f"{('w ' * 20).strip()}. W {('w ' * 19).strip()}. W end?"),
    ],
)
def test_a_sentence_is_cut_where_a_reader_would_pause(text: str, told: str) -> None:
    assert breaths(text) == told
