"""A phrase spoken into a real browser is heard by the real listener, and the voice comes back; and a lost line."""

from __future__ import annotations

import io
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from PIL import Image

from assistant.bay.engines import choose_recogniser
from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.events import Clarity, End, Grammar, Heard
from assistant.facts.bay import HeadsetIs
from assistant.phone.ends import EitherLoudspeaker, EitherMicrophone
from assistant.phone.headset import Headset
from assistant.settings import Settings
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.listening.listener import Listener, ListeningThread
from assistant.voice.speaking.speaker import CardSpeaker
from audio_fixtures.make_talks import RATE, speech
from tests.devices.waiting import until
from tests.display.play import SHORT
from tests.phone.browser import phone, state, waits_for, wav


class Bay:
    """A headset and its page."""

    def __init__(self, host: str = "") -> None:
        self.news: list[object] = []
        self.headset = Headset(
            time.time, on_lost=lambda end: self.news.append(("lost", end)),
            on_back=lambda end: self.news.append(("back", end)), on_set=self.news.append, on_failure=self.news.append,
        )  # fmt: skip
        self.serve(host, 0)

    def serve(self, host: str, port: int) -> None:
        self.display = Display(
            DisplayOptions(host, port, True), procedures=SHORT.parent, press=lambda _phrase, _at: True,
            https="beside", phone=self.headset,
        )  # fmt: skip

    def close(self) -> None:
        self.display.close()
        self.headset.close()


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def bay(home: Path) -> Iterator[Bay]:
    made = Bay()
    yield made
    made.close()


@pytest.fixture
def spoken(tmp_path: Path) -> Path:
    """Somebody says "next" every three seconds."""
    said = speech("next", "rms")
    return wav(tmp_path / "next.wav", np.concatenate([np.zeros(RATE), said, np.zeros(2 * RATE)]), RATE)


@pytest.mark.audio
def test_a_phrase_is_heard_through_the_phone_and_the_voice_comes_back(
    browser,
    home: Path,
    network: str,
    spoken: Path,
) -> None:
    served = Bay(network)
    heard: list[Heard] = []
    listener = Listener(choose_recogniser(Settings(), heard.append), heard.append, headset=lambda: served.headset.is_on)
    listener.set_grammar(Grammar(("next", "repeat", "yes", "help")))
    microphone, loudspeaker = EitherMicrophone(None, served.headset), EitherLoudspeaker(None, served.headset)
    said: list[bool] = []
    speaker = CardSpeaker(Pyttsx3Synthesiser(), loudspeaker, on_said=lambda _text, whole: said.append(whole))
    thread = ListeningThread(microphone, listener, on_failure=served.news.append)
    try:
        with phone(browser, served.display, spoken) as page:
            assert page.url.startswith("https://")  # and no click through a warning: the certificate was checked
            page.get_by_role("button", name="Use this phone as headset").click()
            waits_for(page, "This phone is the headset.")
            speaker.say("Step one of twelve.")
            until(lambda: said == [True], "the sentence to be spoken", 30)
            until(lambda: any(one.text == "next" and one.clarity is Clarity.PHRASE for one in heard), "the word", 40)
            call = served.headset._call
            until(lambda: 50 < call.sent <= call.got + 5, "the voice to be taken by the page", 20)
            page.get_by_role("button", name="End the headset").click()
            until(lambda: HeadsetIs.BAY in served.news, "the end")
            assert state(page) == "This phone is no headset any more."
        assert served.news == [HeadsetIs.PHONE, HeadsetIs.BAY]
    finally:
        microphone.close()
        thread.close()
        speaker.close()
        served.close()


