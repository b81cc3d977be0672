"""A class pooled: what it has in common, and what may be said of it."""

from dataclasses import replace

import numpy as np
import pytest

from quizzes.adaptive.class_effect import class_effect
from quizzes.adaptive.class_view import class_view
from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.report import topic_chances
from quizzes.adaptive.state import Strength, prior_covariance
from quizzes.adaptive.structure import SkillMap, membership
from quizzes.adaptive.update import replay
from tests.quizzes.adaptive.course import COURSE, ITEMS, PARAMETERS, after, certain, fresh, seen

STILL = replace(PARAMETERS, gain=0.0, noise_answer=0.0)
ROUND = [(skill, 0.0 if skill.startswith("acid") else 1.0) for skill in COURSE.skills]
CLASS = [after([*ROUND[turn % 3 :], *ROUND[: turn % 4]], STILL) for turn in range(20)]
"""Twenty students who all miss what is asked of acid."""


def gaussian_class(shift, count=40, spread=0.6, seed=5):
    """Students who start `shift` above the prior and gave Gaussian measurements of every skill.

    Their strengths follow by exact linear algebra, so that the effect can be checked without the step.
    """
    rng = np.random.default_rng(seed)
    prior = prior_covariance(COURSE.topics, STILL)
    found = []
    for _ in range(count):
        true = rng.multivariate_normal(STILL.mean + shift, prior)
        measured = true + rng.normal(0, spread, len(true))
        gain = prior @ np.linalg.inv(prior + spread**2 * np.eye(len(true)))
        mean = STILL.mean + gain @ (measured - STILL.mean)
        found.append(replace(fresh(parameters=STILL), mean=mean, covariance=prior - gain @ prior))
    return found


class TestEffect:
    def test_it_is_the_posterior_of_the_class_by_direct_algebra(self) -> None:
        """gamma given all measurements at once, by stacking students into one big Gaussian."""
        students, spread = gaussian_class(np.zeros(12), count=6), 0.6
        prior = prior_covariance(COURSE.topics, STILL)
        groups = np.concatenate([np.ones((12, 1)), membership(COURSE.topics)], axis=1)
        noise = np.linalg.inv(prior + spread**2 * np.eye(12))
        gain = prior @ noise
        measured = [np.linalg.solve(gain, each.mean - STILL.mean) for each in students]
        precision = np.eye(4) / STILL.class_spread**2 + 6 * groups.T @ noise @ groups
        gamma = np.linalg.solve(precision, groups.T @ noise @ sum(measured))
        effect = class_effect(students, STILL)
        assert prior @ effect.pull == pytest.approx(groups @ gamma)
        spread_of = prior @ effect.root @ effect.root.T @ prior
        assert spread_of == pytest.approx(groups @ np.linalg.inv(precision) @ groups.T)

    def test_a_class_that_stands_apart_is_found(self) -> None:
        shift = np.repeat([0.0, -0.6, 0.3], 4)
        prior = prior_covariance(COURSE.topics, STILL)
        found = prior @ class_effect(gaussian_class(shift, count=120), STILL).pull
        assert found == pytest.approx(shift, abs=0.25)

    def test_a_class_of_students_nobody_knows_has_no_effect(self) -> None:
        effect = class_effect([fresh()] * 5, PARAMETERS)
        assert effect.pull == pytest.approx(0, abs=1e-12)

    def test_practice_is_not_taken_for_a_strong_class(self) -> None:
        practised = [replace(each, mean=each.mean + 0.8, drift=each.drift + 0.8) for each in CLASS]
        assert class_effect(practised, STILL).pull == pytest.approx(class_effect(CLASS, STILL).pull)

    def test_two_skill_maps_do_not_mix(self) -> None:
        other = Strength.prior(SkillMap(("x",), ("t",)), PARAMETERS)
        with pytest.raises(SteeringError, match="skill map"):
            class_effect([fresh(), other], PARAMETERS)


class TestView:
    def test_a_weak_topic_of_the_class_is_named(self) -> None:
        view = class_view(CLASS, ITEMS, PARAMETERS)
        assert view.weakest == ("acid",)
        assert view.sure
        assert view.probability > 0.8

    def test_chances_lie_in_their_intervals_and_answers_are_counted(self) -> None:
        view = class_view(CLASS, ITEMS, PARAMETERS)
        assert all(0 < each.low < each.mean < each.high < 1 for each in view.topics.values())
        assert sum(each.answers for each in view.topics.values()) == sum(each.answers.sum() for each in CLASS)

    def test_a_class_is_known_better_than_one_of_its_students(self) -> None:
        pooled = class_view(CLASS, ITEMS, PARAMETERS).topics["redox"]
        one = topic_chances(CLASS[0], ITEMS, PARAMETERS)["redox"]
        assert pooled.high - pooled.low < one.high - one.low

    def test_the_shared_error_keeps_the_interval_open(self) -> None:
        many = class_view([certain([0.5] * 12)] * 60, ITEMS, PARAMETERS).topics["redox"]
        assert many.high - many.low > 2 * PARAMETERS.shared_error

    def test_without_enough_answers_nothing_is_sure(self) -> None:
        few = [replay(fresh(), [seen("acid.a", 0.0)], PARAMETERS) for _ in range(20)]
        view = class_view(few, ITEMS, PARAMETERS)
        assert not view.enough
        assert not view.sure

    def test_two_students_are_no_class_however_much_they_answered(self) -> None:
        diligent = after(ROUND * 3, STILL)
        assert not class_view([diligent] * 2, ITEMS, PARAMETERS).enough
        assert class_view([diligent] * 3, ITEMS, PARAMETERS).enough

    def test_one_weakest_is_no_more_sure_than_its_probability(self) -> None:
        """Wanting more certainty than there can be: the one that leads in every draw is not sure."""
        strict = replace(PARAMETERS, class_sure=1.0)
        view = class_view(CLASS, ITEMS, strict)
        assert view.weakest == ("acid",)
        assert not view.sure

    def test_equal_topics_are_not_told_apart(self) -> None:
        even = [after([(skill, float(turn % 2)) for skill in COURSE.skills], STILL) for turn in range(20)]
        view = class_view(even, ITEMS, PARAMETERS)
        assert view.enough
        assert not view.sure
        assert len(view.weakest) > 1

    def test_nobody_is_refused(self) -> None:
        with pytest.raises(SteeringError, match="at least one student"):
            class_view([], ITEMS, PARAMETERS)

    def test_the_same_class_reads_the_same(self) -> None:
        assert class_view(CLASS, ITEMS, PARAMETERS) == class_view(CLASS, ITEMS, PARAMETERS)
