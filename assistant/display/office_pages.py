"""The pages of the office: those of the desk over all bays, which follow the central store while they are shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from assistant.display.changes import Changes
from assistant.display.desk import Desk, DeskBusy
from assistant.display.desk_routes import DeskRoutes
from assistant.display.guard import PageGuard
from assistant.display.pages import HERE, TEMPLATES, Access, plain_answer, sentence_answer
from assistant.display.searching import SEARCH_HEADERS, Search, asked, fits
from assistant.display.shop_routes import ShopRoutes
from assistant.display.stream import EVENTS, Stream
from assistant.journal.port import JournalFault

MOST_JOB_ROWS = 200
"""So many jobs stand on one page; the others are found by a search."""


class Office(Desk, Protocol):
    """Answers for the pages of the office; as those of a desk, each on a thread of its own."""

    @property
    def trouble(self) -> str:
        """Why what is shown may be old, in one sentence; "" while all is well."""


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


def _nav() -> list[tuple[str, str, bool]]:
    names = (("/jobs", "Jobs"), ("/procedures", "Procedures"), ("/machines", "Machines"), ("/due", "Due"))
    return [(path, name, True) for path, name in names]
