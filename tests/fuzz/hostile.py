"""Strategies for requests that no page of the site sends: any address, any method, odd bytes everywhere."""

from __future__ import annotations

import json
import uuid
import zipfile
from dataclasses import dataclass, field
from io import BytesIO
from random import Random
from typing import Any
from urllib.parse import quote_from_bytes, urlencode

from hypothesis import strategies as st

from tests.fuzz.forms import Form, Pairs
from tests.fuzz.texts import ALPHABET, SNIPPETS

METHODS = ("GET", "POST", "HEAD", "OPTIONS", "PUT", "PATCH", "DELETE")
TOO_LARGE = 1_100_000
"""A body beyond what the settings allow [bytes]."""
ODD = (
    *SNIPPETS, "", "0", "-1", "1e999", "NaN", "9" * 400, "2026-02-30", "0001-01-01T00:00",
    "9999-12-31T23:59:59", "2026-13-45T99:99", "true", "null", "[]", "{}", "../../etc", "%00", "\x00",
    "\r\nX: y", "<script>", "' OR 1=1", "en", "de", "xx-YY", "Mars/Olympus", "//other.example/",
    "javascript:0", str(uuid.UUID(int=0)), "A" * 20_000,
)  # fmt: skip
HEADERS: dict[str, tuple[str, ...]] = {
    "HX-Request": ("true", "maybe"),
    "HX-Current-URL": ("/", "http://[", "//x", "%ff", "http://localhost/\udcff"),
    "HX-Target": ("\xe9", "x" * 4000),
    "HX-Trigger-Name-URI-AutoEncoded": ("true",),
    "Accept-Language": ("de", "xx-" * 100, "de;q=nan", ",;=", "*"),
    "Accept": ("application/json", "\xff", "a/b;q=x"),
    "Content-Type": (
        "text/plain; charset=utf-7", "application/x-www-form-urlencoded; charset=no-such-charset",
        "application/json",
        "multipart/form-data", "multipart/form-data; boundary=" + "x" * 300, "\xff",
        "application/x-www-form-urlencoded; charset=utf-16",
    ),
    "Content-Encoding": ("gzip", "nonsense"),
    "Range": ("bytes=0-1", "bytes=-9" * 20),
    "If-Modified-Since": ("yesterday", "Thu, 01 Jan 1970 00:00:00 GMT"),
    "If-None-Match": ('"', "*"),
    "X-Forwarded-For": ("1.2.3.4", "::1, \xff", "a" * 3000),
    "X-Forwarded-Proto": ("https", "\xff"),
    "Host": ("other.example", "[", "localhost:99999"),
    "Referer": ("http://[", "\xff"),
    "Origin": ("null", "http://other.example"),
}  # fmt: skip


@dataclass(frozen=True)
class Sent:
    """One request as it goes over the wire; `person` tells whose cookies it carries."""

    person: str
    method: str
    target: str
    body: bytes = b""
    headers: dict[str, str] = field(default_factory=dict)
    forged: bool = False
    """Without the token that the site's own forms carry."""

    def __str__(self) -> str:
        return f"{self.person} {self.method} {self.target[:200]} {self.headers} {self.body[:300]!r}"


typed = st.one_of(
    st.sampled_from(ODD),
    st.text(max_size=40),
    st.lists(st.sampled_from((*ALPHABET, *SNIPPETS)), max_size=30).map("".join),
    st.integers().map(str),
    st.floats().map(str),
    st.datetimes().map(lambda each: each.isoformat()),
)


def sent(people: list[str], targets: list[str], forms: list[tuple[str, Form]]) -> st.SearchStrategy[Sent]:
    """Requests to any target by anyone, and forms of the site sent back by their readers with changes."""
    free = st.builds(
        _free, st.sampled_from(people), st.sampled_from(METHODS), st.sampled_from(targets),
        st.lists(st.tuples(_names(forms), typed), max_size=8), _bodies(), _headers(), st.integers(0, 19),
    )  # fmt: skip
    changed = st.builds(
        _changed, st.sampled_from(forms), st.lists(st.tuples(st.integers(0, 60), typed), max_size=4),
        st.randoms(use_true_random=False), _headers(),
    )  # fmt: skip
    return st.one_of(free, changed, changed)


