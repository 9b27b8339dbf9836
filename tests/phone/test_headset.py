"""Which phone is the headset, what the bay hears then, and what is told when one goes, comes back, or another comes."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

import numpy as np
import pytest

from assistant.events import End
from assistant.facts.bay import HeadsetIs
from assistant.phone import headset as module
from assistant.phone.ends import EitherLoudspeaker, EitherMicrophone, beside_phone, open_or_phone
from assistant.phone.framing import Hello, SoundCodec, Status, write_sound
from assistant.phone.headset import UNHEARD_MOST, Call, Headset, NotTaken
from assistant.voice.ports import BLOCK, Block, Samples, VoiceFault
from tests.devices.waiting import until

ONE, TWO = (Hello(digit * 16, SoundCodec.PCM, 16_000) for digit in "12")


class Phone:
    """What a phone's page does, without the network."""

    def __init__(self, headset: Headset, hello: Hello = ONE) -> None:
        self.got: list[bytes] = []
        self.ends: list[str] = []
        self.headset = headset
        self.call: Call = headset.join(hello, self.got.append, self.ends.append)
        self.number = -1

    def speak(self, level: int = 1000, skip: int = 0) -> None:
        self.number += 1 + skip
        piece = np.full(BLOCK, level, dtype="<i2").tobytes()
        self.headset.sound(self.call, write_sound(self.number, piece))


class OwnMicrophone:
    """A card's microphone that always hears the same."""

    name, ended = "card", False

    def read(self, timeout: float) -> Block | None:
        return Block(np.full(BLOCK, 7, dtype=np.int16), time.time()) if timeout else None

    def close(self) -> None:
        pass


class OwnLoudspeaker:
    """A card's loudspeaker; ``ask`` plays."""

    rate_hz, latency_s, alive = 48_000, 0.04, True

    def start(self, pull: Callable[[int], Samples]) -> None:
        self.ask = pull

    def close(self) -> None:
        pass


@pytest.fixture
def news() -> list[object]:
    return []


@pytest.fixture
def headset(news: list[object]) -> Iterator[Headset]:
    made = Headset(
        time.time, on_lost=lambda end: news.append(("lost", end)), on_back=lambda end: news.append(("back", end)),
        on_set=news.append, on_lost_sound=news.append, on_failure=news.append,
    )  # fmt: skip
    yield made
    made.close()


def test_the_phone_is_heard_in_place_of_the_card_and_then_the_card_again(headset: Headset, news: list[object]) -> None:
    microphone, _loudspeaker = beside_phone(OwnMicrophone(), OwnLoudspeaker(), headset)
    assert (microphone.name, microphone.read(0.1).samples[0]) == ("card", 7)
    phone = Phone(headset)
    assert microphone.name == "phone"
    before = time.time()
    phone.speak()
    block = microphone.read(0.5)
    assert set(block.samples) == {1000}
    assert before <= block.ended_at <= time.time()
    phone.speak()
    headset.leave(phone.call, wanted=True)
    assert microphone.read(0.5).samples[0] == 7  # what the phone said last is not heard behind what the card heard
    assert news == [HeadsetIs.PHONE, HeadsetIs.BAY]


def test_the_voice_goes_to_one_of_them(headset: Headset) -> None:
    card = OwnLoudspeaker()
    loudspeaker = EitherLoudspeaker(card, headset)
    asked: list[int] = []

    def pull(count: int) -> Samples:
        asked.append(count)
        return np.full(count, 500, dtype=np.int16)

    loudspeaker.start(pull)
    assert card.ask(480).any()
    phone = Phone(headset)
    asked.clear()
    assert not card.ask(480).any()
    until(lambda: len(phone.got) > 3, "the voice at the phone")
    assert set(asked) == {960}
    assert loudspeaker.latency_s > 0.07
    headset.leave(phone.call, wanted=True)
    assert card.ask(480).any()


def test_a_phone_that_takes_nothing_gets_a_second_of_voice_and_the_rest_is_counted(headset: Headset) -> None:
    EitherLoudspeaker(None, headset).start(lambda count: np.full(count, 500, dtype=np.int16))
    phone = Phone(headset)
    until(lambda: bool(phone.speak() or headset.unheard_pieces > 5), "what is left out")
    assert len(phone.got) == UNHEARD_MOST
    headset.status(phone.call, Status(UNHEARD_MOST, 0.1))
    until(lambda: len(phone.got) > UNHEARD_MOST, "the voice again")


def test_a_silent_phone_is_lost_and_back_like_a_device(
    headset: Headset, news: list[object], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "LOST_S", 0.2)
    microphone, card = EitherMicrophone(None, headset), OwnLoudspeaker()
    loudspeaker = EitherLoudspeaker(card, headset)
    phone = Phone(headset)
    assert loudspeaker.alive
    phone.speak()
    until(lambda: ("lost", End.PHONE) in news, "the loss")
    assert phone.ends == ["silent"]
    assert (microphone.read(0.01), microphone.name, loudspeaker.alive) == (None, "", True)
    with pytest.raises(NotTaken):  # it comes back by itself, where another one is the headset
        Phone(headset, Hello(TWO.client, TWO.codec, TWO.rate_hz, again=True))
    Phone(headset, Hello(ONE.client, ONE.codec, ONE.rate_hz, again=True)).speak()
    assert microphone.read(0.5) is not None
    assert news == [HeadsetIs.PHONE, ("lost", End.PHONE), ("back", End.PHONE)]


def test_a_short_gap_is_nobodys_news_and_another_phone_takes_over(headset: Headset, news: list[object]) -> None:
    first = Phone(headset)
    again = Phone(headset)
    assert (first.ends, again.call.took_over) == (["replaced"], False)
    headset.leave(first.call, wanted=False)  # the old line ends a moment later
    assert headset.is_on
    other = Phone(headset, TWO)
    assert (again.ends, other.call.took_over) == (["moved"], True)
    first.speak(level=99)  # what is still on its way from the old one
    other.speak()
    assert set(headset.read(0.5).samples) == {1000}
    assert news == [HeadsetIs.PHONE, HeadsetIs.OTHER_PHONE]


def test_lost_sound_is_told(headset: Headset, news: list[object]) -> None:
    phone = Phone(headset)
    phone.speak()
    phone.speak(skip=4)
    until(lambda: 4 in news, "the count")
    blocks = [headset.read(0.5).samples for _ in range(6)]
    assert [int(block[0]) for block in blocks] == [1000, 0, 0, 0, 0, 1000]


def test_a_listener_that_sleeps_costs_what_it_missed_and_no_more(headset: Headset) -> None:
    phone = Phone(headset)
    for _ in range(260):
        phone.speak()
    assert headset.lost_pieces == 10


def test_a_bay_without_devices_waits_for_a_phone() -> None:
    def broken() -> OwnMicrophone:
        raise VoiceFault("There is no microphone; plug one in.")

    told: list[str] = []
    with pytest.raises(VoiceFault):
        open_or_phone(broken, None, told.append)
    headset = Headset(time.time)
    assert open_or_phone(broken, headset, told.append) is None
    assert told == ["There is no microphone; plug one in. Until then a phone can be the headset."]
    headset.close()
