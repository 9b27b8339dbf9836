"""Logging in by OpenID Connect, with a provider of our own on the loopback that signs with a real key."""

from __future__ import annotations

import http.client
import re
import time
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import expect

from assistant.settings import home
from tests.display.seen import accessible
from tests.fakes.provider import CLIENT, provider
from tests.jobs import SHORTEST, work
from tests.office.test_pages import until

LOGINS = """
[roles]
mechanic = ["workshop-mechanics"]
foreman = ["workshop-foremen"]
office = ["workshop-office"]
[oidc]
issuer = "{issuer}"
client = "{client}"
"""


class Visitor:
    """A browser as far as logins need one: it follows where it is sent, and keeps cookies by host."""

    def __init__(self, base: str) -> None:
        self.base = base
        self.cookies: dict[str, dict[str, str]] = {}
        self.set: list[str] = []

    def get(self, url: str, *, follow: bool = True, method: str = "GET", **headers: str):
        """Return status, headers, body and the address of the last answer."""
        for _ in range(8):
            url = url if url.startswith("http") else self.base.rstrip("/") + url
            at = urlsplit(url)
            kept = self.cookies.setdefault(at.netloc, {})
            link = http.client.HTTPConnection(at.netloc, timeout=20)
            told = {"cookie": "; ".join(f"{name}={value}" for name, value in kept.items())} if kept else {}
            link.request(method, f"{at.path}?{at.query}" if at.query else at.path, headers={**told, **headers})
            answer = link.getresponse()
            body = answer.read().decode("utf-8", "replace")
            for one in answer.headers.get_all("set-cookie") or []:
                self.set.append(one)
                name, _, value = one.partition(";")[0].partition("=")
                kept[name] = value.strip('"')
                if "max-age=0" in one.lower():
                    del kept[name]
            link.close()
            if not follow or answer.status not in (302, 303):
                return answer.status, answer.headers, body, url
            url, method = answer.headers["location"], "GET"
        raise AssertionError("sent round in a circle")

    def session(self) -> str:
        return self.cookies[urlsplit(self.base).netloc].get("__Host-office", "")


@pytest.fixture
def fake():
    with provider() as fake:
        yield fake


@pytest.fixture
def office(workshop, serve, fake):
    (home() / "office.toml").write_text(LOGINS.format(issuer=fake.issuer, client=CLIENT), "utf-8")
    return serve(workshop)


def test_who_logs_in_comes_back_to_the_page_that_was_wanted_with_a_role(workshop, office, fake):
    name = work(workshop.bay("bay1"), SHORTEST)
    visitor = Visitor(office.link)
    status, headers, _, _ = visitor.get("/jobs", follow=False)
    assert (status, headers["location"]) == (303, "/login?next=/jobs")
    status, _, page, url = visitor.get("/search")
    assert (status, urlsplit(url).path) == (200, "/search")
    assert "Kim Example, office" in page
    until(lambda: name in office.watch.shown.cards)
    assert name in visitor.get("/jobs")[2]
    (asked,), (token,) = fake.asked, fake.tokens
    assert asked["scope"].split()[0] == "openid"
    assert len(asked["state"]) >= 30
    assert len(asked["nonce"]) >= 30
    assert len(token["code_verifier"]) >= 43, "RFC 7636, 4.1"
    assert asked["redirect_uri"] == f"{office.link}login/back"
    session = next(one for one in visitor.set if one.startswith("__Host-office="))
    assert {"Secure", "HttpOnly", "Path=/", "SameSite=lax"} <= {part.strip() for part in session.split(";")}
    assert "Domain" not in session


def test_a_role_is_of_the_groups_that_the_provider_tells(office, fake):
    for groups, status, path in (
        (["workshop-mechanics"], 403, "/due"),
        (["workshop-foremen", "others"], 200, "/due"),
        (["workshop-foremen"], 403, "/exports"),
        ("workshop-mechanics workshop-office", 200, "/exports"),
    ):
        fake.person = {"sub": "x", "groups": groups}
        assert Visitor(office.link).get(path)[0] == status, groups
    for groups in (["others"], [], None, 7, {"workshop-office": True}):
        fake.person = {"sub": "x", "groups": groups}
        visitor = Visitor(office.link)
        status, _, page, _ = visitor.get("/jobs")
        assert (status, "Your login has no role here" in page) == (403, True)
        assert visitor.session() == ""


def without(key):
    return lambda claims: {name: value for name, value in claims.items() if name != key}


@pytest.mark.parametrize(
    "spoil",
    [
        lambda claims: claims | {"iss": "https://other.example"},
        lambda claims: claims | {"aud": "another-client"},
        lambda claims: claims | {"aud": [CLIENT, "another-client"]},
        lambda claims: claims | {"azp": "another-client"},
        lambda claims: claims | {"exp": int(time.time()) - 3600},
        lambda claims: claims | {"iat": int(time.time()) + 3600},
        lambda claims: claims | {"nonce": "another"},
        *(without(key) for key in ("iss", "aud", "exp", "iat", "nonce", "sub")),
    ],
)
def test_an_id_token_that_is_not_for_this_login_lets_nobody_in(office, fake, spoil):
    fake.spoil = spoil
    visitor = Visitor(office.link)
    status, _, page, _ = visitor.get("/jobs")
    assert (status, "The ID token is not for this login" in page) == (403, True)
    assert visitor.session() == ""


