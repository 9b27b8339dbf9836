"""An example of every class of facts, made from its fields: every text in it is the one that is given."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import Enum
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import msgspec

from assistant.facts import Fact
from assistant.facts.asking import AskFinish, Question


def sample(cls: type[Fact], text: str = "so-and-so") -> Fact:
    """Return a fact of the class ``cls`` whose texts are all ``text``, and whose numbers are all one."""
    return cls(**_fields(cls, text))


def _fields(cls: type[msgspec.Struct], text: str) -> dict[str, Any]:
    hints = get_type_hints(cls)
    return {name: _value(hints[name], text) for name in cls.__struct_fields__}


def _value(hint: Any, text: str) -> Any:
    if get_origin(hint) in (Union, UnionType):
        return _value(next(one for one in get_args(hint) if one is not NoneType), text)
    if get_origin(hint) is tuple:
        inner = get_args(hint)
        return (_value(inner[0], text),) if inner[-1] is Ellipsis else tuple(_value(one, text) for one in inner)
    if get_origin(hint) is Mapping:
        return {text: _value(get_args(hint)[1], text)}
    if hint is Question:
        return AskFinish()
    if isinstance(hint, type) and issubclass(hint, msgspec.Struct):
        return hint(**_fields(hint, text))
    if isinstance(hint, type) and issubclass(hint, Enum):
        return next(iter(hint))
    return {str: text, int: 1, bool: False, Decimal: Decimal(1)}[hint]
