"""Claims about classes hold at least as often as they say, in short form on a fixed seed.

The full form is `tests/benchmarks/class_claims.py`; its figures stand in `quizzes/adaptive/NOTES.md`.
"""

from dataclasses import replace

import pytest

from quizzes.adaptive.class_skills import ClassSkill
from quizzes.adaptive.class_view import ClassView
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.report import Chance
from quizzes.adaptive.simulate.claims import Claim, by_kind, simulated_claims, step_claims, topic_claims
from quizzes.adaptive.simulate.run import Plan

PARAMETERS = Parameters()
TRUTH = {"redox": 0.41, "balancing": 0.52, "stoichiometry": 0.7}
VIEW = ClassView({}, ("redox",), 0.93, enough=True, sure=True, leading={})


def test_a_named_topic_holds_where_it_is_the_weakest() -> None:
    assert topic_claims(VIEW, TRUTH) == [Claim("weakest topic", 0.93, holds=True)]
    other = replace(VIEW, weakest=("balancing",))
    assert topic_claims(other, TRUTH) == [Claim("weakest topic", 0.93, holds=False)]


def test_several_topics_hold_where_the_weakest_is_among_them() -> None:
    view = replace(VIEW, weakest=("stoichiometry", "redox"), sure=False)
    assert topic_claims(view, TRUTH) == [Claim("topics with the weakest", 0.93, holds=True)]


def test_too_few_answers_claim_nothing() -> None:
    assert topic_claims(replace(VIEW, enough=False), TRUTH) == []
    few = ClassSkill("redox.paths", Chance(0.4, 0.3, 0.5, 9), 0.99, 9, enough=False, is_weak=False)
    assert step_claims([few], {"redox.paths": 0.4}, PARAMETERS) == []


@pytest.mark.parametrize(("true", "holds"), [(0.59, True), (0.61, False)])
def test_a_weak_step_holds_below_the_limit(true: float, holds: bool) -> None:
    step = ClassSkill("redox.paths", Chance(0.5, 0.4, 0.58, 40), 0.97, 20, enough=True, is_weak=True)
    assert step_claims([step], {"redox.paths": true}, PARAMETERS) == [Claim("weak step", 0.97, holds)]


@pytest.mark.parametrize("learner", ["own", "stepwise", "misfit"])
def test_they_hold_as_often_as_they_say(learner: str) -> None:
    plan = Plan(480, 20, 4_177, (learner,), ("class",))
    found = by_kind(claim for school in plan.schools(learner) for claim in simulated_claims(school, 20))
    assert found["weak step"].number >= 20
    for held in found.values():
        assert held.held > held.stated - 0.04 - 2.5 * held.error
