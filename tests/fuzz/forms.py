"""The forms that a page holds, with what a browser would send of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

Pairs = list[tuple[str, str]]
UNSENT = {"csrfmiddlewaretoken", ""}


@dataclass
class Form:
    """Where a form goes, and its fields with the values they stand on."""

    action: str
    method: str
    fields: Pairs = field(default_factory=list)


class _Reader(HTMLParser):
    def __init__(self, path: str) -> None:
        super().__init__()
        self.path, self.found = path, list[Form]()
        self.inside: Form | None = None
        self.select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.inside = Form(given.get("action") or self.path, given.get("method", "get").upper())
            self.found.append(self.inside)
        elif tag == "select":
            self.select = given.get("name", "")
        elif tag in {"input", "textarea", "button"}:
            self._add(given.get("name", ""), given.get("value", ""))
        elif tag == "option":
            self._add(self.select, given.get("value", ""))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.inside = None

    def _add(self, name: str, value: str) -> None:
        if self.inside is not None and name not in UNSENT:
            self.inside.fields.append((name, value))


def forms_of(page: str, path: str) -> list[Form]:
    """Every form of a page; a choice is given with all its options.

    >>> forms_of('<form method="post"><input name="typed" value="H2"></form>', "/run/")
    [Form(action='/run/', method='POST', fields=[('typed', 'H2')])]
    """
    reader = _Reader(path)
    reader.feed(page)
    return reader.found
