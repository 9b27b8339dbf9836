"""The pages of the office: those of the desk over all bays, which follow the central store while they are shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from ipaddress import IPv4Network, IPv6Network
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from assistant.display.board import LOG
from assistant.display.changes import Changes
from assistant.display.desk import DeskBusy
from assistant.display.desk_routes import DeskRoutes
from assistant.display.login_routes import LoginRoutes, LogsIn
from assistant.display.office import Hits, Office
from assistant.display.office_guard import KnowsWho, OfficeGuard
from assistant.display.pages import HERE, TEMPLATES, plain_answer, sentence_answer
from assistant.display.roles import LEAST_ROLES, OfficePerson, OfficeRole, may_open
from assistant.display.searching import SEARCH_HEADERS, Search, address, asked, fits
from assistant.display.shop_routes import ShopRoutes
from assistant.display.stream import EVENTS, Stream
from assistant.journal.port import JournalFault

MOST_JOB_ROWS = 200
"""So many jobs stand on one page; the others are found by a search."""


TABLES = {
    "jobs": "a row for each",
    "tightenings": "a row for each bolt and stage",
    "findings": "a row for each, and what became of it",
}
MEDIA = {"csv": "text/csv; charset=utf-8", "parquet": "application/vnd.apache.parquet"}


_CANNOT = "This page is for {}: your role is {}. Ask the office if you need it."
_NOT_CURRENT = "A mechanic sees jobs that are open or went on today. Ask a foreman for the record of another one."
_NAMES = ("Jobs", "Procedures", "Library", "Machines", "Due", "Tools", "Search", "Exports", "Members")
_FORMS = [("csv", "CSV"), ("parquet", "Parquet")]
_Answers = Callable[[Request], Response]


@dataclass(frozen=True, slots=True)
class OfficeAccess:
    """Where the office is asked for, who knows who asks, and what logs people in (None: nothing here does)."""

    hosts: frozenset[str]
    secure: frozenset[str]
    knows: KnowsWho
    proxies: Sequence[IPv4Network | IPv6Network] = ()
    logs_in: LogsIn | None = None


class OfficePages:
    """Answers every request."""

    def __init__(self, office: Office, changes: Changes, access: OfficeAccess) -> None:
        """Show what ``office`` tells, anew as ``changes`` say, to whom ``access`` lets in."""
        self._office, self._changes, self._access = office, changes, access
        self._desk, self._shop = DeskRoutes(office, self._page), ShopRoutes(office, self._page)

    def app(self) -> Starlette:
        """Return the application."""
        access = self._access
        guard = Middleware(
            OfficeGuard, hosts=access.hosts, secure=access.secure, knows=access.knows, proxies=access.proxies
        )
        return Starlette(
            routes=self._routes(),
            middleware=[guard],
            exception_handlers={HTTPException: plain_answer, JournalFault: sentence_answer, DeskBusy: sentence_answer},
        )

    def _routes(self) -> Sequence[BaseRoute]:
        own: dict[str, _Answers] = {
            "/": self._front, "/jobs": self._jobs, "/jobs/{job}": self._current(self._desk.record),
            "/jobs/{job}/record.pdf": self._current(self._shop.pdf), "/search": self._search, "/tools": self._tools,
            "/exports": self._exports, "/exports/{what}.{form}": self._export, "/members": self._members,
            "/library": self._library, "/due.ics": self._calendar,
        }  # fmt: skip
        rest = [one for one in (*self._desk.routes(), *self._shop.routes()) if one.path not in own]
        pages = [*own.items(), *((one.path, one.endpoint) for one in rest)]
        login = [] if self._access.logs_in is None else LoginRoutes(self._access.logs_in, self._page).routes()
        return [
            *(Route(path, self._for_role(path, answers)) for path, answers in pages),
            *login,
            Route(EVENTS, Stream(self._changes), methods=["GET"]),
            Mount("/static", StaticFiles(directory=HERE / "static")),
        ]

    def _for_role(self, path: str, answers: _Answers) -> _Answers:
        """Return what answers for ``path``, to who has the least role for it; one sentence to others."""
        least = LEAST_ROLES[path]

        def answer(request: Request) -> Response:
            person: OfficePerson = request.state.person
            if not may_open(person.role, path):
                return self._not_for(request, _CANNOT.format(_WHO[least], person.role.value))
            return answers(request)

        return answer

    def _current(self, answers: _Answers) -> _Answers:
        """Return ``answers`` for the jobs that who asks may see."""

        def answer(request: Request) -> Response:
            person: OfficePerson = request.state.person
            if person.role is OfficeRole.MECHANIC and not self._office.is_current(request.path_params["job"]):
                return self._not_for(request, _NOT_CURRENT)
            return answers(request)

        return answer

    def _not_for(self, request: Request, sentence: str) -> Response:
        LOG.warning("refused 403: %s %.80r: role", request.method, str(request.url.path))
        page = self._page(request, "message.html", sentence=sentence)
        page.status_code = 403
        return page

    def _page(self, request: Request, name: str, **values: Any) -> Response:
        person: OfficePerson | None = getattr(request.state, "person", None)
        nav = [(f"/{one.lower()}", one, may_open(person.role, f"/{one.lower()}")) for one in _NAMES] if person else []
        logout = person is not None and self._access.logs_in is not None
        values = {
            "live": False, "follows": person is not None, "trouble": self._office.trouble, "nav": nav, "person": person,
            "logout": logout, **values,
        }  # fmt: skip
        page = TEMPLATES.TemplateResponse(request, name, values)
        page.headers.update(SEARCH_HEADERS)
        page.headers["referrer-policy"] = "same-origin"  # else the form that logs out would say that it is from nowhere
        return page

    def _front(self, _request: Request) -> Response:
        return RedirectResponse("/jobs", 303)

    def _jobs(self, request: Request) -> Response:
        jobs, words = self._office.jobs(), asked(request.query_params)
        person: OfficePerson = request.state.person
        if person.role is OfficeRole.MECHANIC:
            jobs = [job for job in jobs if self._office.is_current(job.id)]
        found = [
            job for job in jobs
            if not words or fits(words, job.id, job.title, job.state, job.bay, "rehearsal" if job.rehearsal else "")
        ]  # fmt: skip
        search = Search("/jobs", "Search jobs: number, bay, procedure, state", words, len(found), len(jobs))
        return self._page(request, "office_jobs.html", jobs=found[:MOST_JOB_ROWS], search=search)

    def _tools(self, request: Request) -> Response:
        tools, words = self._office.tools(), asked(request.query_params)
        found = [one for one in tools if fits(words, one.name, one.serial, *one.bays)]
        search = Search("/tools", "Search tools: name, serial, bay", words, len(found), len(tools))
        return self._page(request, "office_tools.html", tools=found, search=search)

    def _exports(self, request: Request) -> Response:
        return self._page(request, "office_exports.html", tables=TABLES.items(), forms=_FORMS)

    def _export(self, request: Request) -> Response:
        what, form = request.path_params["what"], request.path_params["form"]
        if what not in TABLES or form not in MEDIA:
            raise HTTPException(404)
        headers = {"content-disposition": f'attachment; filename="{what}.{form}"'}
        return Response(self._office.export(what, form), media_type=MEDIA[form], headers=headers)

    def _search(self, request: Request) -> Response:
        words = asked(request.query_params)
        found = self._office.search(words) if words else Hits()
        came = address("", list="search", q=words)
        return self._page(request, "office_search.html", words=words, hits=found.hits, total=found.total, came=came)

    def _library(self, request: Request) -> Response:
        rows, words = self._office.library(), asked(request.query_params)
        found = [one for one in rows if fits(words, one.kind, one.name, one.title, one.revision, *one.bays)]
        search = Search("/library", "Search the library: name, title, revision, bay", words, len(found), len(rows))
        return self._page(request, "office_library.html", items=found[:MOST_JOB_ROWS], search=search)

    def _members(self, request: Request) -> Response:
        return self._page(request, "office_members.html", members=self._office.members())

    def _calendar(self, _request: Request) -> Response:
        headers = {"content-disposition": 'attachment; filename="due.ics"'}
        return Response(self._office.calendar(), media_type="text/calendar", headers=headers)


_WHO = {
    OfficeRole.MECHANIC: "who is at the workshop",
    OfficeRole.FOREMAN: "foremen and the office",
    OfficeRole.OFFICE: "the office",
}
