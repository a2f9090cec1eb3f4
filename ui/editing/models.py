"""What the models of documents say of their fields: what one is for, and in which order they stand.

The book keeps the words of a document by the alphabet; people read them as the models have them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from scheduler.book.saving import MODELS
from ui.editing.paths import Path

Models = frozenset[type[BaseModel]]


def help_of(kind: str, path: Path) -> str:
    """What the model of a document says about a field; nothing where it has none such."""
    models: Models = frozenset({MODELS[kind]})
    said = ""
    for part in path:
        if isinstance(part, int):
            continue
        found = _fields(models, part)
        if not found:
            return ""
        said, models = found[0].description or "", _inside(found)
    return _without_units(said)


def in_order(kind: str, body: Any) -> Any:
    """The same document with its words in the order of the models."""
    return _ordered(body, frozenset({MODELS[kind]}))


def _ordered(value: Any, models: Models) -> Any:
    if isinstance(value, list):
        return [_ordered(one, models) for one in value]
    if not isinstance(value, dict):
        return value
    known = [f.alias or name for m in models for name, f in m.model_fields.items()]
    first = [key for key in dict.fromkeys(known) if key in value]
    keys = [*first, *(key for key in value if key not in known)]
    return {key: _ordered(value[key], _inside(_fields(models, key))) for key in keys}


@cache
def _fields(models: Models, name: str) -> tuple[FieldInfo, ...]:
    return tuple(f for m in models for n, f in m.model_fields.items() if name in (n, f.alias))


def _inside(fields: Iterable[FieldInfo]) -> Models:
    return frozenset(m for f in fields for m in _models(f.annotation))


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    inside = get_args(annotation)
    if isinstance(annotation, type) and not inside and issubclass(annotation, BaseModel):
        yield annotation
    for one in inside:
        yield from _models(one)


@cache
def _without_units(said: str) -> str:
    """A field is typed with its unit, so its help does not say which one the model counts in."""
    return re.sub(r",? ?\b(?:in )?min(?:utes)?\.(?= |$)", ".", said).replace(" .", ".")
