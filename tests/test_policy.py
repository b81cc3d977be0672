"""Who may open what: every address, tried by every person of the cast, against the written policy."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction
from django.urls import get_resolver
from django.urls.converters import UUIDConverter

from tests.conftest import PEOPLE, Cast
from tests.site_map import Rule, address, ids, routes, rules

# Whoever asks, and for what: nothing on the site answers these.
OTHER_METHODS = ("PUT", "PATCH", "DELETE", "TRACE")


@pytest.mark.parametrize("rule", rules(), ids=str)
def test_policy(cast: Cast, rule: Rule) -> None:
    url = address(rule.name, ids(cast))
    found = {person: status(cast, person, rule.method, url) for person in PEOPLE}
    assert found == rule.expected


def status(cast: Cast, person: str, method: str, url: str) -> int:
    """What the person gets; whatever it changed is undone."""
    client = cast.client(person)
    point = transaction.savepoint()
    response = client.generic(method, url, content_type="application/x-www-form-urlencoded")
    transaction.savepoint_rollback(point)
    return response.status_code


def test_every_address_has_its_rows() -> None:
    written = {(rule.name, rule.method) for rule in rules()}
    assert written == {(name, method) for name in routes() for method in ("GET", "POST")}


def test_no_row_is_written_twice() -> None:
    written = [str(rule) for rule in rules()]
    assert len(written) == len(set(written))


@pytest.mark.parametrize("name", sorted(routes()))
def test_other_methods_do_nothing(cast: Cast, name: str) -> None:
    url = address(name, ids(cast))
    found = {status(cast, person, method, url) for person in PEOPLE for method in OTHER_METHODS}
    assert found <= {302, 403, 404, 405}


def test_ids_in_addresses_are_not_guessable() -> None:
    """What points at an object is a random UUID; a plain number only counts within one."""
    for name, converter in converters(get_resolver().url_patterns):
        assert isinstance(converter, UUIDConverter) or name in {"number", "part"}, name


def converters(patterns: list[Any]) -> Iterator[tuple[str, object]]:
    for pattern in patterns:
        yield from pattern.pattern.converters.items()
        yield from converters(getattr(pattern, "url_patterns", []))
