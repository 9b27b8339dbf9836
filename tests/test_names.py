"""Every public name of the program is defined once, so that a search for it finds what it is."""

from tests.bench.rooms import defined_twice

LEFT = {
    # The session and the language, which are being written anew.
    "Bolt", "Card", "End", "RULES", "Thing", "accept_answer", "accept_count", "accept_reading", "ask", "bolts",
    "confirm", "counted", "found", "how_many", "leave", "left_out", "missing", "off", "open_items",
    "open_parts", "reading", "replaced", "strokes", "thing", "value_words", "where", "words",
    # The journal's port.
    "S", "STATES",
    # The file format.
    "KINDS", "Limits", "Place", "T", "quoted",
    # The options of the command line.
    "Display", "Meter", "Microphone", "Synthesiser",
}  # fmt: skip
"""Names that two modules define still; no new one may join them."""


def test_every_public_name_is_defined_once():
    assert set(defined_twice()) - LEFT == set()
