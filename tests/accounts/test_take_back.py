"""What changed many rows stands in a list and can be taken back, for a day and once."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from accounts import changes
from accounts.changes import CannotTakeBackError, undoes
from accounts.models import Change
from tests.conftest import Cast

NOW = timezone.now()


@pytest.fixture
def action(monkeypatch: pytest.MonkeyPatch) -> list[Change]:
    """An action called `blink`; the list holds what was undone."""
    monkeypatch.setattr(changes, "_actions", {})
    undone: list[Change] = []

    @undoes("blink", "Blinked {0[count]} times".format)
    def _unblink(change: Change, at: datetime) -> None:
        if change.payload.get("refuse"):
            raise CannotTakeBackError("The eye is shut.")
        undone.append(change)

    return undone


def keep(cast: Cast, at: datetime = NOW, **payload: object) -> Change:
    return Change.objects.record(cast.teacher, "blink", at, {"count": 3}, payload or {"eye": "left"})


def page(cast: Cast, person: str = "teacher") -> str:
    return cast.client(person).get(reverse("accounts:changes")).content.decode()


def press(cast: Cast, change: Change, person: str = "teacher") -> str:
    url = reverse("accounts:take_back", args=[change.public_id])
    return cast.client(person).post(url, follow=True).content.decode()


def test_the_list_tells_what_was_done_and_offers_to_take_it_back(cast: Cast, action: list[Change]) -> None:
    change = keep(cast)
    assert "Blinked 3 times" in page(cast)
    assert reverse("accounts:take_back", args=[change.public_id]) in page(cast)
    assert "Taken back: Blinked 3 times" in press(cast, change)
    assert [undone.pk for undone in action] == [change.pk]
    assert "taken back on" in page(cast)
    assert reverse("accounts:take_back", args=[change.public_id]) not in page(cast)


def test_it_is_taken_back_once(cast: Cast, action: list[Change]) -> None:
    change = keep(cast)
    press(cast, change)
    assert "taken back already" in press(cast, change)
    assert len(action) == 1


def test_a_day_later_it_is_too_late_and_nothing_is_kept_for_it(cast: Cast, action: list[Change]) -> None:
    old = keep(cast, NOW - timedelta(days=1, minutes=1))
    assert "More than a day has passed" in press(cast, old)
    keep(cast)
    old.refresh_from_db()
    assert (action, old.payload) == ([], {})


@pytest.mark.parametrize(("ago", "is_open"), [(timedelta(days=1), False), (timedelta(hours=23), True)])
def test_a_day_has_24_hours(cast: Cast, ago: timedelta, is_open: bool) -> None:
    assert keep(cast, NOW - ago).is_open(NOW) == is_open


def test_looking_at_the_list_empties_what_is_of_no_more_use(cast: Cast, action: list[Change]) -> None:
    old = keep(cast, NOW - timedelta(days=1, minutes=1))
    assert "no longer to be taken back" in page(cast)
    old.refresh_from_db()
    assert old.payload == {}


def test_a_younger_payload_outlives_the_next_change(cast: Cast) -> None:
    younger = keep(cast, NOW - timedelta(hours=23))
    keep(cast)
    younger.refresh_from_db()
    assert younger.payload == {"eye": "left"}


def test_a_refusal_is_said_and_leaves_the_change_open(cast: Cast, action: list[Change]) -> None:
    change = keep(cast, refuse=True)
    assert "The eye is shut." in press(cast, change)
    change.refresh_from_db()
    assert change.is_open(NOW)


def test_nobody_takes_back_what_another_did(cast: Cast, action: list[Change]) -> None:
    change = keep(cast)
    for person in ("co_teacher", "outsider", "student", "staff"):
        url = reverse("accounts:take_back", args=[change.public_id])
        assert cast.client(person).post(url).status_code == 404
    assert "Blinked" not in page(cast, "co_teacher")
    assert action == []


def test_after_a_week_it_is_off_the_list(cast: Cast, action: list[Change]) -> None:
    keep(cast, NOW - timedelta(days=7, minutes=1))
    assert "Nothing in the last seven days." in page(cast)


def test_a_change_of_another_version_is_told_and_stays(cast: Cast, action: list[Change]) -> None:
    change = Change.objects.record(cast.teacher, "forgotten", NOW, {}, {"some": "thing"})
    assert "earlier version" in page(cast)
    with pytest.raises(CannotTakeBackError):
        changes.take_back(change, NOW)


def test_an_action_has_one_undoing(action: list[Change]) -> None:
    again: Callable[..., object] = undoes("blink", str)
    with pytest.raises(ValueError, match="blink"):
        again(lambda change, at: None)


def test_the_list_takes_as_many_queries_for_many_changes(
    cast: Cast, action: list[Change], django_assert_num_queries
) -> None:
    for _ in range(30):
        keep(cast)
    client = cast.client("teacher")
    with django_assert_num_queries(5):
        client.get(reverse("accounts:changes"))
