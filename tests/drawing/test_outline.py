"""The line around the bolts is the convex hull that scipy (Qhull) finds, and holds every bolt."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.drawing.outline import part_outline

PLACES = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=3, max_size=24, unique=True)


@settings(max_examples=60)
@given(PLACES)
def test_the_line_has_the_corners_of_scipys_hull(places):
    found = part_outline(places)
    if len(found) == 2:  # all in one line, which Qhull refuses
        assert sorted(found) == [min(places), max(places)]
        return
    from scipy.spatial import ConvexHull

    hull = ConvexHull(places)
    assert set(found) == {places[corner] for corner in hull.vertices}
    ring = [*found, found[0]]
    twice = sum(one[0] * two[1] - two[0] * one[1] for one, two in itertools.pairwise(ring))
    assert twice / 2 == pytest.approx(hull.volume)  # in the plane, Qhull's volume is the area; more than zero: in turn


def test_what_has_no_inside_has_no_line_around_it():
    assert part_outline([]) == part_outline([(3.0, 4.0)]) == []
    assert part_outline([(0.0, 0.0), (5.0, 0.0)]) == [(0.0, 0.0), (5.0, 0.0)]
