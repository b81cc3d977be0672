"""One answer, practice and days: against a brute-force posterior, and property by property."""

from dataclasses import replace

import numpy as np
import pytest

from quizzes.adaptive.batch import Asked, Batch
from quizzes.adaptive.errors import SteeringError, UnknownSkillError
from quizzes.adaptive.items import Item
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.state import Strength
from quizzes.adaptive.structure import SkillMap
from quizzes.adaptive.update import Observation, evidence, move_to_day, practice_gain, replay, update
from tests.quizzes.adaptive.course import COURSE, ITEMS, PARAMETERS, PLAIN_ITEM, after, fresh, same, seen

STILL = replace(PARAMETERS, gain=0.0, noise_answer=0.0, noise_day=0.0, forgetting=0.0)
"""Nothing but the answers moves a strength."""
TWO = SkillMap(("first", "second"), ("redox", "redox"))


def grid_posterior(answers, parameters):
    """Means and covariance of two skills by summing prior times likelihoods over a fine grid."""
    axis = np.linspace(-8, 8, 401)
    one, two = np.meshgrid(axis, axis, indexing="ij")
    prior = Strength.prior(TWO, parameters)
    inverse = np.linalg.inv(prior.covariance)
    away = np.stack([one - parameters.mean, two - parameters.mean])
    log_mass = -0.5 * np.einsum("iab,ij,jab->ab", away, inverse, away)
    for skill, difficulty, score in answers:
        theta = one if skill == "first" else two
        right = 0.02 + (0.98 - parameters.slip) / (1 + np.exp(difficulty - theta))
        log_mass += score * np.log(right) + (1 - score) * np.log(1 - right)
    mass = np.exp(log_mass - log_mass.max())
    mass /= mass.sum()
    means = np.array([(mass * one).sum(), (mass * two).sum()])
    parts = [one - means[0], two - means[1]]
    return means, np.array([[(mass * a * b).sum() for a in parts] for b in parts])


ANSWERS = [
    ("first", 0.0, 1.0), ("first", -0.6, 0.0), ("second", 0.6, 1.0), ("first", 0.6, 0.5),
    ("second", -0.6, 1.0), ("first", 0.0, 0.0), ("second", 0.0, 1.0), ("second", 0.6, 0.0),
]  # fmt: skip


@pytest.mark.parametrize("count", [1, 2, 4, 8])
def test_two_skills_agree_with_the_posterior_on_a_grid(count):
    answers = ANSWERS[:count]
    seen_all = [Observation(skill, Item(b, 0.0), score, 0.0, 0.02) for skill, b, score in answers]
    found = replay(Strength.prior(TWO, STILL), seen_all, STILL)
    means, covariance = grid_posterior(answers, STILL)
    assert found.mean == pytest.approx(means, abs=0.05)
    assert found.covariance == pytest.approx(covariance, abs=0.1)


def test_what_is_learnt_of_one_skill_moves_its_topic_more_than_another():
    found = after([("redox.a", 1.0)], STILL)
    moved = dict(zip(found.skills, found.mean - STILL.mean, strict=True))
    assert moved["redox.a"] > moved["redox.b"] > moved["acid.a"] > 0


def test_an_answer_lowers_the_doubt_about_every_skill():
    found = after([("redox.a", 1.0)], STILL)
    assert (np.diag(found.covariance) < np.diag(fresh().covariance)).all()


def test_the_same_answers_give_the_same_bits():
    scores = [(skill, float(turn % 2)) for turn, skill in enumerate(COURSE.skills * 3)]
    assert same(after(scores), after(scores))


def test_replaying_is_updating_one_by_one():
    observations = [seen("redox.a", 1.0, 0.5), seen("acid.b", 0.0, 1.5), seen("redox.a", 0.5, 4.0)]
    one_by_one = fresh()
    for each in observations:
        one_by_one = update(one_by_one, each, PARAMETERS)
    assert same(replay(fresh(), observations, PARAMETERS), one_by_one)


def test_an_update_leaves_the_old_strength_as_it_was():
    old = fresh()
    before = old.to_bytes()
    update(old, seen("redox.a", 1.0, 3.0), PARAMETERS)
    assert old.to_bytes() == before


