"""Pages for the desk: the jobs with their records, and the procedures with what is said in them."""

from __future__ import annotations

from collections.abc import AsyncIterator

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route

from assistant.display.desk import RECORD_POLICY, Desk
from assistant.display.searching import SEARCH_HEADERS, Search, address, asked, fits, way_back, with_way_back
from assistant.display.shop_routes import MakesPages

_PIECE_BYTES = 64 * 1024


class DeskRoutes:
    """Answers requests for them. Each is answered on a thread of its own, and may take its time."""

    def __init__(self, desk: Desk, page: MakesPages) -> None:
        """Show what ``desk`` tells, by ``page``."""
        self._desk, self._page = desk, page

    def routes(self) -> list[Route]:
        """Return the routes."""
        return [
            Route("/jobs", self._jobs),
            Route("/jobs/{job}", self.record),
            Route("/procedures", self._procedures),
            Route("/procedures/{name}", self._procedure),
        ]

    def _jobs(self, request: Request) -> Response:
        jobs, words = self._desk.jobs(), asked(request.query_params)
        found = [
            job for job in jobs
            if fits(words, job.id, job.title, job.state, job.bay, "rehearsal" if job.rehearsal else "")
        ]  # fmt: skip
        search = Search("/jobs", "Search jobs: number, procedure, state", words, len(found), len(jobs))
        page = self._page(request, "jobs.html", jobs=found, search=search)
        page.headers.update(SEARCH_HEADERS)
        return page

    def record(self, request: Request) -> Response:
        """Answer with the record of a job."""
        document = with_way_back(self._desk.record(request.path_params["job"]), way_back(request.query_params))
        headers = {"content-security-policy": RECORD_POLICY, "content-length": str(len(document))}
        return StreamingResponse(_pieces(document), media_type="text/html", headers=headers)

    def _procedures(self, request: Request) -> Response:
        rows, words = self._desk.procedures(), asked(request.query_params)
        found = [row for row in rows if fits(words, row.name, row.title, row.revision)]
        search = Search("/procedures", "Search procedures: file, title, revision", words, len(found), len(rows))
        page = self._page(request, "procedures.html", procedures=found, search=search)
        page.headers.update(SEARCH_HEADERS)
        return page

    def _procedure(self, request: Request) -> Response:
        name, words = request.path_params["name"], asked(request.query_params)
        row = next((row for row in self._desk.procedures() if row.name == name), None)
        if row is None:
            raise HTTPException(404)
        preview = self._desk.preview(name) if not row.errors else []
        back = address("/procedures", q=words)
        return self._page(request, "procedure.html", procedure=row, preview=preview, back=back, words=words)


async def _pieces(document: bytes) -> AsyncIterator[bytes]:
    """Yield a page piece by piece, so that one who reads slowly keeps one piece waiting and no copy of the whole."""
    for start in range(0, len(document), _PIECE_BYTES):
        yield document[start : start + _PIECE_BYTES]
