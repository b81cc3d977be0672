"""A teacher says what a class has been taught and how it writes things."""

import pytest
from django.urls import reverse

from accounts.models import SchoolClass
from problems.registry import SKILLS
from quizzes.courses import steps_of
from tests.conftest import Cast

FIRST = steps_of("first_year")
WRITTEN = {"hydrogen_ion": "H+", "volume_unit": "L", "decimal_sign": ""}


def url(cast: Cast) -> str:
    return reverse("in_play", args=[cast.school_class.public_id])


def again(cast: Cast) -> SchoolClass:
    return SchoolClass.objects.get(pk=cast.school_class.pk)


def save(cast: Cast, taught: list[str], **written: str) -> str:
    fields = {**WRITTEN, "taught": taught, **written}
    return cast.client("teacher").post(url(cast), fields, follow=True).content.decode()


def test_at_first_everything_is_ticked(cast: Cast) -> None:
    page = cast.client("teacher").get(url(cast)).content.decode()
    for name in FIRST:
        assert f'name="taught" value="{name}"' in page
    assert page.count("checked") == len(FIRST) + 3  # and one of each convention but the states


def test_what_is_not_ticked_is_out_of_play(cast: Cast) -> None:
    assert "Saved." in save(cast, FIRST[2:])
    assert again(cast).not_taught == FIRST[:2]
    page = cast.client("co_teacher").get(url(cast)).content.decode()
    assert page.count("checked") == len(FIRST) - 2 + 3
    save(cast, FIRST)
    assert again(cast).not_taught == []


def test_every_step_of_the_second_year_is_offered_to_a_second_year_class(cast: Cast) -> None:
    SchoolClass.objects.filter(pk=cast.school_class.pk).update(level="second_year")
    page = cast.client("teacher").get(url(cast)).content.decode()
    assert page.count('name="taught"') == len(SKILLS) == 49


def test_steps_of_the_other_level_keep_what_was_said_of_them(cast: Cast) -> None:
    later = next(name for name in SKILLS if name not in FIRST)
    SchoolClass.objects.filter(pk=cast.school_class.pk).update(not_taught=[later, FIRST[0]])
    save(cast, FIRST)
    assert again(cast).not_taught == [later]


def test_one_step_has_to_stay(cast: Cast) -> None:
    assert "Leave at least one step in play." in save(cast, [])
    assert again(cast).not_taught == []


def test_conventions_are_kept(cast: Cast) -> None:
    save(cast, FIRST, hydrogen_ion="H3O+", volume_unit="dm3", decimal_sign=",", asks_states="on")
    kept = again(cast)
    assert (kept.hydrogen_ion, kept.volume_unit, kept.decimal_sign) == ("H3O+", "dm3", ",")
    assert kept.asks_states


@pytest.mark.parametrize(
    ("field", "value"),
    [("hydrogen_ion", "H"), ("volume_unit", "gallon"), ("decimal_sign", "'"), ("taught", "magic")],
)
def test_nonsense_is_refused(cast: Cast, field: str, value: str) -> None:
    fields = {**WRITTEN, "taught": FIRST, field: value}
    response = cast.client("teacher").post(url(cast), fields)
    assert list(response.context["form"].errors) == [field]
    assert again(cast).hydrogen_ion == "H+"
