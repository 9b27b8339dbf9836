"""Every public name of the program is defined once, so that a search for it finds what it is."""

from tests.bench.rooms import defined_twice


def test_every_public_name_is_defined_once():
    assert defined_twice() == {}
