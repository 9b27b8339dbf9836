"""The page for the customer against whoever is not the customer, and answers that meet each other. On the wire."""

from __future__ import annotations

import random
import re
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.customer.links import find_link, make_token, revoke
from assistant.display.customer_pages import Often
from assistant.facts.customer import CustomerAnswered
from assistant.facts.extra import ExtraGranted, GrantWay
from tests.display.customers import LID, Customer, found, token_for, with_loop
from tests.display.wire import ask


@pytest.fixture
def play(begin):
    return found(begin(LID, operator="A. Kerr"))


@pytest.fixture
def customer(play) -> Customer:
    return Customer(play.display.link, token_for(play))


def facts(play, *classes):
    return [entry.fact for entry in play.job.entries() if isinstance(entry.fact, classes)]


def test_the_page_shows_extra_work_and_nothing_else_of_the_job(play, customer) -> None:
    answer = customer.get()
    text = re.sub(r"<[^>]+>", " ", answer.body.decode())
    for words in ("Change the breather hose.", "The seal weeps on the left.", "A scratch on the lid.", "on request"):
        assert words in text
    for words in ("Kerr", play.job.id, "/jobs", "/procedures", "script"):
        assert words not in answer.body.decode()


def test_every_answer_is_kept_by_nobody_and_runs_nothing(play, customer) -> None:
    form = customer.form(customer.get(), 1, "granted")
    for answer in (customer.get(), customer.post(form), ask(play.display.link, "/customer/nobody")):
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src" not in policy
        assert "form-action 'self'" in policy
        assert answer.headers["cache-control"] == "no-store"
        assert answer.headers["x-robots-tag"] == "noindex, nofollow, noarchive"
        assert answer.headers["referrer-policy"] == "same-origin"
    fresh = Customer(play.display.link, customer.path.rpartition("/")[2]).get().headers["set-cookie"]
    assert "httponly" in fresh.lower()
    assert "samesite=strict" in fresh.lower()
    assert "path=/customer/" in fresh.lower()


def test_an_answer_needs_both_pages_and_is_an_entry_that_is_told(play, customer) -> None:
    first = customer.form(customer.get(), 2, "granted")
    asked = customer.post(first)
    assert asked.status == 200
    assert b"You grant extra work 2" in asked.body
    assert facts(play, CustomerAnswered) == []
    place = play.runner.session.state.place
    answer = customer.answer(play, 2, "granted")
    assert (answer.status, answer.headers["location"]) == (303, f"{customer.path}#work-2")
    (granted,) = facts(play, ExtraGranted)
    assert (granted.number, granted.way) == (2, GrantWay.PAGE)
    assert "Extra work two is granted by the customer." in play.said.getvalue()
    assert play.runner.session.state.place == place
    assert b"You granted this" in customer.get().body


def test_the_same_answer_twice_is_one_and_another_one_is_told_to_both(play, customer) -> None:
    forms = customer.sure(3, "granted"), customer.sure(3, "declined")
    assert with_loop(play, lambda: customer.post(forms[1])).status == 303
    assert customer.post(forms[1]).status == 303  # once more, without the loop: nothing new
    late = with_loop(play, lambda: customer.post(forms[0]))
    assert late.status == 409
    assert b"came after another one" in late.body
    assert [one.granted for one in facts(play, CustomerAnswered)] == [False, True]
    assert "The customer also answered extra work three: granted. But it is declined." in play.said.getvalue()


def test_two_buttons_at_once_are_two_answers_and_the_first_one_counts(play, customer) -> None:
    forms = customer.sure(2, "granted"), customer.sure(2, "declined")
    with ThreadPoolExecutor(2) as pool:
        waiting = [pool.submit(customer.post, form) for form in forms]
        play.take()
        play.take()
    first, second = facts(play, CustomerAnswered)
    assert first.granted is not second.granted
    stands = play.runner.session.for_customer[1].stands
    assert stands == ("granted" if first.granted else "declined")
    statuses = dict(zip((True, False), (one.result().status for one in waiting), strict=True))
    assert (statuses[first.granted], statuses[second.granted]) == (303, 409)


def test_a_voice_that_was_first_is_not_changed_by_the_page(play, customer) -> None:
    form = customer.sure(2, "declined")
    play.say("extra work two is granted", "the customer", "by telephone", "confirmed")
    assert b"Granted,</strong> as the workshop wrote it down" in customer.get().body
    assert with_loop(play, lambda: customer.post(form)).status == 409
    assert "declined. But it is granted. Ask the customer which counts." in play.said.getvalue()


def test_nobody_answers_for_ever(play, customer) -> None:
    forms = customer.sure(2, "granted"), customer.sure(2, "declined")
    for form in (forms[0], forms[1], forms[1], forms[1]):
        with_loop(play, lambda form=form: customer.post(form))
    answer = customer.post(forms[1])
    assert answer.status == 429
    assert b"answered several times" in answer.body
    assert len(facts(play, CustomerAnswered)) == 4


# Whoever is not the customer