def _names(forms: list[tuple[str, Form]]) -> st.SearchStrategy[str]:
    known = sorted({name for _person, form in forms for name, _value in form.fields})
    return st.one_of(
        st.sampled_from([*known, "next", "page", "sort", "format", "language"]), st.text(max_size=8)
    )


def _headers() -> st.SearchStrategy[dict[str, str]]:
    one = st.sampled_from([(name, value) for name, values in HEADERS.items() for value in values])
    return st.one_of(st.just({}), st.lists(one, max_size=3).map(dict))


def _bodies() -> st.SearchStrategy[bytes]:
    values: Any = st.recursive(
        st.none() | st.booleans() | st.floats() | st.text(max_size=9),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    )
    return st.one_of(st.binary(max_size=200), values.map(lambda each: json.dumps(each).encode()))


def _free(
    person: str, method: str, target: str, pairs: Pairs, raw: bytes, headers: dict[str, str], dice: int
) -> Sent:
    if method in {"GET", "HEAD"}:
        query = encoded(pairs).decode() if dice < 15 else quote_from_bytes(raw)
        return Sent(person, method, f"{target}?{query}"[:4000], b"", headers)
    if dice == 0:
        return Sent(person, method, target, b"x=" + b"A" * TOO_LARGE, {**_FORM, **headers})
    if dice < 4:
        return Sent(person, method, target, raw, headers)
    return Sent(person, method, target, encoded(pairs), {**_FORM, **headers}, forged=dice == 19)


_FORM = {"Content-Type": "application/x-www-form-urlencoded"}


def _changed(
    whose: tuple[str, Form], changes: list[tuple[int, str]], rng: Random, headers: dict[str, str]
) -> Sent:
    person, form = whose
    pairs = [pair for pair in form.fields if rng.random() < 0.8]
    for place, value in changes:
        if pairs:
            pairs[place % len(pairs)] = (pairs[place % len(pairs)][0], value)
    if form.method == "GET":
        return Sent(
            person, "GET", f"{form.action.split('?')[0]}?{encoded(pairs).decode()}"[:4000], b"", headers
        )
    if rng.random() < 0.3 or any(name in {"file", "roster", "bundle"} for name, _value in pairs):
        body, kind = multipart(pairs, rng)
        return Sent(person, "POST", form.action, body, {**headers, "Content-Type": kind})
    return Sent(person, "POST", form.action, encoded(pairs), {**_FORM, **headers})


def encoded(pairs: Pairs) -> bytes:
    """As a form is sent, with lone surrogates as the bytes that are no UTF-8."""
    return urlencode(pairs, encoding="utf-8", errors="surrogatepass").encode("ascii")


def multipart(pairs: Pairs, rng: Random) -> tuple[bytes, str]:
    """The same in parts, some of them as files; with its content type."""
    edge, parts = "edge0815", []
    for name, value in pairs:
        is_file = rng.random() < 0.5
        named = (
            '; filename="' + rng.choice(["a.csv", "b.zip", "../x", "\x00", "ü.xlsx"]) + '"' if is_file else ""
        )
        head = f'--{edge}\r\nContent-Disposition: form-data; name="{name}"{named}\r\n\r\n'
        content = file_content(rng) if is_file else value.encode("utf-8", "surrogatepass")
        parts.append(head.encode("utf-8", "surrogatepass") + content + b"\r\n")
    end = f"--{edge}--\r\n".encode() if rng.random() < 0.9 else b""
    return b"".join(parts) + end, f"multipart/form-data; boundary={edge}"


def file_content(rng: Random) -> bytes:
    """A roster with faults, a bundle with nonsense in it, a cut bundle, or bytes."""
    rows = "\n".join(rng.choice(ODD[:60]) + rng.choice(",;\t") + rng.choice(ODD[:60]) for _ in range(5))
    table = f"name,sign-in name\n{rows}".encode("utf-8", "surrogatepass")
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name in ("manifest.csv", "users.csv", "classes.csv", "enrollments.csv", "roles.csv"):
            bundle.writestr(name, table if rng.random() < 0.7 else b"\x00" * 200_000)
    whole = packed.getvalue()
    return rng.choice([table, whole, whole[: len(whole) // 2], rng.randbytes(300), b"", b"\xff\xfe" + table])
