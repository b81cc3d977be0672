"""Ways to choose for a whole cohort: the plain ones by hand, ours against the rule for one student."""

from dataclasses import replace

import numpy as np
import pytest

from quizzes.adaptive.choice import Candidate, choose
from quizzes.adaptive.choice_run import plan_run
from quizzes.adaptive.items import Item, Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.report import topic_chances
from quizzes.adaptive.simulate.courses import COURSE_DAYS, find, learn
from quizzes.adaptive.simulate.policies import (
    RUN,
    AtRandom,
    Greedy,
    InTurn,
    Ours,
    Policy,
    cold_table,
    without_feedback,
)
from quizzes.adaptive.simulate.worlds import (
    ITEM_LEVEL,
    ITEM_SKILL,
    ITEMS,
    LEVELS,
    SKILL_MAP,
    SKILL_TOPIC,
    world,
)
from quizzes.adaptive.state import Strength
from quizzes.adaptive.step import Array, Places

PARAMETERS = Parameters()
COLD = Items.cold(dict.fromkeys(SKILL_MAP.skills, LEVELS), PARAMETERS)
STAGED = [
    Candidate(skill, level, COLD.item(skill, level), 0.02, stage=int(SKILL_TOPIC[place]))
    for place, skill in enumerate(SKILL_MAP.skills)
    for level in LEVELS
]


def rng(seed: int = 1) -> np.random.Generator:
    return np.random.default_rng(seed)


def ours(count: int = 60) -> Ours:
    return Ours(count, rng(), PARAMETERS)


def answered(policy: Policy, turns: int, day: float = 0.0) -> Policy:
    """The policy after students answered what it chose, right where the item is of the first level."""
    for _ in range(turns):
        items = policy.choose(day)
        policy.observe(items, (ITEM_LEVEL[items] == 0).astype(float), day)
    return policy


class TestPlain:
    def test_in_turn_goes_through_topics_then_skills(self) -> None:
        policy, asked = InTurn(3, rng()), list[Places]()
        for _ in range(30):
            asked.append(policy.choose(0.0))
            policy.observe(asked[-1], np.ones(3), 0.0)
        skills = ITEM_SKILL[np.array(asked)]
        assert (SKILL_TOPIC[skills[:5]] == np.arange(5)[:, None]).all()
        assert all(len(set(column)) == 25 for column in skills[:25].T)
        assert (skills[25:] == skills[:5]).all()

    def test_at_random_asks_everything(self) -> None:
        assert set(AtRandom(20_000, rng()).choose(0.0)) == set(range(ITEMS))

    def test_greedy_asks_the_skill_with_the_least_percent_correct(self) -> None:
        policy = Greedy(40, rng())
        wrong = np.full(40, int(np.flatnonzero(ITEM_SKILL == 13)[0]))
        policy.observe(wrong, np.zeros(40), 0.0)
        assert (ITEM_SKILL[policy.choose(0.0)] == 13).all()
        assert (policy.named() == SKILL_TOPIC[13]).all()

    def test_percent_correct_starts_from_a_half(self) -> None:
        policy = InTurn(1, rng())
        policy.observe(np.array([0]), np.ones(1), 0.0)
        assert policy.topics()[0] == pytest.approx([2 / 3, 0.5, 0.5, 0.5, 0.5])


