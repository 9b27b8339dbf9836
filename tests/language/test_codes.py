"""A language has words for every code that another room can give it."""

import pytest

from assistant.events import Then, VoiceKnob
from assistant.facts.asking import Dictated
from assistant.facts.codes import SignalWord
from assistant.facts.kinds.tighten import LeadCode
from assistant.language.chosen import WRITTEN
from assistant.language.en import ENGLISH
from assistant.procedure.difference import Change
from assistant.session.part import OpenKind
from tests.session.ear import unfit_for_the_ear

CARDS = ("conditions", "persons", "equipment", "supplies", "spares")
KINDS = ("problem", "step", "left_out", "preparation", "other")
SAID = [
    *(ENGLISH.tools.lead(code, "small wrench") for code in LeadCode),
    *(ENGLISH.equipment.at_its_end(knob, up=up) for knob in VoiceKnob for up in (True, False)),
    *(
        ENGLISH.equipment.part_failed(part, then)
        for part, then in (
            ("voice", Then.OTHER),
            ("listener", Then.AGAIN),
            ("listener", Then.ENDED),
            ("sound_card", Then.ENDED),
            ("session", Then.AGAIN),
        )
    ),
    *(ENGLISH.steps.hazard(word, "It is hot.", "It burns.", "Let it cool.") for word in SignalWord),
    *(ENGLISH.steps.card(what, ["One thing"]) for what in CARDS),
    *(ENGLISH.talk.note_kept(kind, "it is loose") for kind in Dictated),
    *(ENGLISH.handover.told(kind, None, "it is loose") for kind in ("note", "problem", "deviation")),
    *(ENGLISH.equipment.file_changed([(change, 2)], 0, faulty=False) for change in Change),
    *ENGLISH.lists.open_items(
        [ENGLISH.lists.open_of_kind(kind, 2) for kind in (*KINDS, *OpenKind) if kind is not OpenKind.BOLTS]
    ),
]


@pytest.mark.parametrize("said", SAID)
def test_each_code_has_words_for_the_ear(said: str) -> None:
    assert said
    assert not unfit_for_the_ear(said)


def test_every_usual_danger_has_a_name() -> None:
    texts = "Lift the engine with the hoist. Drain the fuel. Take the battery off. Blow it out with compressed air."
    codes = WRITTEN.dangers.brought(texts)
    assert len(codes) >= 3
    assert all(WRITTEN.dangers.danger(code) for code in codes)
