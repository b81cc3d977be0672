"""Parameters and items as plain values."""

import json
from dataclasses import replace

import pytest

from quizzes.adaptive.errors import SteeringError, UnknownSkillError
from quizzes.adaptive.items import Item, Items
from quizzes.adaptive.parameters import Parameters
from tests.quizzes.adaptive.course import COURSE, ITEMS, LEVELS, PARAMETERS


class TestParameters:
    def test_through_json_and_back(self) -> None:
        changed = replace(PARAMETERS, gain=0.2, level_difficulty={"first_year": -1.0})
        assert Parameters.from_dict(json.loads(json.dumps(changed.to_dict()))) == changed

    def test_names_of_other_versions_do_not_matter(self) -> None:
        assert Parameters.from_dict({"mean": 0.1, "long_gone": 3}) == replace(PARAMETERS, mean=0.1)

    @pytest.mark.parametrize(
        "wrong",
        [
            {"spread_skill": 0.0}, {"inflation": -1.0}, {"gain": -0.1}, {"guess": 1.2},
            {"guess": 0.6, "slip": 0.4}, {"band_centre": 1.5}, {"recent": -1}, {"spread_topic": float("nan")},
        ],
    )  # fmt: skip
    def test_nonsense_is_refused_when_built(self, wrong: dict[str, float]) -> None:
        with pytest.raises(SteeringError):
            replace(PARAMETERS, **wrong)

    def test_a_level_nobody_described_is_in_the_middle(self) -> None:
        assert PARAMETERS.difficulty_of("third_year") == 0

    def test_the_error_says_what_was_wrong(self) -> None:
        with pytest.raises(SteeringError) as caught:
            Parameters(gain=-0.1)
        assert str(caught.value) == "gain must not be negative, not -0.1."
        assert (caught.value.field, caught.value.value) == ("gain", -0.1)


class TestItems:
    def test_cold_items_stand_at_their_level(self) -> None:
        assert ITEMS.item("redox.a", "first_year") == Item(-0.6, 0.25)
        assert ITEMS.item("redox.a", "second_year") == Item(0.6, 0.25)

    def test_a_kind_of_setup_has_its_own_item_where_there_is_one(self) -> None:
        own = Item(1.1, 0.05)
        more = Items({**ITEMS.table, ("redox.a", "first_year", "copper"): own})
        assert more.item("redox.a", "first_year", "copper") == own
        assert more.item("redox.a", "first_year", "zinc") == more.item("redox.a", "first_year")

    def test_an_unknown_item_is_named(self) -> None:
        with pytest.raises(UnknownSkillError, match=r"redox\.a at third_year"):
            ITEMS.item("redox.a", "third_year")

    def test_through_rows_and_back(self) -> None:
        rows = json.loads(json.dumps(ITEMS.rows()))
        assert Items.from_rows(rows).table == ITEMS.table

    def test_covering_keeps_what_is_known_adds_what_is_new_and_drops_what_is_gone(self) -> None:
        known = Items(
            {
                ("redox.a", "first_year", ""): Item(1.0, 0.02),
                ("redox.a", "first_year", "copper"): Item(1.2, 0.02),
                ("retired", "first_year", ""): Item(0.0, 0.02),
            }
        )
        found = known.covering(dict.fromkeys(COURSE.skills[:2], LEVELS), PARAMETERS)
        assert found.item("redox.a", "first_year") == Item(1.0, 0.02)
        assert found.item("redox.a", "first_year", "copper") == Item(1.2, 0.02)
        assert found.item("redox.b", "second_year") == Item(0.6, 0.25)
        assert ("retired", "first_year", "") not in found.table
        assert len(found.table) == 5