class TestOurs:
    def certain(self, means: Array, count: int = 60) -> Ours:
        """A cohort in which everybody's strengths are known, so that the draw is no matter of chance."""
        policy = ours(count)
        policy.batch.mean[:] = means
        policy.batch.covariance[:] = np.eye(25) * 1e-8
        policy.batch.answers[:] = 5
        policy.batch.last_day[:] = 0.0
        return policy

    def single(self, policy: Ours, recent: list[str], topic: str, exam_day: float | None) -> str:
        """What the rule for one student chooses for the first of the cohort, in a topic."""
        offered = [each for each in STAGED if each.skill.startswith(topic)]
        strength = policy.batch.student(0, SKILL_MAP)
        return choose(strength, offered, recent, COLD, PARAMETERS, rng(), 10.0, exam_day).candidate.skill

    def laid_out(self, policy: Ours, recent: list[str], exam_day: float | None) -> list[str]:
        """The topics that the rule for one student lays out."""
        strength = policy.batch.student(0, SKILL_MAP)
        choices = plan_run(strength, STAGED, recent, COLD, PARAMETERS, rng(), 10.0, RUN, exam_day)
        return [choice.topic for choice in choices]

    @pytest.mark.parametrize("seed", range(5))
    @pytest.mark.parametrize("exam_day", [None, 30.0])
    def test_it_is_the_rule_for_one_student(self, seed: int, exam_day: float | None) -> None:
        """Over three runs with what is recent, new and overdue: the same topics, always the same skill."""
        policy = self.certain(rng(seed).normal(0, 1, 25))
        policy.batch.answers[:] = rng(seed).integers(0, 2, 25)
        policy.batch.last_day[:] = np.where(policy.batch.answers[0] > 0, rng(seed).integers(0, 9, 25), -1.0)
        policy.batch.day[:] = 10.0
        recent, plan = list[str](), list[str]()
        for _ in range(30):
            plan = plan or self.laid_out(policy, recent, exam_day)
            expected = self.single(policy, recent, plan.pop(0), exam_day)
            chosen = ITEM_SKILL[policy.choose(10.0, exam_day)]
            assert {SKILL_MAP.skills[place] for place in chosen} == {expected}
            recent.append(expected)

    def test_the_level_is_in_the_band(self) -> None:
        strong, weak = (self.certain(np.full(25, each)).choose(0.0) for each in (1.2, 0.0))
        assert (ITEM_LEVEL[strong] == 1).all()
        assert (ITEM_LEVEL[weak] == 0).all()

    def test_what_it_believes_is_what_the_report_says(self) -> None:
        policy = answered(ours(), 15)
        assert isinstance(policy, Ours)
        for row in (0, 17):
            chances = topic_chances(
                policy.batch.student(row, SKILL_MAP), COLD, replace(PARAMETERS, inflation=1.0)
            )
            expected = [chance.mean for chance in chances.values()]
            assert policy.topics()[row] == pytest.approx(expected, abs=0.015)

    def test_a_run_follows_the_chain_and_the_next_one_begins_anew(self) -> None:
        policy = answered(ours(30), 2 * RUN)
        assert isinstance(policy, Ours)
        stages = SKILL_TOPIC[np.array(policy.recent)]
        for run in (stages[:RUN], stages[RUN:]):
            assert (np.diff(run, axis=0) >= 0).all()
        assert (stages[RUN] < stages[RUN - 1]).any()

    def test_cold_items_stand_at_their_level(self) -> None:
        table = cold_table(PARAMETERS)
        assert set(table.difficulty[ITEM_LEVEL == 0]) == {PARAMETERS.difficulty_of("first_year")}
        assert set(table.difficulty[ITEM_LEVEL == 1]) == {PARAMETERS.difficulty_of("second_year")}

    def test_without_feedback_nothing_is_gained(self) -> None:
        assert (without_feedback(PARAMETERS).gain, without_feedback(PARAMETERS).noise_answer) == (0, 0)


class TestCourses:
    def test_finding_keeps_strengths_where_asked(self) -> None:
        students = world("own", 30, rng())
        found = find(students, ours(30), 20, (10, 20), rng(3))
        assert found.near.shape == (20, 30)
        assert [each.answers.sum() for each in found.strengths[10]] == [10] * 30
        assert all(isinstance(each, Strength) for each in found.strengths[20])

    def test_finding_teaches_nobody(self) -> None:
        students = world("own", 30, rng())
        before = students.topic_truth()
        find(students, InTurn(30, rng()), 20, (), rng(3))
        assert np.array_equal(students.topic_truth(), before)

    def test_a_course_is_spread_over_its_days_and_ends_a_week_before_the_exam(self) -> None:
        days, exams = list[float](), set[float | None]()

        class Watched(InTurn):
            def choose(self, day: float, exam_day: float | None = None) -> Places:
                days.append(day)
                exams.add(exam_day)
                return super().choose(day, exam_day)

        learn(world("own", 30, rng()), Watched(30, rng()), 50, rng(2))
        assert len(days) == 50
        assert sorted(set(days)) == [float(day) for day in range(COURSE_DAYS)]
        assert max(days.count(day) for day in days) == 3
        assert exams == {26.0}

    def test_a_course_teaches(self) -> None:
        before = world("own", 300, rng()).topic_truth()
        outcome = learn(world("own", 300, rng()), InTurn(300, rng()), 100, rng(2))
        assert outcome.exam_mean > before.mean() + 0.05
        assert outcome.worst_topic > before.min(axis=1).mean() + 0.05
        assert 0 <= outcome.all_above_06 <= 1


def test_sharp_items_are_chosen_by_their_own_chance() -> None:
    """A table with one item in the band: it is taken whatever the level."""
    table = cold_table(PARAMETERS)
    difficulty = np.where(np.arange(ITEMS) % 6 == 5, -0.4, 6.0)
    policy = Ours(50, rng(), PARAMETERS, replace(table, difficulty=difficulty))
    assert (policy.choose(0.0) % 6 == 5).all()
    assert Item(-0.4, 0.25).discrimination == 1.0
