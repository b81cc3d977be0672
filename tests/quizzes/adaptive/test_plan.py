"""What to review on which day up to an exam."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.plan import PlannedDay, expected_chances, review_plan
from quizzes.adaptive.report import skill_chances
from quizzes.adaptive.state import Strength
from quizzes.adaptive.update import move_to_day
from tests.quizzes.adaptive.course import COURSE, ITEMS, PARAMETERS, certain, fresh

STRONG = [3.0] * 12
ORDERED = [0.1 * place for place in range(12)]


def plan(
    strength: Strength,
    days: int,
    questions: int = 8,
    horizon: int = 28,
    skills: tuple[str, ...] = COURSE.skills,
) -> tuple[PlannedDay, ...]:
    return review_plan(strength, skills, ITEMS, PARAMETERS, days, questions, horizon)


def days_of(found: tuple[PlannedDay, ...], skill: str) -> list[int]:
    return [day.away for day in found for step in day.steps if step.skill == skill]


class TestWhatIsDue:
    def test_what_was_never_practised_is_due_on_the_first_day(self) -> None:
        assert len(plan(fresh(), 60, questions=100)[0].steps) == 12

    def test_what_was_practised_today_rests_for_a_fifth_of_the_days_left(self) -> None:
        # Cepeda et al. 2008, Psychological Science 19: gaps of 20 to 40 % of a delay of days to weeks.
        # Due when rested > 0.2 x left: on the first day d with d > 0.2 (30 - d), so d > 5.
        found = plan(certain(STRONG), 30, questions=100)
        assert found[0].away == 6

    def test_gaps_get_shorter_towards_the_exam(self) -> None:
        found = days_of(plan(certain(STRONG), 28, questions=100), "redox.a")
        gaps = [later - earlier for earlier, later in pairwise(found)]
        assert gaps == sorted(gaps, reverse=True)
        assert gaps[0] > gaps[-1] == 1

    def test_days_on_which_nothing_is_due_are_left_out(self) -> None:
        aways = [day.away for day in plan(certain(STRONG), 28, questions=100)]
        assert aways[0] > 0
        assert all(day.steps for day in plan(certain(STRONG), 28, questions=100))

    def test_a_long_rest_before_today_counts(self) -> None:
        rested = move_to_day(certain(STRONG), 10.0, PARAMETERS)
        assert plan(rested, 30, questions=100)[0].away == 0


class TestOrder:
    def test_the_weakest_comes_first(self) -> None:
        never = certain(ORDERED)
        never.last_day[:] = -1
        first = plan(never, 30, questions=2)[0].steps
        assert first[0].skill == COURSE.skills[0]

    def test_topics_that_are_equally_weak_are_mixed(self) -> None:
        steps = plan(fresh(), 30, questions=6)[0].steps
        assert {step.skill.partition(".")[0] for step in steps} == {"redox", "acid", "mass"}

    def test_a_much_weaker_topic_fills_the_day(self) -> None:
        weak = certain([-3.0] * 4 + [2.0] * 8)
        weak.last_day[:] = -1
        assert {step.skill for step in plan(weak, 30, questions=8)[0].steps} == set(COURSE.skills[:4])

    def test_a_weak_step_takes_two_questions_and_a_firm_one_takes_one(self) -> None:
        mixed = certain([-1.0, *[3.0] * 11])
        mixed.last_day[:] = -1
        counts = {step.skill: step.questions for step in plan(mixed, 30, questions=100)[0].steps}
        assert counts == {skill: 2 if skill == COURSE.skills[0] else 1 for skill in COURSE.skills}

    def test_what_did_not_fit_comes_on_the_next_days(self) -> None:
        found = plan(fresh(), 100, questions=4, horizon=6)
        assert {step.skill for day in found for step in day.steps} == set(COURSE.skills)

    def test_a_step_not_in_play_is_never_planned(self) -> None:
        found = plan(fresh(), 20, skills=COURSE.skills[1:])
        assert days_of(found, COURSE.skills[0]) == []


class TestForecast:
    def test_the_chance_shown_is_that_of_the_report_where_all_is_known(self) -> None:
        strength = certain(ORDERED)
        reported = skill_chances(strength, ITEMS, PARAMETERS)
        for skill, chance in expected_chances(strength, ITEMS, PARAMETERS).items():
            assert chance == pytest.approx(reported[skill].mean, abs=0.01)

    def test_a_rested_step_is_expected_to_have_been_forgotten_a_little(self) -> None:
        day = plan(certain(STRONG), 30, questions=100)[0]
        step = next(step for step in day.steps if step.skill == COURSE.skills[0])
        moved = move_to_day(certain(STRONG), float(day.away), PARAMETERS)
        assert step.chance == expected_chances(moved, ITEMS, PARAMETERS)[COURSE.skills[0]]
        assert step.chance < expected_chances(certain(STRONG), ITEMS, PARAMETERS)[COURSE.skills[0]]

    def test_practice_in_the_plan_is_expected_to_help(self) -> None:
        found = plan(certain([-1.0] * 12), 10, questions=100)
        chances = [step.chance for day in found for step in day.steps if step.skill == COURSE.skills[0]]
        assert chances == sorted(chances)
        assert chances[0] < chances[-1]


class TestBounds:
    def test_on_the_day_of_the_exam_nothing_is_planned(self) -> None:
        assert plan(fresh(), 0) == ()

    @pytest.mark.parametrize("numbers", [(-1, 8, 28), (5, -1, 28), (5, 8, -1)])
    def test_negative_numbers_are_refused(self, numbers: tuple[int, int, int]) -> None:
        with pytest.raises(SteeringError):
            plan(fresh(), *numbers)

    def test_it_leaves_the_strength_alone(self) -> None:
        strength = fresh()
        before = strength.to_bytes()
        plan(strength, 20)
        assert strength.to_bytes() == before

    @settings(max_examples=40, deadline=None)
    @given(
        means=st.lists(st.floats(-6, 6), min_size=12, max_size=12),
        rested=st.lists(st.floats(-1, 40), min_size=12, max_size=12),
        days=st.integers(0, 200),
        questions=st.integers(0, 12),
        horizon=st.integers(0, 30),
    )
    def test_any_plan_keeps_to_its_days_and_questions(
        self, means: list[float], rested: list[float], days: int, questions: int, horizon: int
    ) -> None:
        strength = replace(certain(means), day=40.0, last_day=np.array(rested))
        found = plan(strength, days, questions, horizon)
        aways = [day.away for day in found]
        assert aways == sorted(set(aways))
        assert all(0 <= away < min(days, horizon) for away in aways)
        assert all(1 <= day.questions <= questions for day in found)
        for day in found:
            skills = [step.skill for step in day.steps]
            assert len(skills) == len(set(skills))
