"""The setup and the order of a run."""

from dataclasses import replace

import numpy as np
import pytest

from quizzes.adaptive.choice import Candidate
from quizzes.adaptive.choice_run import choose_setup, plan_run
from quizzes.adaptive.errors import SteeringError
from tests.quizzes.adaptive.course import COURSE, ITEMS, PARAMETERS, certain
from tests.quizzes.adaptive.test_choice import ALL, LOW_ACID

STAGES = {skill: place for place, skill in enumerate(reversed(COURSE.skills))}
STAGED = [replace(each, stage=STAGES[each.skill]) for each in ALL]


def setup(offers, recent=(), seed=1, count=6):
    rng = np.random.default_rng(seed)
    return choose_setup(certain(LOW_ACID), offers, recent, ITEMS, PARAMETERS, rng, 1.0, count)


def plan(candidates=STAGED, recent=(), seed=1, count=6):
    rng = np.random.default_rng(seed)
    return plan_run(certain(LOW_ACID), candidates, recent, ITEMS, PARAMETERS, rng, 1.0, count)


class TestSetup:
    def test_the_one_on_which_the_weak_skills_can_be_asked(self) -> None:
        chosen = setup({"salt": ["redox.a", "mass.a"], "acid": ["acid.c", "acid.b", "redox.a"]})
        assert chosen.name == "acid"
        assert chosen.skills[:2] == ("acid.c", "acid.b")

    def test_many_strong_skills_do_not_outweigh_weak_ones(self) -> None:
        strong = [skill for skill in COURSE.skills if not skill.startswith("acid")]
        assert setup({"salt": strong, "acid": ["acid.b", "acid.c", "acid.a"]}, count=3).name == "acid"

    def test_a_skill_of_the_weak_topic_counts_more_than_as_weak_a_one_elsewhere(self) -> None:
        means = np.array(LOW_ACID)
        means[[0, 4]] = -0.55, -0.5
        rng = np.random.default_rng(1)
        offers = {"redox": ["redox.a"], "acid": ["acid.a"]}
        chosen = choose_setup(certain(means), offers, (), ITEMS, PARAMETERS, rng, 1.0)
        assert chosen.name == "acid"

    def test_no_more_skills_than_the_run_has_questions(self) -> None:
        assert setup({"all": list(COURSE.skills)}, count=3).skills == ("acid.c", "acid.b", "acid.a")
        spread = {"weak": ["acid.c", "acid.b"], "many": ["acid.b", "acid.a", "acid.d", "mass.a", "mass.b"]}
        assert setup(spread, count=2).name == "weak"

    def test_what_was_asked_lately_counts_for_nothing(self) -> None:
        offers = {"one": ["acid.c", "redox.a"], "two": ["acid.b", "redox.a"]}
        assert setup(offers).name == "one"
        assert setup(offers, recent=["acid.c"]).name == "two"

    def test_equal_ones_take_turns(self) -> None:
        offers = {"one": ["acid.c"], "two": ["acid.c"]}
        assert {setup(offers, seed=seed).name for seed in range(20)} == {"one", "two"}

    def test_nothing_offered_is_refused(self) -> None:
        with pytest.raises(SteeringError, match="offers"):
            setup({"empty": []})

    def test_all_recent_still_gives_a_setup(self) -> None:
        assert setup({"one": ["acid.c"]}, recent=["acid.c"]).name == "one"


class TestPlan:
    def test_a_run_asks_each_skill_once(self) -> None:
        skills = [choice.candidate.skill for choice in plan()]
        assert len(skills) == len(set(skills)) == 6

    def test_it_follows_the_chain(self) -> None:
        stages = [choice.candidate.stage for choice in plan()]
        assert stages == sorted(stages)

    def test_it_holds_the_weak_skills(self) -> None:
        skills = {choice.candidate.skill for choice in plan()}
        assert {"acid.a", "acid.b", "acid.c", "acid.d"} <= skills

    def test_it_is_shorter_where_there_is_less_to_ask(self) -> None:
        few = [each for each in STAGED if each.skill in ("acid.a", "mass.b")]
        assert len(plan(few)) == 2

    def test_nothing_to_ask_is_an_empty_plan(self) -> None:
        assert plan(list[Candidate]()) == ()

    def test_the_same_generator_makes_the_same_plan(self) -> None:
        assert plan(seed=5) == plan(seed=5)
