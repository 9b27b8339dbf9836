"""Jobs with a page for the customer, and what a browser without a screen would send."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from urllib.parse import urlencode

from assistant.customer.links import DAY_MS, make_token
from assistant.events import Source
from tests.display.play import Play
from tests.display.wire import Answer, ask
from tests.typed.play import procedure_named

LID = procedure_named("lid-and-rail")
TO_OFFER = ("next",) * 4
"""From the beginning of LID to where extra work one is offered."""


def find(play: Play, words: str, how: str) -> None:
    """Take down a finding, and how bad it is."""
    play.say("i found something")
    play.say(words, source=Source.KEY)
    play.say("end note", how, "confirmed")


def found(play: Play) -> Play:
    """Come to extra work one, leave it open, and find two more things."""
    play.say(*TO_OFFER, "ask later")
    find(play, "the seal weeps on the left", "before it runs")
    find(play, "a scratch on the lid", "only watch it")
    return play


def token_for(play: Play, days: float = 1.0) -> str:
    return make_token(play.job.id, round(time.time() * 1000 + days * DAY_MS))


class Customer:
    """Somebody with a link, and a browser that keeps the cookie."""

    def __init__(self, link: str, token: str) -> None:
        self.link, self.path = link, f"/customer/{token}"
        self.cookie = ""

    def get(self, **headers: str) -> Answer:
        given = {"cookie": self.cookie} if self.cookie else {}
        answer = ask(self.link, self.path, **given, **headers)
        if "set-cookie" in answer.headers:
            self.cookie = answer.headers["set-cookie"].partition(";")[0]
        return answer

    def post(self, fields: dict[str, str] | bytes, **headers: str) -> Answer:
        body = fields if isinstance(fields, bytes) else urlencode(fields).encode()
        given = {
            "origin": self.link.rstrip("/"), "content_type": "application/x-www-form-urlencoded", "cookie": self.cookie,
        }  # fmt: skip
        return ask(
            self.link, self.path, "POST", body, **{key: value for key, value in (given | headers).items() if value}
        )

    def forms(self, answer: Answer) -> list[dict[str, str]]:
        """The fields of all forms of a page."""
        forms = re.findall(r"<form.*?</form>", answer.body.decode(), re.DOTALL)
        return [dict(re.findall(r'name="(\w+)" value="([^"]*)"', form)) for form in forms]

    def form(self, answer: Answer, number: int, say: str) -> dict[str, str]:
        return next(one for one in self.forms(answer) if (one["number"], one["say"]) == (str(number), say))

    def sure(self, number: int, say: str) -> dict[str, str]:
        """The fields that answer: those of the second page."""
        return self.forms(self.post(self.form(self.get(), number, say)))[0]

    def answer(self, play: Play, number: int, say: str) -> Answer:
        """Answer, while the loop of the job takes it."""
        return with_loop(play, lambda: self.post(self.sure(number, say)))


def with_loop(play: Play, do: Callable[[], Answer], notes: int = 1) -> Answer:
    """Do something that waits for the loop of the job."""
    with ThreadPoolExecutor(1) as pool:
        done = pool.submit(do)
        for _ in range(notes):
            play.take()
        return done.result()
