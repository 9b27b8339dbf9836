"""The pages of the office: those of the desk over all bays, which follow the central store while they are shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from assistant.display.changes import Changes
from assistant.display.desk import DeskBusy
from assistant.display.desk_routes import DeskRoutes
from assistant.display.guard import PageGuard
from assistant.display.office import Hits, Office
from assistant.display.pages import HERE, TEMPLATES, Access, plain_answer, sentence_answer
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


class OfficePages:
    """Answers every request."""

    def __init__(self, office: Office, changes: Changes, access: Access) -> None:
        """Show what ``office`` tells, anew as ``changes`` say, to whom ``access`` lets in."""
        self._office, self._changes, self._access = office, changes, access

    def app(self) -> Starlette:
        """Return the application."""
        access = self._access
        guard = Middleware(
            PageGuard, hosts=access.hosts, tokens=access.tokens, open_rights=access.open_rights, secure=access.secure
        )
        return Starlette(
            routes=self._routes(),
            middleware=[guard],
            exception_handlers={HTTPException: plain_answer, JournalFault: sentence_answer, DeskBusy: sentence_answer},
        )

    def _routes(self) -> Sequence[BaseRoute]:
        return [
            Route("/", self._front),
            Route("/jobs", self._jobs),
            Route("/search", self._search),
            Route("/exports", self._exports),
            Route("/exports/{what}.{form}", self._export),
            Route("/tools", self._tools),
            *DeskRoutes(self._office, self._page).routes(),
            *ShopRoutes(self._office, self._page).routes(),
            Route(EVENTS, Stream(self._changes), methods=["GET"]),
            Mount("/static", StaticFiles(directory=HERE / "static")),
        ]

    def _page(self, request: Request, name: str, **values: Any) -> Response:
        values |= {"live": False, "follows": True, "trouble": self._office.trouble, "nav": _nav()}
        return TEMPLATES.TemplateResponse(request, name, values)

    def _front(self, _request: Request) -> Response:
        return RedirectResponse("/jobs", 303)

    def _jobs(self, request: Request) -> Response:
        jobs, words = self._office.jobs(), asked(request.query_params)
        found = [
            job for job in jobs
            if not words or fits(words, job.id, job.title, job.state, job.bay, "rehearsal" if job.rehearsal else "")
        ]  # fmt: skip
        search = Search("/jobs", "Search jobs: number, bay, procedure, state", words, len(found), len(jobs))
        page = self._page(request, "office_jobs.html", jobs=found[:MOST_JOB_ROWS], search=search)
        page.headers.update(SEARCH_HEADERS)
        return page

    def _tools(self, request: Request) -> Response:
        tools, words = self._office.tools(), asked(request.query_params)
        found = [one for one in tools if fits(words, one.name, one.serial, *one.bays)]
        search = Search("/tools", "Search tools: name, serial, bay", words, len(found), len(tools))
        page = self._page(request, "office_tools.html", tools=found, search=search)
        page.headers.update(SEARCH_HEADERS)
        return page

    def _exports(self, request: Request) -> Response:
        forms = [("csv", "CSV"), ("parquet", "Parquet")]
        return self._page(request, "office_exports.html", tables=TABLES.items(), forms=forms)

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
        page = self._page(request, "office_search.html", words=words, hits=found.hits, total=found.total, came=came)
        page.headers.update(SEARCH_HEADERS)
        return page


_NAMES = ("Jobs", "Procedures", "Machines", "Due", "Tools", "Search", "Exports")


def _nav() -> list[tuple[str, str, bool]]:
    return [(f"/{name.lower()}", name, True) for name in _NAMES]
