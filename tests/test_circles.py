"""Nothing that a module imports leads back to it, not even for its types: each is understood after what it names."""

from tests.bench.rooms import arrows_of_modules, by_room, circles


def test_neither_rooms_nor_modules_lead_back_to_themselves():
    arrows = arrows_of_modules()
    assert sum(map(len, arrows.values())) > 1000, "the modules are looked at, and what they import"
    assert circles(by_room(arrows)) == []
    assert circles(arrows) == []
