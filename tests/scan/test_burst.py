"""Which keys are a reader's: by times alone, in both directions."""

from hypothesis import given
from hypothesis import strategies as st

from assistant.scan.burst import ENTER, LATE_S, READER_S, Burst, Scan, TypedKey, Unended

CHARS = st.characters(codec="ascii", categories=["L", "N", "P", "S", "Zs"])
CODES = st.text(CHARS, min_size=1, max_size=40)
BY_HAND = st.floats(READER_S + 0.002, 2.0)
"""Times between two keys of a person [s]: the fastest have twice that and more."""
BY_READER = st.floats(0.0, READER_S - 0.002)
KEYS = st.sampled_from([*"rsbvwyncxpoqh 0123456789", "\r", "\n", "\x1b[6~", "\x1b[5~", "\x1b[C", "\x7f"])


def fed(*keys: tuple[str, float]) -> list:
    """Feed keys with the time since the one before each [s], let the time pass behind the last; return what came."""
    burst, at, came = Burst(), 100.0, []
    for key, after in keys:
        at += after
        came += burst.feed(key, at)
    return came + burst.tick(at + 2 * LATE_S)


@given(st.lists(st.tuples(KEYS, BY_HAND), max_size=40))
def test_what_a_person_or_a_pedal_types_is_never_a_code(typed):
    assert fed(*typed) == [TypedKey(key) for key, _ in typed]


@given(CODES, st.data())
def test_no_key_of_a_code_is_ever_pressed(code, data):
    keys = [(char, data.draw(BY_READER)) for char in code]
    came = fed(*keys, (data.draw(st.sampled_from(ENTER)), data.draw(BY_READER)))
    assert [one.text for one in came] == [code]
    assert isinstance(came[0], Scan)


@given(st.text("yncx0123456789", min_size=2, max_size=30).filter(lambda text: len(set(text)) > 1), st.data())
def test_a_reader_that_sends_no_enter_presses_nothing(code, data):
    assert fed(*((char, data.draw(BY_READER)) for char in code)) == [Unended(code)]


@given(st.lists(CODES, min_size=1, max_size=4), st.data())
def test_codes_and_keys_between_them_keep_apart(codes, data):
    keys, expected = [], []
    for code in codes:
        typed = data.draw(st.sampled_from(["y", "\x1b[6~", "r"]))
        keys += [
            (typed, LATE_S),
            *((char, LATE_S if at == 0 else 0.004) for at, char in enumerate(code)),
            ("\r", 0.004),
        ]
        expected += [typed, code]
    came = fed(*keys)
    assert [one.sent if isinstance(one, TypedKey) else one.text for one in came] == expected


def test_a_held_key_and_a_bouncing_pedal_are_a_persons():
    assert fed(*(("r", 0.033) for _ in range(20))) == [TypedKey("r")] * 20
    assert fed(("\n", 0.0), ("\n", 0.01), ("\n", 0.033)) == [TypedKey("\n")] * 3


def test_a_computer_that_is_busy_hands_the_end_of_a_code_on_late():
    """Enter behind a code that came late would else be "next"."""
    late = LATE_S - 0.05
    assert [one.text for one in fed(*((char, 0.005) for char in "WO47"), ("1", late), ("\r", late))] == ["WO471"]


def test_carriage_return_and_line_feed_are_one_end():
    assert [one.text for one in fed(*((char, 0.005) for char in "WO47\r\n"))] == ["WO47"]


def test_a_short_code_is_surer_than_fast_typing():
    (read,) = fed(("1", 0.0), ("2", 0.008), ("\r", 0.008))
    (rolled,) = fed(("o", 0.0), ("n", 0.04), ("\r", 0.045))
    assert (read.is_sure, rolled.is_sure) == (True, False)