def test_a_hard_item_right_says_more_than_an_easy_one():
    easy = update(fresh(), seen("redox.a", 1.0, item=Item(-2.0, 0.1)), STILL)
    hard = update(fresh(), seen("redox.a", 1.0, item=Item(2.0, 0.1)), STILL)
    assert hard.mean[0] > easy.mean[0] > STILL.mean


def test_an_unsure_item_says_less():
    sure = update(fresh(), seen("redox.a", 1.0, item=Item(0.0, 0.0)), STILL)
    unsure = update(fresh(), seen("redox.a", 1.0, item=Item(0.0, 2.0)), STILL)
    assert sure.mean[0] > unsure.mean[0] > STILL.mean


def test_a_sharper_item_says_more():
    flat = update(fresh(), seen("redox.a", 0.0, item=Item(0.3, 0.1, 0.5)), STILL)
    sharp = update(fresh(), seen("redox.a", 0.0, item=Item(0.3, 0.1, 1.8)), STILL)
    assert sharp.mean[0] < flat.mean[0] < STILL.mean


def test_sharpness_scales_the_evidence():
    more = update(fresh(), seen("redox.a", 1.0), replace(STILL, sharpness=1.6))
    assert more.mean[0] > update(fresh(), seen("redox.a", 1.0), STILL).mean[0]


class TestEvidence:
    def test_a_first_attempt_counts_in_full(self):
        told = evidence(0.5, retry=False, hints=0, parameters=PARAMETERS)
        assert (told.score, told.weight, told.shift) == (0.5, 1.0, 0.0)

    def test_right_with_a_hint_is_half_and_wrong_is_nothing(self):
        assert evidence(1, False, 2, PARAMETERS).score == 0.5
        assert evidence(0, False, 2, PARAMETERS).score == 0

    def test_a_retry_counts_little_and_as_an_easier_question(self):
        told = evidence(1, True, 0, PARAMETERS)
        assert (told.weight, told.shift) == (0.3, 1.0)

    def test_a_retry_moves_less_and_is_no_first_attempt(self):
        retry = Observation("redox.a", PLAIN_ITEM, 1.0, 0.0, 0.02, weight=0.3, shift=1.0)
        again, first = update(fresh(), retry, STILL), update(fresh(), seen("redox.a", 1.0), STILL)
        assert STILL.mean < again.mean[0] < first.mean[0]
        assert (again.answers.sum(), first.answers.sum()) == (0, 1)


class TestPractice:
    def test_an_answer_with_feedback_adds_the_gain_to_its_skill_alone(self):
        with_feedback, without = after([("redox.a", 0.0)]), after([("redox.a", 0.0)], STILL)
        gained = with_feedback.mean - without.mean
        assert gained[0] == pytest.approx(float(practice_gain(without.mean[0], 0, PARAMETERS)))
        assert gained[1:] == pytest.approx(0)
        assert with_feedback.drift == pytest.approx(gained)

    def test_the_gain_is_near_its_parameter_for_the_weak_and_nothing_for_the_strong(self):
        weak, middle, strong = (float(practice_gain(each, 0, PARAMETERS)) for each in (-4.0, 0.3, 6.0))
        assert weak == pytest.approx(PARAMETERS.gain, rel=0.25)
        assert weak > middle > strong
        assert strong < 0.01

    def test_the_gain_wears_off_with_practice(self) -> None:
        first, eleventh = (float(practice_gain(0.0, answers, PARAMETERS)) for answers in (0, 10))
        assert eleventh == pytest.approx(first / 2)

    def test_practice_adds_doubt_but_never_beyond_the_first_day(self):
        parameters = replace(PARAMETERS, noise_answer=50.0)
        found = after([("redox.a", 1.0)], parameters)
        assert found.covariance[0, 0] == pytest.approx(parameters.prior_variance)


