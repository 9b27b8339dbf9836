"""The one adapter of Jinja2: templates become pages, and whatever a person said or typed is shown as text in them."""

from __future__ import annotations

import functools
import re
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from assistant.caution import CAUTION
from assistant.procedure.wordings import OWN_TEXT_HEADING
from assistant.visible import visible

PAPERS = {"a4": "A4", "letter": "letter"}
"""Sizes of paper by the name that the command line takes, as CSS calls them (CSS Paged Media, page size)."""

_LONGEST_WORD = 72
_TOO_LONG = re.compile(rf"\S{{{_LONGEST_WORD + 1}}}")


def render(template: str, **values: Any) -> str:
    """Return the page that ``template`` (a file in ``templates/``) makes of ``values``; text is escaped."""
    return _environment().get_template(template).render(**values)


@functools.cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("assistant.report"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["css"] = css_text
    environment.globals["caution"] = CAUTION
    environment.globals["whose"] = f"{OWN_TEXT_HEADING}:"
    return environment


def css_text(text: str) -> str:
    """Return ``text`` as it may stand between the quotes of a CSS string: all but plain letters as code points."""
    return "".join(c if c == " " or (c.isalnum() and c.isascii()) else f"\\{ord(c):x} " for c in visible(text))


def _shown(value: Any) -> Any:
    """Make every text that goes into a page visible; markup of our own passes as it is.

    A very long word gets places where it may be broken, since a printed page takes seconds to find its own.
    """
    if not isinstance(value, str) or isinstance(value, Markup):
        return value
    text = visible(value)
    if not _TOO_LONG.search(text):
        return text
    pieces = re.findall(rf"\s+|\S{{1,{_LONGEST_WORD}}}", text)
    return Markup("<wbr>").join(pieces)
