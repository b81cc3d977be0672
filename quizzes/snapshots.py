"""A question as it was asked, packed into one column: a later generator never changes the past."""

import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from problems.question import Option, Part, Question


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The made text and keys of a question: its setup, opening and parts."""

    setup: Mapping[str, Any]
    lead: str
    parts: tuple[Part, ...]

    @classmethod
    def of(cls, question: Question, setup: Mapping[str, Any] | None = None) -> "Snapshot":
        """Of a made question; `setup` saves writing its setup again where that is at hand."""
        return cls(setup or question.setup.as_json(), question.lead, question.parts)

    def pack(self) -> bytes:
        fields = {"setup": self.setup, "lead": self.lead, "parts": self.parts}
        text = json.dumps(fields, ensure_ascii=False, sort_keys=True, default=_fields)
        return zlib.compress(text.encode())

    @classmethod
    def unpack(cls, packed: bytes) -> "Snapshot":
        """The snapshot in `packed`: one value for all requests about a question, so nobody changes it."""
        return _unpacked(packed)


@lru_cache(maxsize=128)
def _unpacked(packed: bytes) -> Snapshot:
    fields = json.loads(zlib.decompress(packed))
    return Snapshot(fields["setup"], fields["lead"], tuple(_part(part) for part in fields["parts"]))


def _fields(value: Part | Option) -> dict[str, Any]:
    return {name: getattr(value, name) for name in value.__slots__}


def _part(fields: dict[str, Any]) -> Part:
    # Questions stored before parts said so: several options could be chosen where several were right.
    fields.setdefault("several", bool(fields["options"]) and len(fields["grading"]["expected"]) > 1)
    lists = {name: tuple(fields[name]) for name in ("hints", "solution", "carries")}
    options = tuple(Option(**option) for option in fields["options"])
    return Part(**{**fields, **lists, "options": options})
