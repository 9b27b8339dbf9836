"""What the rules on wording say about sentences of the trade: the numbers of ASD-STE100, and few false alarms.

The sentences are ours; whether a foreman would object to one is common practice, no source.
"""

import pytest

from assistant.language.en.parts import put_on, removed
from assistant.language.en.wording import word_count, written_sentences
from assistant.procedure.format.reader import read_text
from tests.procedure.test_good_files import BENCH

BASE = BENCH.read_text("utf-8")


def rules_for(text, key="do", info="Nothing more."):
    """Return the rules that complain when the small good file has one more step with ``text``."""
    step = f'      - id: tried\n        {key}: "{text}"\n        info: "{info}"\n'
    made = BASE.replace("  - chapter: Refit\n    steps:\n", f"  - chapter: Refit\n    steps:\n{step}")
    return {finding.rule for finding in read_text(made.encode(), "x").findings}


WORDS_20 = "Put the plate on the gasket so that the arrow on its edge points to the red mark there now."
WORDS_25 = (
    "The plate is made of one piece so that the arrow on its edge always points to the red mark on the left of it."
)


def test_a_command_may_have_20_words_and_a_description_25():
    """ASD-STE100, rules on procedural and on descriptive sentences (as summarised publicly)."""
    assert word_count(WORDS_20) == 20
    assert word_count(WORDS_25) == 25
    assert rules_for(WORDS_20) == set()
    assert rules_for(WORDS_20.replace("now", "right now")) == {"sentence-length"}
    assert rules_for("Put it on.", info=WORDS_25) == set()
    longer = WORDS_25.replace("on the left", "far on the left")
    assert rules_for("Put it on.", info=longer) == {"sentence-length"}


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("Use two lint-free cloths.", [4]),
        ("Turn it. Then stop.", [2, 2]),
        ("Fit these parts: the washer and the nut.", [3, 5]),
        ("Is it tight?", [3]),
    ],
)
def test_words_are_counted_as_the_page_says(text, counts):
    assert [word_count(sentence) for sentence in written_sentences(text)] == counts


@pytest.mark.parametrize(
    "text",
    [
        "Remove the bolt and install the cap.",  # the example of the public summary of ASD-STE100
        "Clean the bench, then tighten the vice.",
        "Open the hood and connect the tester.",
        "Turn the plate round. Switch on the lamp.",
        "Push in the plug and close the lid and turn the key.",
    ],
)
def test_two_instructions_are_found(text):
    assert "one-instruction" in rules_for(text)


@pytest.mark.parametrize(
    "text",
    [
        "Lay the plate face up on the bench.",
        "Put the plate on the gasket and hold it.",
        "Hold the plate and turn the nut by hand.",
        "Mark the plate with an arrow and lay it aside.",
        "Turn the plate slowly and feel for rough places.",
        "Turn the plate until the arrow meets the mark.",
        "Put the washer and the spring on the stud.",
        "Lay one unbroken bead around the face and inside every hole.",
    ],
)
def test_one_instruction_about_one_thing_is_left_alone(text):
    assert "one-instruction" not in rules_for(text)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Take off the cover.", ["cover"]),
        ("Pull the lower hose off the neck.", ["lower hose"]),
        ("Mark the upper edge of the guard and take it off.", ["guard"]),
        ("Unplug the sensor and lay its wire aside.", ["sensor"]),
        ("Take off the washer and the nut.", ["washer", "nut"]),
        ("Lift the bracket out to the top.", ["bracket"]),
        ("Disconnect both hoses.", ["hoses"]),
        ("Press the catch and pull the connector off.", ["connector"]),
        ("Take up its weight.", []),
        ("Push the cable out of the way.", []),
        ("Pull the lever away from you.", []),
        ("Take the oil level reading off the dipstick.", ["oil level reading"]),
        ("Put the plate on.", []),
        ("Scrape the old sealant off both faces.", []),
        ("Push the drain pan under the plug.", []),
    ],
)
def test_what_a_command_takes_off_is_read_out_of_it(text, parts):
    assert [part.words for part in removed(text)] == parts


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Put the cover straight onto the guide studs.", ["cover"]),
        ("Plug in the crankshaft sensor until it clicks.", ["crankshaft sensor"]),
        ("Connect the negative cable to the battery.", ["negative cable"]),
        ("Lay the strap over the rollers.", ["strap"]),
        ("Put the washer and the nut on the stud.", ["washer", "nut"]),
        ("Take off the cover.", []),
    ],
)
def test_what_a_command_puts_on_is_read_out_of_it(text, parts):
    assert [part.words for part in put_on(text)] == parts


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Loosen the fuel line.", True),
        ("Open the refrigerant valve.", True),
        ("Unplug the airbag.", True),
        ("Raise the car with the jack.", True),
        ("Compress the coil spring.", True),
        ("Drain the coolant.", True),
        ("Blow the holes dry with compressed air.", True),
        ("Start the engine.", True),
        ("Disconnect the orange cables.", True),
        ("Turn the exhaust camshaft to the mark.", False),
        ("Turn the steering wheel to the left.", False),
        ("Write the reading on the card.", False),
        ("Oil the hinge.", False),
    ],
)
def test_a_usual_danger_is_asked_for_when_a_step_brings_it(text, found):
    assert ("usual-hazards" in rules_for(text)) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Tighten it to 25 Nm.", True),
        ("Press it down with twelve bar.", True),
        ("Turn it by hand two full turns.", False),
        ("Take the socket of ten millimetres.", True),
        ("Count all four bolts.", False),
    ],
)
def test_a_value_in_a_sentence_is_found(text, found):
    assert ("spoken-values" in rules_for(text)) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Is the plate tight?", False),
        ("Is the plate free of oil?", False),
        ("Is there no oil on the plate?", True),
        ("Isn't the plate tight?", True),
        ("Check the plate.", True),
    ],
)
def test_a_question_has_one_meaning(text, found):
    assert ("clear-questions" in rules_for(text, key="check")) == found


def test_a_word_that_says_warning_is_no_warning_when_it_names_a_thing():
    assert rules_for("Hang the warning tag on the board.") == set()