def test_a_lost_line_is_told_and_the_page_comes_back_by_itself(browser, bay: Bay, spoken: Path) -> None:
    port = int(bay.display.link.rsplit(":", 1)[1].strip("/"))
    with phone(browser, bay.display, spoken, path="?codec=pcm") as page:
        page.locator("#headset-button").click()
        until(lambda: bay.headset.read(0.1) is not None, "the sound", 20)
        bay.display.close()
        waits_for(page, "The assistant is not reached.")
        until(lambda: ("lost", End.PHONE) in bay.news, "the loss")
        bay.serve("", port)
        until(lambda: ("back", End.PHONE) in bay.news, "the phone again", 30)
        until(lambda: bay.headset.read(0.1) is not None, "the sound again", 20)
        waits_for(page, "This phone is the headset.")
        with phone(browser, bay.display, spoken) as other:
            other.locator("#headset-button").click()
            waits_for(other, "Another one was it before.")
            waits_for(page, "Another phone is the headset now.")
            assert bay.news == [HeadsetIs.PHONE, ("lost", End.PHONE), ("back", End.PHONE), HeadsetIs.OTHER_PHONE]


def test_a_microphone_that_is_not_allowed_is_a_sentence(browser, bay: Bay, spoken: Path) -> None:
    with phone(browser, bay.display, spoken, allows=False) as page:
        page.locator("#headset-button").click()
        waits_for(page, "The microphone is not allowed here.")
        assert page.locator("#headset-button").inner_text() == "Use this phone as headset"
    assert bay.news == []


def test_a_device_without_a_microphone_is_a_sentence(browser, bay: Bay, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PULSE_SERVER", "unix:/nowhere/at/all")
    with phone(browser, bay.display, None) as page:
        page.locator("#headset-button").click()
        waits_for(page, "This device has no microphone.")
        assert page.locator("#headset-button").inner_text() == "Use this phone as headset"
    assert bay.news == []


def test_a_page_that_came_without_https_leads_to_the_page_that_tells_the_way(browser, home: Path, network: str) -> None:
    served = Bay(network)
    try:
        with phone(browser, served.display, None) as page:
            page.goto(served.display.touch_link)  # the plain address, as a phone scans it from the wall
            assert page.url.startswith("http://")
            assert not page.evaluate("window.isSecureContext"), "so a browser gives no microphone here"
            page.locator("#headset-button").click()
            page.wait_for_url("**/phone")
            assert page.get_by_role("heading", level=1).inner_text() == "Phone as headset"
            assert "Scan this code with the phone." in page.inner_text("main")
            assert served.display._secure.certificate.fingerprint in page.inner_text("main")
            (read,) = zxingcpp.read_barcodes(Image.open(io.BytesIO(page.locator("img.code").screenshot())).convert("L"))
            assert read.text == served.display._links.secure_touching
            page.goto(read.text)
            assert page.evaluate("window.isSecureContext")
            assert page.locator("#headset-button").is_visible()
    finally:
        served.close()
    assert served.news == []


def test_where_https_is_not_set_the_page_says_what_to_set(browser, home: Path, network: str) -> None:
    headset = Headset(time.time)
    display = Display(
        DisplayOptions(network, 0, True), procedures=SHORT.parent, press=lambda _phrase, _at: True, phone=headset
    )
    try:
        with phone(browser, display, None) as page:
            page.goto(display.touch_link)
            page.locator("#headset-button").click()
            page.wait_for_url("**/phone")
            assert page.locator("main p").all_inner_texts() == [
                "A phone gives its microphone only to a page that comes over HTTPS. Put https = \"beside\" into the "
                "settings, and start the assistant again."
            ]  # fmt: skip
    finally:
        display.close()
        headset.close()


def test_a_line_that_is_cut_on_the_way_is_told_and_comes_back(browser, bay: Bay, spoken: Path) -> None:
    with phone(browser, bay.display, spoken, path="?codec=pcm") as page:
        page.locator("#headset-button").click()
        waits_for(page, "This phone is the headset.")
        until(lambda: bay.headset.read(0.1) is not None, "the sound", 20)
        page.context.set_offline(True)  # out of reach: nothing is said to either end
        waits_for(page, "The assistant is not reached. Trying again.")
        until(lambda: ("lost", End.PHONE) in bay.news, "the loss, at the bay", 30)
        page.context.set_offline(False)
        until(lambda: ("back", End.PHONE) in bay.news, "the phone again", 40)
        until(lambda: bay.headset.read(0.1) is not None, "the sound again", 20)
        waits_for(page, "This phone is the headset.")
    assert bay.news[:3] == [HeadsetIs.PHONE, ("lost", End.PHONE), ("back", End.PHONE)]
