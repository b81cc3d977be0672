"""A question as it was asked, packed into one column: a later generator never changes the past."""

import json
import zlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
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
        fields = {"setup": self.setup, "lead": self.lead, "parts": [asdict(part) for part in self.parts]}
        return zlib.compress(json.dumps(fields, ensure_ascii=False, sort_keys=True).encode())

    @classmethod
    def unpack(cls, packed: bytes) -> "Snapshot":
        fields = json.loads(zlib.decompress(packed))
        return cls(fields["setup"], fields["lead"], tuple(_part(part) for part in fields["parts"]))


def _part(fields: dict[str, Any]) -> Part:
    # Questions stored before parts said so: several options could be chosen where several were right.
    fields.setdefault("several", bool(fields["options"]) and len(fields["grading"]["expected"]) > 1)
    lists = {name: tuple(fields[name]) for name in ("hints", "solution", "carries")}
    options = tuple(Option(**option) for option in fields["options"])
    return Part(**{**fields, **lists, "options": options})
