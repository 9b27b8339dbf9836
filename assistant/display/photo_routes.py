"""The way of a photo from a page: one at a time, from pages with touch buttons alone, opened on a thread of its own."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from assistant.display.guard import Rights, refused
from assistant.display.photos import PHOTO, TakesPhotos

_TYPES = ("image/jpeg", "image/png")
_OTHER = "That is no photo that can be taken: send a JPEG or a PNG."
_BUSY = "Another photo is on its way: try again in a moment."


class PhotoRoutes:
    """Takes what a page sends to :data:`PHOTO`."""

    def __init__(self, photos: TakesPhotos) -> None:
        """Hand it to ``photos``."""
        self._photos = photos
        self._busy = False

    def routes(self) -> list[Route]:
        """Return where photos are sent to."""
        return [Route(PHOTO, self._sent, methods=["POST"])]

    async def _sent(self, request: Request) -> Response:
        rights: Rights = request.state.rights
        if not rights.touch:
            return refused(request.scope, 403, "This page is for looking.", "photo")
        if request.headers.get("content-type", "").partition(";")[0].strip().lower() not in _TYPES:
            return _answer(415, _OTHER)
        if self._busy:
            return _answer(429, _BUSY)
        self._busy = True
        try:
            data = await request.body()
            taken = await run_in_threadpool(self._photos.take, data)
        except ClientDisconnect:
            return Response(status_code=408)  # it took too long, and is gone
        finally:
            self._busy = False
        return _answer(taken.status, taken.sentence)


def _answer(status: int, sentence: str) -> Response:
    return JSONResponse({"taken": status == 200, "why": sentence}, status)