def test_a_form_without_its_key_its_cookie_or_its_page_does_nothing(play, customer) -> None:
    form = customer.sure(2, "granted")
    foreign = Customer(play.display.link, token_for(play))  # another link to the same job: the first one is ended
    assert foreign.get().status == 200
    bad = [
        foreign.post(form),  # the key is of another link
        foreign.post({**foreign.sure(2, "granted"), "say": "declined"}),
        foreign.post({**foreign.sure(2, "granted"), "number": "3"}),
        foreign.post(foreign.form(foreign.get(), 2, "granted") | {"sure": "yes"}),  # past the second page
        foreign.post(foreign.sure(2, "granted"), cookie=""),
        foreign.post(foreign.sure(2, "granted"), cookie="customer=other"),
    ]
    assert [one.status for one in bad] == [403] * 6
    assert facts(play, CustomerAnswered) == []


def test_another_site_cannot_answer(play, customer) -> None:
    form = customer.sure(2, "granted")
    for headers in (
        {"origin": "http://other.example"}, {"origin": "null"}, {"origin": ""}, {"sec_fetch_site": "cross-site"},
    ):  # fmt: skip
        assert customer.post(form, **headers).status == 403
    follows = {"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate", "sec_fetch_dest": "document"}
    assert customer.get(**follows).status == 200  # a link in a mail
    assert facts(play, CustomerAnswered) == []


def test_a_link_that_is_wrong_over_or_ended_shows_the_same_and_its_secret_is_written_nowhere(play, tmp_path) -> None:
    token = token_for(play)
    assert ask(play.display.link, f"/customer/{token}").status == 200
    assert all(token.encode() not in file.read_bytes() for file in tmp_path.rglob("*") if file.is_file())
    gone = [token_for(play, days=-1)]
    gone.append(token_for(play))
    revoke(play.job.id)
    bodies = {ask(play.display.link, f"/customer/{one}").body for one in (token, *gone, "x" * 32, "%00", "%C3%A4" * 8)}
    (body,) = bodies
    assert b"This link is not known here" in body
    log = (tmp_path / "display.log").read_text()
    assert "/customer/..." in log
    assert token not in log


def test_the_link_opens_its_page_in_the_network_and_nothing_else(begin, network) -> None:
    play = found(begin(LID, host=network))
    link, token = play.display.link.partition("?")[0], token_for(play)
    customer = Customer(link, token)
    assert customer.get().status == 200  # without the token of the display
    for path in ("", "jobs", "procedures", "link", "events", "static/desk.css"):
        assert ask(link, f"/{path}", cookie=customer.cookie).status == 403
        assert ask(link, f"/{path}?token={token}", cookie=customer.cookie).status == 403
    for path in ("/../../jobs", "/%2e%2e/%2e%2e/jobs", "/pictures/../../../jobs", "/..%2f..%2fjobs"):
        answer = ask(link, f"{customer.path}{path}", cookie=customer.cookie)
        assert (answer.status, b"Please read" in answer.body) == (404, True), path
    assert customer.answer(play, 3, "declined").status == 303


def test_whoever_tries_addresses_waits(play) -> None:
    codes = [ask(play.display.link, f"/customer/{'y' * 30}{number:02}").status for number in range(25)]
    assert codes == [404] * 20 + [429] * 5


def test_what_happens_often_is_counted_for_a_minute_and_for_so_many_names() -> None:
    now = [0.0]
    often = Often(3, lambda: now[0], names=2)
    for _ in range(3):
        often.note("a")
    assert often.is_full("a")
    assert not often.is_full("b")
    now[0] = 60.0
    assert not often.is_full("a")
    for name in "bcd":
        often.note(name)
    assert not often.is_full("b")


def test_digests_are_compared_and_no_part_of_a_secret_opens_anything(tmp_path, monkeypatch) -> None:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    token = make_token("job-1", 2_000)
    assert find_link(token, 1_999).job == "job-1"
    near = [token[:-1], token + "A", token[:-1] + ("A" if token[-1] != "A" else "B"), token.swapcase(), ""]
    assert [find_link(one, 1_999) for one in near] == [None] * 5
    assert find_link(token, 2_000) is None
    (tmp_path / "customer/job-1/link.json").write_text("[" * 5000)
    assert find_link(token, 1_999) is None


def test_bodies_of_any_kind_are_refused_and_leave_the_page_standing(play, customer) -> None:
    dice = random.Random(8)
    good = customer.sure(2, "granted")
    assert customer.post(b"x" * 513).status == 413
    assert customer.post(b"x", content_length="100000").status == 413
    assert customer.post(good, content_type="text/plain").status == 400
    assert customer.post(b"number=2&number=3&say=granted&shown=x&key=y").status == 400
    letters = b"%&=;+\x00\xff" + bytes(range(32, 127))
    limit = 12  # POSTs that reach the job are counted; most of these never do
    for _ in range(limit):
        body = bytes(dice.choice(letters) for _ in range(dice.randrange(400)))
        assert customer.post(body).status in (400, 403)
    assert customer.get().status == 200
    assert facts(play, CustomerAnswered) == []


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.binary(max_size=300), st.text(max_size=40))
def test_no_form_raises(body: bytes, media: str) -> None:
    from assistant.display.customer_pages import _form

    for kind in (media, "application/x-www-form-urlencoded"):
        given_ = _form(body, kind)
        assert given_ is None or {"number", "say", "shown", "key"} <= given_.keys()
