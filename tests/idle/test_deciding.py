"""Whatever comes in whatever order: nothing begins by voice that was not asked for, read back and confirmed."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from assistant.events import Clarity, Heard, Say, Source, Thresholds
from assistant.idle.deciding import answer_to
from assistant.idle.known import people_of
from assistant.idle.passing import alone_ms, asleep, kept_awake, pass_time
from assistant.idle.state import AWAKE_MS, SPOKEN_MOST, AtHand, Between, ListRow, Pressed, RowKind, Uttered
from assistant.idle.understanding import heard_here, idle_grammar, understood_as
from assistant.idle.view import idle_view
from assistant.language.en import ENGLISH

LIMITS = Thresholds(harmless=0.6, moving=0.75, critical=0.9)
TITLES = (
    "Side cover of the gearbox",
    "Pump cover",
    "Reseal the hub",
    "Valve clearances",
    "Clutch of the winch",
    "Axle",
)
JOBS = tuple(
    ListRow(kind=RowKind.JOB, key=f"bay1-{number}", title=title, stands="open", operator="Lee")
    for number, title in enumerate(TITLES)
)
FILES = tuple(
    ListRow(kind=RowKind.PROCEDURE, key=f"{number}.yaml", title=title, stands="draft" if number % 2 else "procedure")
    for number, title in enumerate(TITLES)
)
WORLD = AtHand(JOBS, FILES, people_of("Kim, Jon, John, Lee"), "Lee")
PHRASES = ("jobs", "procedures", "new job", "next one", "one before", "number two", "number nine", "start", "resume",
           "operator kim", "operator jon", "who works here", "gearbox", "yes", "no", "confirmed", "cancel", "help",
           "repeat", "louder", "be quiet", "wobble")  # fmt: skip


def says(text: str, confidence: float = 1.0, clarity: Clarity = Clarity.PHRASE, source: Source = Source.VOICE) -> Heard:
    return Heard(text, confidence, 0.0, 1.0, clarity, source)


SPOKEN = st.builds(
    says,
    st.sampled_from(PHRASES),
    st.sampled_from((0.3, 0.7, 0.8, 1.0)),
    st.sampled_from((Clarity.PHRASE, Clarity.SPEECH)),
)


@given(st.lists(st.tuples(SPOKEN, st.integers(0, 20_000)), max_size=30))
def test_by_voice_without_a_wake_phrase_only_a_confirmed_question_begins_a_job(talk: list[tuple[Heard, int]]) -> None:
    state, now_ms = Between(WORLD), 1_000
    for heard, pause in talk:
        now_ms += pause
        state = pass_time(state, now_ms)
        asked = state.asking
        said = understood_as(heard, state, LIMITS, ENGLISH)
        if said is None:
            continue
        answer = answer_to(state, said, now_ms, ENGLISH)
        if answer.wish is not None:
            assert asked is not None
            assert heard.confidence >= LIMITS.harmless
            assert answer.wish.row == asked.row
            assert heard.text in ("yes", "confirmed")
        state = answer.state
        assert state.listed is None or state.listed.at is None or 0 <= state.listed.at < len(state.listed.rows)
        assert idle_view(state, ENGLISH, now_ms)["page"] == "idle"
        assert len([one for one in answer.effects if isinstance(one, Say)]) <= 1


@given(st.lists(SPOKEN, max_size=20))
def test_with_a_wake_phrase_nothing_else_is_heard_before_it(talk: list[Heard]) -> None:
    state = Between(WORLD, "good morning workshop")
    assert idle_grammar(state, ENGLISH).phrases == ("good morning workshop",)
    assert all(understood_as(heard, state, LIMITS, ENGLISH) is None for heard in talk)
    assert understood_as(says("good morning workshop", 0.89), state, LIMITS, ENGLISH) is None
    assert understood_as(says("good morning workshop", 0.9), state, LIMITS, ENGLISH) == Uttered("wake")


def test_while_nobody_is_there_each_phrase_must_be_as_sure_as_a_critical_one() -> None:
    state = Between(WORLD)
    assert understood_as(says("jobs", 0.89), state, LIMITS, ENGLISH) is None
    assert understood_as(says("mumble", 1.0, Clarity.UNCLEAR), state, LIMITS, ENGLISH) is None
    awake = answer_to(state, Uttered("list_jobs"), 0, ENGLISH).state
    assert understood_as(says("jobs", 0.8), awake, LIMITS, ENGLISH) == Uttered("list_jobs")


def test_a_list_tells_four_and_how_many_more() -> None:
    answer = answer_to(Between(WORLD), Uttered("list_jobs"), 0, ENGLISH)
    (said,) = [one.text for one in answer.effects if isinstance(one, Say)]
    assert said.startswith("Six jobs. One: Side cover of the gearbox, open.")
    assert said.endswith("Four: Valve clearances, open. And two more.")
    assert said.count(":") == SPOKEN_MOST


def test_next_one_walks_to_the_last_row_and_stays_there() -> None:
    state = answer_to(Between(WORLD), Uttered("list_procedures"), 0, ENGLISH).state
    for number in range(1, len(FILES) + 1):
        state = answer_to(state, Uttered("next_one"), 0, ENGLISH).state
        assert state.listed is not None
        assert (state.listed.at, state.listed.first) == (number - 1, (number - 1) // 4 * 4)
    answer = answer_to(state, Uttered("next_one"), 0, ENGLISH)
    assert answer.effects == (Say("That is the last of six."),)
    assert answer.state.listed == state.listed


def test_a_word_finds_jobs_and_procedures() -> None:
    state = answer_to(Between(WORLD), Uttered("list_procedures"), 0, ENGLISH).state
    assert "gearbox" in idle_grammar(state, ENGLISH).phrases
    assert "gearbox" not in idle_grammar(Between(WORLD), ENGLISH).phrases  # only while it lists
    answer = answer_to(state, Uttered("search", name="gearbox"), 0, ENGLISH)
    assert answer.effects == (
        Say("Two matches for gearbox. One: Side cover of the gearbox, open. Two: Side cover of the gearbox."),
    )
    nothing = answer_to(state, Uttered("search", name="rocket"), 0, ENGLISH)
    assert nothing.effects == (Say("Nothing is found for rocket."),)


def test_whoever_was_named_is_forgotten_behind_half_a_minute() -> None:
    state = answer_to(Between(WORLD), Uttered("works", name="Kim"), 0, ENGLISH).state
    assert state.who == "Kim"
    assert alone_ms(state) == AWAKE_MS
    assert pass_time(state, AWAKE_MS - 1) is state
    assert pass_time(state, AWAKE_MS) == asleep(state)
    assert pass_time(kept_awake(state, 10_000), AWAKE_MS).who == "Kim"  # it spoke meanwhile
    assert asleep(state).who == "Lee"


def test_a_button_of_a_row_that_is_gone_does_nothing() -> None:
    state = Between(replace(WORLD, jobs=()))
    assert answer_to(state, Pressed("resume_job", "bay1-0"), 0, ENGLISH).wish is None
    assert answer_to(state, Pressed("no such button", "x"), 0, ENGLISH).effects == ()


def test_confirmed_is_listened_for_only_behind_a_question() -> None:
    assert "confirmed" not in heard_here(answer_to(Between(WORLD), Uttered("list_jobs"), 0, ENGLISH).state)
    chosen = answer_to(
        answer_to(Between(WORLD), Uttered("list_jobs"), 0, ENGLISH).state, Uttered("next_one"), 0, ENGLISH
    ).state
    asked = answer_to(chosen, Uttered("resume_job"), 0, ENGLISH).state
    assert "confirmed" in heard_here(asked)
    assert asked.asking is not None
    assert asked.asking.question == "Resume Side cover of the gearbox, operator Lee?"
