"""What each role may open, route by route, behind a proxy that logs people in; and who is not believed."""

from __future__ import annotations

import re
import time

import pytest

from assistant.desk.options import DisplayOptions
from assistant.display.roles import LEAST_ROLES, WITHOUT_LOGIN, OfficeRole, may_open
from assistant.office.serving import OfficeServer
from assistant.settings import home
from assistant.terminal.exits import Refusal
from tests.display.wire import ask
from tests.jobs import ROOT, SHORTEST, work
from tests.office.conftest import PROCEDURES

PROXY = """
[roles]
mechanic = ["mechanics"]
foreman = ["foremen"]
office = ["office", "chief"]
[proxy]
addresses = ["{address}"]
"""
GROUPS = {OfficeRole.MECHANIC: "mechanics", OfficeRole.FOREMAN: "foremen", OfficeRole.OFFICE: "office"}
M, F, O = OfficeRole  # noqa: E741
# The brief of the workshop, by hand, and not the table of the program: who may open what.
WANTED = {
    "/": {M, F, O}, "/jobs": {M, F, O}, "/jobs/{job}": {M, F, O}, "/jobs/{job}/record.pdf": {M, F, O},
    "/events": {M, F, O},
    "/due": {F, O}, "/due.ics": {F, O}, "/machines": {F, O}, "/tools": {F, O}, "/procedures": {F, O},
    "/procedures/{name}": {F, O}, "/library": {F, O},
    "/search": {O}, "/exports": {O}, "/exports/{what}.{form}": {O}, "/members": {O},
}  # fmt: skip


def proxied(address="127.0.0.1"):
    (home() / "office.toml").write_text(PROXY.format(address=address), "utf-8")


def get(office, path, groups="office", user="Kim", **more):
    return ask(office.link, path, seconds=60, x_forwarded_user=user, x_forwarded_groups=groups, **more)


@pytest.fixture
def current(workshop):
    """A job that is open, and one that was closed long ago."""
    return (
        work(workshop.bay("bay1"), SHORTEST, most=3, start_s=time.time()),
        work(workshop.bay("bay2"), SHORTEST, start_s=1_600_000_000.0),
    )


def test_every_route_of_the_program_has_its_least_role_and_no_other(workshop, serve):
    office = serve(workshop)
    app = office._server._config.app
    routes = {route.path for route in app.routes} - {"/static"}
    assert routes == LEAST_ROLES.keys() == WANTED.keys()
    assert {"/login", "/login/back", "/logout"} == WITHOUT_LOGIN
    for route, roles in WANTED.items():
        assert {role for role in OfficeRole if may_open(role, route)} == roles, route


@pytest.mark.timeout(240)
def test_each_role_gets_its_pages_and_one_sentence_at_the_others(workshop, serve, current):
    proxied()
    office = serve(workshop)
    given = {"{job}": current[0], "{name}": "coolant-pump-cover.yaml", "{what}.{form}": "jobs.csv"}
    for route, roles in WANTED.items():
        path = route
        for key, value in given.items():
            path = path.replace(key, value)
        if path in ("/events", f"/jobs/{current[0]}/record.pdf"):
            continue
        for role in OfficeRole:
            answer = get(office, path, GROUPS[role])
            if role in roles:
                assert answer.status in (200, 303, 404), (path, role)
                assert answer.status != 404 or path == "/due.ics", (path, role)
            else:
                assert answer.status == 403, (path, role)
                assert b"This page is for" in answer.body
                assert answer.body.count(b"Ask the office if you need it.") == 1
    docs = (ROOT / "docs" / "office.md").read_text("utf-8")
    for route, roles in WANTED.items():
        row = next(line for line in docs.splitlines() if f"`{route}`" in line)
        assert [cell.strip() == "yes" for cell in row.split("|")[2:5]] == [role in roles for role in OfficeRole], route


