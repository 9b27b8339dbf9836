"""Every public name of the program is defined once, so that a search for it finds what it is."""

from tests.bench.rooms import defined_twice

LEFT = {
    # The words of the language, of which the report and the session have some of their own still.
    "heard_words", "lock_in", "off", "open_items", "strokes", "thing",
    # The file format.
    "ADAPTER", "Bolts", "Choice", "FORMAT", "LENGTH", "Limits", "Record", "S", "STRAIGHT", "Steps", "T", "table",
}  # fmt: skip
"""Names that two modules define still; no new one may join them. The session, which is written anew, is not counted."""


def test_every_public_name_is_defined_once():
    found = {
        name: modules
        for name, paths in defined_twice().items()
        if len(modules := [path for path in paths if not path.startswith("session/")]) > 1
    }
    assert {name: modules for name, modules in found.items() if name not in LEFT} == {}
