"""Bays, senders, server and network go away at random moments: nothing is lost, doubled, reordered, or in two bays."""

import contextlib

import pytest

from tests.central.chaos import EVENTS, Chaos

MOMENTS = 12
"""So many here; ``python -m tests.central.chaos --moments 200`` is the long one."""


@pytest.mark.slow
@pytest.mark.database
@pytest.mark.xdist_group("chaos")
@pytest.mark.timeout(400)
def test_whatever_is_killed_cut_or_set_everything_that_was_confirmed_is_in_the_store_once(tmp_path):
    with contextlib.closing(Chaos(tmp_path, start_value=7)) as chaos:
        happened = chaos.run(MOMENTS, lambda _told: None)
        chaos.settle()
        assert chaos.faults() == []
        assert happened.total() == MOMENTS
        assert set(happened) <= set(EVENTS)
        assert sum(one.confirmed() for one in chaos.bays) > MOMENTS