def test_a_mechanic_sees_what_is_open_or_of_today(workshop, serve, current):
    proxied()
    office = serve(workshop)
    page = get(office, "/jobs", "mechanics").body.decode()
    assert (current[0] in page, current[1] in page) == (True, False)
    assert get(office, f"/jobs/{current[0]}", "mechanics").status == 200
    answer = get(office, f"/jobs/{current[1]}", "mechanics")
    assert (answer.status, b"A mechanic sees jobs that are open" in answer.body) == (403, True)
    assert get(office, f"/jobs/{current[1]}/record.pdf", "mechanics").status == 403
    assert get(office, f"/jobs/{current[1]}", "foremen").status == 200
    names = re.findall(r'<a href="(/[a-z]+)"', page)
    assert set(names) == {"/jobs"}, "nothing is offered that is refused"


def test_the_highest_role_of_all_groups_counts_and_none_is_a_sentence(workshop, serve):
    proxied()
    office = serve(workshop)
    assert get(office, "/search", "mechanics, chief").status == 200
    for groups in ("gardeners", "", "Office", "office2"):
        answer = get(office, "/jobs", groups)
        assert (answer.status, answer.body.count(b".")) == (403, 1)
        assert b"Your login has no role here" in answer.body
    page = get(office, "/jobs", user="<b>Kim</b>").body.decode()
    assert "&lt;b&gt;Kim&lt;/b&gt;, office" in page


def test_headers_are_believed_from_the_proxy_alone(workshop, serve):
    proxied("192.0.2.0/24")
    office = serve(workshop)
    answer = get(office, "/jobs")
    assert (answer.status, b"past its proxy" in answer.body) == (403, True)
    assert get(office, "/static/desk.css").status == 200


def test_a_proxy_that_names_nobody_or_two_is_not_believed(workshop, serve):
    proxied()
    office = serve(workshop)
    assert ask(office.link, "/jobs", seconds=60, x_forwarded_groups="office").status == 403
    assert get(office, "/jobs", user=" ").status == 403
    assert get(office, "/jobs", X_Forwarded_User="Alex").status == 403, "two names"


def test_the_address_of_the_proxy_is_known_over_tls_alone(workshop, serve):
    (home() / "office.toml").write_text(
        'address = "https://office.example"\n' + PROXY.format(address="127.0.0.1"), "utf-8"
    )
    office = serve(workshop)
    assert get(office, "/jobs", host="office.example", x_forwarded_proto="https").status == 200
    assert get(office, "/jobs", host="office.example").status == 421
    assert get(office, "/jobs", host="other.example", x_forwarded_proto="https").status == 421


def test_without_logins_only_this_computer_sees_the_office(workshop):
    for host in ("192.0.2.7", "10.1.2.3"):
        with pytest.raises(Refusal, match="only with logins"):
            OfficeServer(DisplayOptions(host, 0), workshop.address, workshop.token_file, procedures=PROCEDURES)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[proxy]\naddresses = ['127.0.0.1']", "names no group for any role"),
        ("[roles]\nboss = ['a']\n[proxy]\naddresses = ['127.0.0.1']", '"boss" is not known in [roles]'),
        ("[roles]\noffice = 'a'\n[proxy]\naddresses = ['127.0.0.1']", "roles.office in"),
        ("[roles]\noffice = ['a']", "one of the tables [proxy] and [oidc]"),
        ("[roles]\noffice = ['a']\n[proxy]\naddresses = ['home']", '"home" in proxy.addresses'),
        ("[roles]\noffice = ['a']\n[proxy]\naddresses = []", "proxy.addresses in"),
        ("[roles]\noffice = ['a']\n[proxy]\naddresses = ['::1']\nuser_header = 'a b'", "proxy.user_header in"),
        ("[roles]\noffice = ['a']\n[oidc]\nissuer = 'http://a.example'\nclient = 'b'", "begins with https://"),
        ("[roles]\noffice = ['a']\n[oidc]\nissuer = 'https://a.example'", "oidc.client in"),
        ("proxy = 3\n[roles]\noffice = ['a']", "proxy in"),
        ("colour = 'red'", '"colour" is not known in'),
    ],
)
def test_logins_that_cannot_be_used_are_one_sentence(workshop, text, sentence):
    (home() / "office.toml").write_text(text, "utf-8")
    with pytest.raises(Refusal) as refused:
        OfficeServer(DisplayOptions("", 0), workshop.address, workshop.token_file, procedures=PROCEDURES)
    assert sentence in refused.value.sentence
    assert "office.toml" in refused.value.sentence