def test_a_token_that_the_provider_did_not_sign_lets_nobody_in(office, fake):
    assert Visitor(office.link).get("/jobs")[0] == 200
    published = list(fake.published)
    fake.new_key()
    fake.published = published  # signed by a key that is not the provider's
    status, _, page, _ = Visitor(office.link).get("/jobs")
    assert (status, "not signed by the provider" in page) == (403, True)
    fake.published = [fake.key]  # a new key of the provider is taken up
    assert Visitor(office.link).get("/jobs")[0] == 200
    fake.algorithm = "HS256"
    assert Visitor(office.link).get("/jobs")[0] == 403, "no signature by a secret that both share"


def test_an_answer_that_this_browser_did_not_ask_for_is_refused(office, fake):
    one, other = Visitor(office.link), Visitor(office.link)
    address = one.get("/login", follow=False)[1]["location"]
    back = one.get(address, follow=False)[1]["location"]
    assert other.get(back)[0] == 403, "begun in another browser"
    assert other.session() == ""
    assert one.get(back)[0] == 403, "it is good once"
    for query in ("", "?state=x&code=y", "?error=access_denied", "?code=y&state="):
        status, _, page, _ = one.get(f"/login/back{query}")
        assert (status, "log in once more" in page) == (403, True)
    address = one.get("/login", follow=False)[1]["location"]
    state = parse_qs(urlsplit(address).query)["state"][0]
    assert "The provider did not log you in" in one.get(f"/login/back?state={state}&error=access_denied")[2]


def test_nobody_is_sent_away_to_another_place(office, fake):
    for wanted in ("https://other.example/", "//other.example", "/\\other.example", "/login", "jobs"):
        visitor = Visitor(office.link)
        status, _, _, url = visitor.get(f"/login?next={wanted}")
        assert (status, url) == (200, f"{office.link}jobs")


def test_who_logs_out_is_out(office, fake):
    visitor = Visitor(office.link)
    assert visitor.get("/jobs")[0] == 200
    session = visitor.session()
    origin = office.link.rstrip("/")
    assert visitor.get("/logout", method="POST")[0] == 403, "another page may not log anybody out"
    assert visitor.get("/logout", method="POST", origin="https://other.example")[0] == 403
    status, _, page, _ = visitor.get("/logout", method="POST", origin=origin)
    assert (status, "You are logged out here." in page) == (200, True)
    assert visitor.session() == ""
    stolen = Visitor(office.link)
    stolen.cookies[urlsplit(office.link).netloc] = {"__Host-office": session}
    assert stolen.get("/jobs", follow=False)[0] == 303, "the session is over, whoever kept its cookie"
    assert stolen.get("/events")[0] == 403


def test_a_secret_is_sent_to_the_provider_alone(workshop, serve, fake):
    fake.secret = "between-us"
    (home() / "office.toml").write_text(LOGINS.format(issuer=fake.issuer, client=CLIENT), "utf-8")
    (home() / "office.secret").write_text("between-us\n", "ascii")
    (home() / "office.secret").chmod(0o600)
    office = serve(workshop)
    visitor = Visitor(office.link)
    assert visitor.get("/jobs")[0] == 200
    assert "between-us" not in str(fake.asked) + str(visitor.cookies)
    Visitor(office.link).get("/login/back?state=x&code=y")  # a line in the log
    assert "between-us" not in (home() / "office.log").read_text("utf-8")


def test_a_provider_that_is_away_is_one_sentence(workshop, serve, fake):
    (home() / "office.toml").write_text(LOGINS.format(issuer="http://127.0.0.1:1", client=CLIENT), "utf-8")
    status, _, page, _ = Visitor(serve(workshop).link).get("/jobs")
    assert status == 503
    assert re.findall(r"<p>(The provider of the logins does not answer\..*?)</p>", page)


@pytest.mark.timeout(180)
def test_in_the_network_a_browser_logs_in_over_tls_and_out_again(workshop, serve, fake, network, browser):
    name = work(workshop.bay("bay1"), SHORTEST, most=2)
    (home() / "office.toml").write_text(LOGINS.format(issuer=fake.issuer, client=CLIENT), "utf-8")
    office = serve(workshop, host=network)
    assert office.link.startswith(f"https://{network}:")
    fake.person = {"sub": "x", "name": "Alex <b>", "groups": ["workshop-foremen"]}
    context = browser.new_context(ignore_https_errors=True, viewport={"width": 390, "height": 844})
    try:
        page = context.new_page()
        page.set_default_timeout(20_000)
        page.goto(f"{office.link}tools")
        expect(page.get_by_role("heading", level=1)).to_have_text("Tools of all bays")
        expect(page.get_by_text("Alex <b>, foreman")).to_be_visible()
        cookies = [one for one in context.cookies() if one["name"] == "__Host-office"]
        assert [(one["secure"], one["httpOnly"], one["sameSite"]) for one in cookies] == [(True, True, "Lax")]
        page.get_by_role("link", name="Jobs", exact=True).click()
        expect(page.get_by_role("link", name=name, exact=True)).to_be_visible()
        later = work(workshop.bay("bay2"), SHORTEST, most=2, start_s=1_790_086_400.0)
        expect(page.get_by_role("link", name=later, exact=True)).to_be_visible()  # it follows, over TLS too
        accessible(page)
        page.goto(f"{office.link}exports")
        expect(page.get_by_text("This page is for the office: your role is foreman.")).to_be_visible()
        page.get_by_role("button", name="Log out").click()
        expect(page.get_by_text("You are logged out here.")).to_be_visible()
        assert not [one for one in context.cookies() if one["name"] == "__Host-office"]
    finally:
        context.close()