class TestDays:
    def test_a_practised_skill_is_forgotten_by_the_logarithm_of_days(self):
        start = after([("redox.a", 1.0)])
        later = move_to_day(start, 9.0, PARAMETERS)
        assert start.mean[0] - later.mean[0] == pytest.approx(PARAMETERS.forgetting * np.log(10))
        assert later.mean[1:] == pytest.approx(start.mean[1:])

    def test_in_two_steps_or_in_one_is_the_same(self):
        start = after([("redox.a", 1.0)])
        twice = move_to_day(move_to_day(start, 4.0, PARAMETERS), 30.0, PARAMETERS)
        once = move_to_day(start, 30.0, PARAMETERS)
        assert twice.mean == pytest.approx(once.mean)
        assert twice.covariance == pytest.approx(once.covariance)

    def test_days_add_doubt_about_every_skill(self):
        start = after([(skill, 1.0) for skill in COURSE.skills])
        grown = np.diag(move_to_day(start, 10.0, PARAMETERS).covariance) - np.diag(start.covariance)
        assert grown == pytest.approx(10 * PARAMETERS.noise_day)

    def test_doubt_never_grows_beyond_the_first_day(self):
        later = move_to_day(after([("redox.a", 1.0)]), 1e6, PARAMETERS)
        assert np.diag(later.covariance).max() <= PARAMETERS.prior_variance + 1e-12

    def test_a_clock_that_goes_back_moves_nothing(self):
        start = after([("redox.a", 1.0)], day=10.0)
        assert move_to_day(start, 3.0, PARAMETERS) is start
        assert update(start, seen("acid.a", 1.0, 3.0), PARAMETERS).day == 10.0

    def test_the_first_answer_on_any_date_meets_the_prior(self):
        assert same(
            replace(after([("redox.a", 1.0)], day=739_000.0), day=0.0, last_day=np.zeros(12)),
            replace(after([("redox.a", 1.0)]), last_day=np.zeros(12)),
        )


class TestRefused:
    @pytest.mark.parametrize("day", [float("nan"), float("inf")])
    def test_a_day_that_is_no_number(self, day: float) -> None:
        with pytest.raises(SteeringError, match="day"):
            move_to_day(fresh(), day, PARAMETERS)

    def test_an_unknown_skill_is_named(self):
        with pytest.raises(UnknownSkillError, match=r"redox\.z"):
            update(fresh(), seen("redox.z", 1.0), PARAMETERS)

    @pytest.mark.parametrize(
        "wrong", [{"score": 1.5}, {"score": float("nan")}, {"guess": 1.0}, {"weight": -0.1}, {"weight": 2.0}]
    )
    def test_nonsense_is_refused_when_built(self, wrong):
        with pytest.raises(SteeringError):
            Observation(
                **{"skill": "redox.a", "item": PLAIN_ITEM, "score": 1.0, "day": 0.0, "guess": 0.0, **wrong}
            )

    @pytest.mark.parametrize(
        "wrong", [(float("inf"), 0.1, 1.0), (0.0, -1.0, 1.0), (0.0, 0.1, 0.0), (0.0, 0.1, 11.0)]
    )
    def test_items_refuse_nonsense(self, wrong):
        with pytest.raises(SteeringError):
            Item(*wrong)


def test_many_at_once_are_the_same_as_one_by_one():
    rng = np.random.default_rng(4)
    parameters = Parameters()
    batch = Batch.prior(5, COURSE, parameters)
    alone = [fresh() for _ in range(5)]
    for turn in range(40):
        day = turn // 4 * 1.5
        places, scores = rng.integers(0, 12, 5), rng.integers(0, 3, 5) / 2
        weights, shifts = rng.choice([0.3, 1.0], 5), rng.choice([0.0, 1.0], 5)
        items = [ITEMS.item(COURSE.skills[place], "second_year") for place in places]
        batch.move_to_day(day)
        difficulty, variance = (
            np.array([getattr(each, name) for each in items]) for name in ("difficulty", "variance")
        )
        batch.answer(
            Asked(places, difficulty, variance, np.ones(5), np.full(5, 0.02), shifts), scores, weights
        )
        alone = [
            update(one, Observation(COURSE.skills[place], item, score, day, 0.02, weight, shift), parameters)
            for one, place, item, score, weight, shift in zip(
                alone, places, items, scores, weights, shifts, strict=True
            )
        ]
    for row, one in enumerate(alone):
        together = batch.student(row, COURSE)
        for name in ("mean", "covariance", "drift", "answers", "last_day"):
            assert getattr(together, name) == pytest.approx(getattr(one, name), abs=1e-10), name
        assert together.day == one.day
