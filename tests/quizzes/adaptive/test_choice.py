"""What is asked next: the weakest of one draw, within what may be asked."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from quizzes.adaptive.choice import Candidate, candidate_success, choose, not_recent
from quizzes.adaptive.errors import SteeringError, UnknownSkillError
from quizzes.adaptive.items import Item
from quizzes.adaptive.report import weak_topics
from tests.quizzes.adaptive.course import COURSE, ITEMS, LEVELS, PARAMETERS, after, certain, fresh

ALL = [
    Candidate(skill, level, ITEMS.item(skill, level), PARAMETERS.guess)
    for skill in COURSE.skills
    for level in LEVELS
]
LOW_ACID = [1.5, 1.4, 1.3, 1.2, -0.5, -1.0, -1.5, 0.0, 1.0, 1.1, 1.2, 1.3]
"""Strengths of the twelve skills: acid is the weakest topic, acid.c its weakest skill."""


def ask(strength, candidates=ALL, recent=(), seed=1, day=1.0, exam_day=None, parameters=PARAMETERS):
    rng = np.random.default_rng(seed)
    return choose(strength, candidates, recent, ITEMS, parameters, rng, day, exam_day)


class TestWeakest:
    def test_the_weakest_skill_of_the_weakest_topic(self) -> None:
        choice = ask(certain(LOW_ACID))
        assert (choice.topic, choice.candidate.skill) == ("acid", "acid.c")

    def test_the_reason_has_the_numbers_of_the_draw(self) -> None:
        choice = ask(certain(LOW_ACID))
        assert choice.reason.code == "weakest"
        assert choice.reason.numbers["topic_chance"] == min(choice.topic_draw.values())
        assert choice.reason.numbers["skill_chance"] == choice.skill_draw["acid.c"]
        assert set(choice.topic_draw) == {"redox", "acid", "mass"}

    def test_doubt_spreads_the_questions_over_topics(self) -> None:
        topics = Counter(ask(fresh(), seed=seed).topic for seed in range(300))
        assert all(70 <= topics[topic] <= 130 for topic in ("redox", "acid", "mass"))

    def test_a_topic_is_asked_about_as_often_as_it_is_likely_to_be_the_weakest(self) -> None:
        strength = after([(skill, 0.0) for skill in COURSE.skills if skill.startswith("acid")] * 2)
        leading = weak_topics(strength, ITEMS, replace(PARAMETERS, inflation=1.0)).leading
        topics = Counter(ask(strength, seed=seed).topic for seed in range(500))
        assert {topic: count / 500 for topic, count in topics.items()} == pytest.approx(leading, abs=0.08)

    def test_a_skill_never_asked_comes_first_in_its_topic(self) -> None:
        strength = certain(LOW_ACID)
        answers = np.where(np.array(COURSE.skills) == "acid.d", 0.0, 5.0)
        assert ask(replace(strength, answers=answers)).candidate.skill == "acid.d"


class TestRecent:
    def test_what_was_asked_lately_is_left_out(self) -> None:
        assert ask(certain(LOW_ACID), recent=["acid.c"]).candidate.skill == "acid.b"

    def test_only_the_last_answers_count(self) -> None:
        recent = ["acid.c", *["mass.a"] * PARAMETERS.recent]
        assert ask(certain(LOW_ACID), recent=recent).candidate.skill == "acid.c"

    def test_when_the_topic_runs_dry_the_next_is_taken_and_the_reason_says_so(self) -> None:
        choice = ask(certain(LOW_ACID), recent=["acid.a", "acid.b", "acid.c", "acid.d"])
        assert choice.topic == "mass"
        assert choice.reason.code == "next_weakest"

    def test_when_all_is_recent_the_longest_ago_comes_back(self) -> None:
        only = [each for each in ALL if each.skill in ("redox.a", "redox.b")]
        assert ask(certain(LOW_ACID), only, ["redox.a", "redox.b"]).candidate.skill == "redox.a"

    def test_a_span_of_none_leaves_nothing_out(self) -> None:
        assert not_recent(ALL, ["redox.a"], 0) == ALL


class TestAllowed:
    def test_only_candidates_are_asked(self) -> None:
        allowed = [each for each in ALL if each.skill.startswith("mass") and each.level == "first_year"]
        for seed in range(30):
            assert ask(fresh(), allowed, seed=seed).candidate in allowed

    def test_a_strong_student_gets_the_harder_level_and_a_weak_one_the_easier(self) -> None:
        strong, weak = certain([1.2] * 12), certain([0.0] * 12)
        assert {ask(strong, seed=seed).candidate.level for seed in range(20)} == {"second_year"}
        assert {ask(weak, seed=seed).candidate.level for seed in range(20)} == {"first_year"}

    def test_within_the_band_any_level_may_come(self) -> None:
        parameters = replace(PARAMETERS, band_centre=0.5, band_half_width=0.3)
        levels = Counter(
            ask(certain([0.0] * 12), seed=seed, parameters=parameters).candidate.level for seed in range(60)
        )
        assert set(levels) == set(LEVELS)

    def test_outside_the_band_the_nearest_is_taken(self) -> None:
        hopeless = certain([-5.0] * 12)
        choice = ask(hopeless)
        assert choice.candidate.level == "first_year"
        assert choice.success < 0.1

    def test_the_expected_success_is_that_of_the_item_asked(self) -> None:
        strength = certain(LOW_ACID)
        choice = ask(strength, day=0.0)
        assert choice.success == candidate_success(strength, choice.candidate, PARAMETERS)

    def test_guessing_among_two_options_is_part_of_the_expected_success(self) -> None:
        hard = Item(8.0, 0.1)
        assert candidate_success(fresh(), Candidate("redox.a", "", hard, 0.5), PARAMETERS) == pytest.approx(
            0.5, abs=0.01
        )

    def test_nothing_to_ask_is_refused(self) -> None:
        with pytest.raises(SteeringError, match="candidates"):
            ask(fresh(), [])

    def test_a_skill_nobody_knows_is_refused(self) -> None:
        with pytest.raises(UnknownSkillError):
            ask(fresh(), [Candidate("redox.z", "first_year", Item(0.0, 0.1), 0.02)])


class TestSpacing:
    def rested(self, skill: str, day: float):
        """Everything practised on day 10 but one skill, on `day`."""
        last = np.where(np.array(COURSE.skills) == skill, day, 10.0)
        return replace(certain(LOW_ACID), last_day=last, day=10.0)

    def test_a_skill_that_rested_too_long_for_the_exam_comes_first(self) -> None:
        choice = ask(self.rested("acid.a", 4.0), day=10.0, exam_day=30.0)
        assert choice.candidate.skill == "acid.a"
        assert choice.reason.code == "rested"
        assert choice.reason.numbers == {"days_rested": 6.0, "days_left": 20.0}

    def test_a_fifth_of_the_days_left_is_not_too_long(self) -> None:
        assert ask(self.rested("acid.a", 6.5), day=10.0, exam_day=30.0).reason.code == "weakest"

    def test_without_an_exam_nothing_is_overdue(self) -> None:
        assert ask(self.rested("acid.a", 0.0), day=10.0).reason.code == "weakest"

    def test_after_the_exam_nothing_is_overdue(self) -> None:
        assert ask(self.rested("acid.a", 0.0), day=10.0, exam_day=9.0).reason.code == "weakest"


class TestFoundation:
    def chain(self) -> list[Candidate]:
        """acid.c rests on acid.a, which rests on redox.a."""
        rests = {"acid.c": ("acid.a",), "acid.a": ("redox.a",)}
        return [replace(each, rests_on=rests.get(each.skill, ())) for each in ALL]

    def test_what_a_skill_rests_on_comes_first_while_it_is_missing(self) -> None:
        means = np.array(LOW_ACID)
        means[4] = -1.4
        choice = ask(certain(means), self.chain())
        assert choice.candidate.skill == "acid.a"
        assert choice.reason.code == "foundation"
        assert choice.reason.numbers["skill_chance"] < 0.4

    def test_down_to_the_lowest_that_is_missing(self) -> None:
        means = np.array(LOW_ACID)
        means[[0, 4]] = -1.3
        choice = ask(certain(means), self.chain())
        assert (choice.candidate.skill, choice.topic) == ("redox.a", "redox")

    def test_what_is_there_holds_nobody_up(self) -> None:
        means = np.array(LOW_ACID)
        means[4] = 0.8
        assert ask(certain(means), self.chain()).candidate.skill == "acid.c"

    def test_skills_that_rest_on_each_other_come_to_an_end(self) -> None:
        circle = {"acid.c": ("acid.b",), "acid.b": ("acid.c",)}
        candidates = [replace(each, rests_on=circle.get(each.skill, ())) for each in ALL]
        assert ask(certain([-1.0] * 4 + [-1.5] * 4 + [0.0] * 4), candidates).topic == "acid"


def test_the_same_generator_makes_the_same_choice() -> None:
    strength = after([(skill, 1.0) for skill in COURSE.skills])
    assert ask(strength, seed=7) == ask(strength, seed=7)


def test_choosing_changes_nothing() -> None:
    strength = after([("redox.a", 1.0)])
    before = strength.to_bytes()
    ask(strength, day=40.0, exam_day=60.0)
    assert strength.to_bytes() == before
