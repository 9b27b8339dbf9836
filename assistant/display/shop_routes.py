"""Pages over many jobs: the record as a file, what is due, the machines, and the history of one."""

from __future__ import annotations

from typing import Any, Protocol

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from assistant.display.desk import Desk
from assistant.display.searching import SEARCH_HEADERS, Search, address, asked, fits


class MakesPages(Protocol):
    """Fills a template."""

    def __call__(self, request: Request, name: str, **values: Any) -> Response:
        """Return the page of the template ``name`` with ``values``."""


class ShopRoutes:
    """Answers requests for them. Each is answered on a thread of its own, and may take its time."""

    def __init__(self, desk: Desk, page: MakesPages) -> None:
        """Show what ``desk`` tells, by ``page``."""
        self._desk, self._page = desk, page

    def routes(self) -> list[Route]:
        """Return the routes."""
        return [
            Route("/jobs/{job}/record.pdf", self.pdf),
            Route("/due", self._due),
            Route("/machines", self._machines),
        ]

    def pdf(self, request: Request) -> Response:
        """Answer with the record of a job as a PDF."""
        job = request.path_params["job"]
        document = self._desk.record(job, "pdf")
        name = "".join(letter for letter in job if letter.isascii() and (letter.isalnum() or letter in "-_"))
        headers = {"content-disposition": f'attachment; filename="record-{name}.pdf"'}
        return Response(document, media_type="application/pdf", headers=headers)

    def _due(self, request: Request) -> Response:
        return self._page(request, "due.html", lines=self._desk.listed("due"), came=address("", list="due"))

    def _machines(self, request: Request) -> Response:
        name, words = request.query_params.get("name", ""), asked(request.query_params)
        if not name:
            return self._all(request, words)
        machine = self._desk.listed("machine", name)
        if not machine:
            raise HTTPException(404)
        back, came = address("/machines", q=words), address("", machine=name, q=words)
        return self._page(request, "machine.html", machine=machine, back=back, words=words, came=came)

    def _all(self, request: Request, words: str) -> Response:
        machines = self._desk.listed("machines")
        found = [one for one in machines if fits(words, one["name"], one["title"])]
        search = Search("/machines", "Search machines: name, last work", words, len(found), len(machines))
        page = self._page(request, "machines.html", machines=found, search=search)
        page.headers.update(SEARCH_HEADERS)
        return page
