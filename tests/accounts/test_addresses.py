"""Where a request came from, as the throttle sees it."""

import pytest
from django.test import RequestFactory, override_settings

from accounts.addresses import address_of


@pytest.mark.parametrize(
    ("sent", "seen"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2:ffff::1", "2001:db8:1:2::/64"),
        ("", ""),
        ("nonsense", ""),
    ],
)
def test_address(rf: RequestFactory, sent: str, seen: str) -> None:
    assert address_of(rf.get("/", REMOTE_ADDR=sent)) == seen


def test_what_a_reader_claims_is_not_believed(rf: RequestFactory) -> None:
    request = rf.get("/", REMOTE_ADDR="192.0.2.7", headers={"X-Forwarded-For": "198.51.100.1"})
    assert address_of(request) == "192.0.2.7"


def test_behind_a_proxy_its_own_entry_counts(rf: RequestFactory) -> None:
    forwarded = {"X-Forwarded-For": "203.0.113.9, 198.51.100.1"}
    with override_settings(BEHIND_PROXY=True):
        assert address_of(rf.get("/", REMOTE_ADDR="192.0.2.7", headers=forwarded)) == "198.51.100.1"
        assert address_of(rf.get("/", REMOTE_ADDR="192.0.2.7")) == "192.0.2.7"
