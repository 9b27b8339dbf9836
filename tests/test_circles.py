"""Nothing that a module imports leads back to it, not even for its types: each is understood after what it names."""

from tests.bench.rooms import arrows_of_modules, by_room, circles


def test_neither_rooms_nor_modules_lead_back_to_themselves():
    arrows = arrows_of_modules()
    assert circles(by_room(arrows)) == []
    # The session's is being taken apart.
    assert [circle for circle in circles(arrows) if not circle[0].startswith("assistant.session.")] == []
