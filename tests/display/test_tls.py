"""The page for the customer behind a TLS proxy: it answers there, and nothing else of the display does."""

from __future__ import annotations

import re
import time
from urllib.parse import urlencode

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.customer.customers import CustomerPages
from assistant.customer.links import make_token
from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.facts.customer import CustomerAnswered
from assistant.journal.opening import open_journal
from assistant.settings import SettingsFault, load_settings
from tests.display.tls import ask_tls, tls_proxy
from tests.display.wire import ask
from tests.typed.play import play, procedure_named

LID = procedure_named("lid-and-rail")
OFFERED = "next\nnext\nnext\nnext\nask later\n"


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    play(LID, OFFERED, home=tmp_path, begin="2026-11-16T08:00")
    return tmp_path


def served(outside):
    return Display(DisplayOptions("", 0), procedures=LID.parent, job=False, customers=CustomerPages(), outside=outside)


def token_in(home):
    with open_journal(home, read_only=True) as journal:
        return make_token(journal.resolve("last"), round(time.time() * 1000) + 600_000)


def answers_in(home):
    with open_journal(home, read_only=True) as journal:
        return [one.fact.granted for one in journal.read("last").entries if isinstance(one.fact, CustomerAnswered)]


def fields(text, say):
    forms = [
        dict(re.findall(r'name="(\w+)" value="([^"]*)"', form)) for form in re.findall(r"(?s)<form.*?</form>", text)
    ]
    return urlencode(next(one for one in forms if one["say"] == say)).encode()


def test_a_customer_answers_over_tls_and_gets_to_nothing_else(home, tmp_path_factory):
    with tls_proxy(tmp_path_factory.mktemp("tls"), "") as (address, cert, servers):
        display = served(address)
        servers.append(display.link)
        try:
            path = f"/customer/{token_in(home)}"
            status, headers, text = ask_tls(address, cert, path)
            assert (status, "http://" in text) == (200, False)
            cookie = headers["set-cookie"]
            assert "secure" in cookie.lower()  # never said over plain HTTP
            given = {"cookie": cookie.partition(";")[0], "content_type": "application/x-www-form-urlencoded"}
            own = given | {"origin": address, "sec_fetch_site": "same-origin"}
            status, _, text = ask_tls(address, cert, path, "POST", fields(text, "granted"), **own)
            assert (status, "You grant extra work 1" in text) == (200, True)
            sure = fields(text, "granted")
            for origin in (display.link.rstrip("/"), address.replace("https", "http"), "https://elsewhere.example"):
                assert ask_tls(address, cert, path, "POST", sure, **given, origin=origin)[0] == 403
            assert answers_in(home) == []
            status, headers, _ = ask_tls(address, cert, path, "POST", sure, **own)
            assert (status, headers["location"].startswith("/customer/")) == (303, True)
            assert answers_in(home) == [True]
            for other in ("/", "/jobs", "/procedures", "/link", "/static/display.js", "/jobs/last"):
                status, _, text = ask_tls(address, cert, other)
                assert (status, text) == (421, "Nothing else is shown at this address.\n")
            assert ask(display.link, path).status == 200  # in the shop it is as before
            assert "secure" not in ask(display.link, path).headers["set-cookie"].lower()
        finally:
            display.close()


def test_without_the_word_of_the_proxy_that_it_was_tls_nothing_is_shown(home, tmp_path_factory):
    with tls_proxy(tmp_path_factory.mktemp("tls"), "", says=False) as (address, cert, servers):
        display = served(address)
        servers.append(display.link)
        path = f"/customer/{token_in(home)}"
        try:
            assert ask_tls(address, cert, path)[0] == 421
        finally:
            display.close()
        servers.append((plain := served("")).link)  # nobody said that there is a proxy
        try:
            assert ask_tls(address, cert, path)[0] == 421
        finally:
            plain.close()


def test_customers_behind_one_proxy_are_told_apart_by_what_it_says(home, tmp_path_factory):
    """Who tries addresses waits; another customer, who comes by the same proxy, does not."""
    display = served("https://page.example")
    told = {"host": "page.example", "x_forwarded_proto": "https"}
    try:
        for _ in range(20):
            assert ask(display.link, "/customer/nobody", **told, x_forwarded_for="198.51.100.7").status == 404
        assert ask(display.link, "/customer/nobody", **told, x_forwarded_for="198.51.100.7").status == 429
        path = f"/customer/{token_in(home)}"
        assert ask(display.link, path, **told, x_forwarded_for="203.0.113.9").status == 200
    finally:
        display.close()


def test_the_link_has_the_address_of_the_settings_and_a_wrong_one_is_refused(home):
    def run(*words):
        return CliRunner().invoke(app, list(words), env={"ASSISTANT_HOME": str(home)})

    assert run("settings", "set", "customer_address", "https://page.example:8443").exit_code == 0
    printed = run("customer", "last").output
    assert re.search(r"^https://page\.example:8443/customer/[\w-]{32}$", printed, re.MULTILINE), printed
    for wrong in (
        "http://page.example",
        "page.example",
        "https://page.example/path",
        "https://Page.example",
        "https://",
    ):
        assert run("settings", "set", "customer_address", wrong).exit_code == 2
        (home / "wrong.toml").write_text(f'customer_address = "{wrong}"\n')
        with pytest.raises(SettingsFault, match="without a path"):
            load_settings(home / "wrong.toml")


def test_a_browser_answers_over_tls(browser, home, tmp_path_factory):
    with tls_proxy(tmp_path_factory.mktemp("tls"), "") as (address, _, servers):
        display = served(address)
        servers.append(display.link)
        try:
            with browser.new_page(ignore_https_errors=True) as page:
                page.goto(f"{address}/customer/{token_in(home)}")
                page.get_by_role("button", name="Granted (extra work 1)").click()
                page.get_by_role("button", name="Yes, I grant this").click()
                page.get_by_text("You granted this").wait_for()
        finally:
            display.close()
    assert answers_in(home) == [True]
