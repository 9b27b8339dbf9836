"""The one adapter of WeasyPrint: a page of HTML becomes a PDF; nothing is fetched, whatever the page asks for."""

from __future__ import annotations

import logging


def html_to_pdf(html: str) -> bytes:
    """Return ``html`` (one file, everything inline) as a PDF; the page size is that of its ``@page`` rule.

    A link to a picture, a style sheet or a file outside of the page is not followed: its place stays empty.
    """
    # Here, not above: it takes most of a second to load, and few commands need it.
    from weasyprint import HTML  # type: ignore[import-untyped]  # noqa: PLC0415
    from weasyprint.urls import URLFetcher  # type: ignore[import-untyped]  # noqa: PLC0415

    for name in ("weasyprint", "fontTools"):  # what they do not know they tell on stderr; the style sheets are tested
        logging.getLogger(name).setLevel(logging.CRITICAL)
    pdf: bytes = HTML(string=html, url_fetcher=URLFetcher(allowed_protocols=("data",))).write_pdf()
    return pdf
