"""Items and parameters from stored answers: what moves, what must not, and the report of it."""

from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from scipy.optimize import minimize_scalar
from scipy.stats import norm

from quizzes.adaptive.calibrate import ENOUGH_FOR_KIND, calibrate, table_of
from quizzes.adaptive.errors import SteeringError
from quizzes.adaptive.fitting import fit, fit_items
from quizzes.adaptive.history import Answered, History, Table, go_through, log_loss
from quizzes.adaptive.items import Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.reliability import Bin, bins_of, calibration_error, reliability_svg
from quizzes.adaptive.state import prior_covariance
from quizzes.adaptive.step import success
from quizzes.adaptive.update import Observation, replay
from tests.quizzes.adaptive.course import COURSE, ITEMS, LEVELS, PARAMETERS, fresh

OFFERED = dict.fromkeys(COURSE.skills, LEVELS)
HARD = {("redox.a", "first_year"): 1.4, ("acid.b", "second_year"): -0.8, ("mass.c", "first_year"): -1.6}
"""Items far from the difficulty of their level."""


def true_difficulty(skill: str, level: str) -> float:
    return HARD.get((skill, level), {"first_year": -0.6, "second_year": 0.6}[level])


def school(students: int, answers: int = 40, seed: int = 1, kinds: tuple[str, ...] = ("",), extra=None):
    """Answers of students whose strengths follow the prior with half its spread between skills."""
    rng = np.random.default_rng(seed)
    covariance = prior_covariance(COURSE.topics, replace(PARAMETERS, spread_skill=0.5))
    found = []
    for student in range(students):
        theta = rng.multivariate_normal(np.full(12, 0.3), covariance)
        for turn in range(answers):
            place, level = int(rng.integers(12)), LEVELS[int(rng.integers(2))]
            skill, kind = COURSE.skills[place], kinds[int(rng.integers(len(kinds)))]
            margin = theta[place] - true_difficulty(skill, level) - (extra or {}).get((skill, level, kind), 0)
            score = float(rng.random() < 0.02 + 0.96 / (1 + np.exp(-margin)))
            found.append(Answered(student, skill, level, score, turn // 10, kind=kind))
    return found


def calibrated(answers, parameters=PARAMETERS, items=ITEMS):
    return calibrate(answers, COURSE, OFFERED, parameters, items)


@pytest.fixture(scope="module")
def hundred():
    return calibrated(school(100))


class TestMoves:
    def test_items_far_from_their_level_are_found(self, hundred) -> None:
        for (skill, level), difficulty in HARD.items():
            item = hundred.items.item(skill, level)
            assert item.difficulty == pytest.approx(difficulty, abs=3.5 * item.variance**0.5)
            assert np.sign(item.difficulty - true_difficulty("redox.b", level)) == np.sign(
                difficulty - true_difficulty("redox.b", level)
            )

    def test_every_move_says_from_where_to_where_and_on_how_many_answers(self, hundred) -> None:
        moves = {move.key: move for move in hundred.moves}
        move = moves["redox.a", "first_year", ""]
        assert move.before == -0.6
        assert move.after == hundred.items.item("redox.a", "first_year").difficulty
        assert 100 < move.answers < 240
        assert sum(each.answers for each in hundred.moves) <= hundred.answers == 4000

    def test_doubt_about_items_shrinks(self, hundred) -> None:
        assert all(item.variance < 0.1 for item in hundred.items.table.values())

    def test_spread_between_skills_moves_towards_the_truth(self, hundred) -> None:
        assert hundred.parameters.spread_skill < 0.85
        assert hundred.changed["spread_skill"] == (PARAMETERS.spread_skill, hundred.parameters.spread_skill)

    def test_the_gain_stays_where_practice_is_believable(self, hundred) -> None:
        assert 0.05 <= hundred.parameters.gain <= 0.30

    def test_new_students_are_foretold_better(self, hundred) -> None:
        new = school(100, seed=2)
        before, after = (
            loss_on(new, *each) for each in ((ITEMS, PARAMETERS), (hundred.items, hundred.parameters))
        )
        assert after < before - 0.01

    def test_the_report_shows_the_gain(self, hundred) -> None:
        assert hundred.after.log_loss < hundred.before.log_loss
        assert calibration_error(hundred.after.bins) < 0.02
        assert sum(each.answers for each in hundred.after.bins) == 4000

    def test_the_same_answers_give_the_same_calibration(self) -> None:
        answers = school(40, 20)
        one, two = calibrated(answers), calibrated(answers)
        assert one.parameters == two.parameters
        assert one.items.table == two.items.table

    def test_calibrating_again_on_the_same_answers_moves_nothing(self, hundred) -> None:
        again = calibrated(school(100), hundred.parameters, hundred.items)
        assert (again.moves, again.changed) == ((), {})


def loss_on(answers, items: Items, parameters: Parameters) -> float:
    keys = list(items.table)
    history = History.of(answers, COURSE, keys)
    counted = history.counted
    chance = go_through(history, table_of(items, keys), parameters).chance
    return log_loss(chance[counted], history.score[counted])


class TestTooLittle:
    def test_few_answers_move_nothing(self) -> None:
        found = calibrated(school(19, 10))
        assert found.refused == "few_answers"
        assert (found.moves, found.changed, found.before) == ((), {}, None)
        assert found.parameters == PARAMETERS
        assert found.items.table == ITEMS.table

    def test_few_students_move_nothing(self) -> None:
        found = calibrated(school(9, 100))
        assert (found.refused, found.students, found.answers) == ("few_students", 9, 900)

    def test_second_attempts_alone_are_too_little(self) -> None:
        retries = [replace(each, weight=0.3, shift=1.0) for each in school(30)]
        assert calibrated(retries).refused == "few_answers"

    def test_no_answers_at_all(self) -> None:
        assert calibrated([]).refused == "few_answers"

    def test_less_than_a_class_moves_items_but_no_parameters(self) -> None:
        found = calibrated(school(29, 40))
        assert found.refused == ""
        assert found.changed == {}
        assert found.moves

    def test_an_item_with_few_answers_stays(self) -> None:
        answers = [each for each in school(30) if each.skill != "redox.d"]
        rare = [Answered(0, "redox.d", "first_year", 0.0, 9.0)] * 2
        cold = ITEMS.item("redox.d", "first_year")
        assert calibrated(answers + rare).items.item("redox.d", "first_year") == cold
        moved = calibrated([*answers, *rare, rare[0]]).items.item("redox.d", "first_year")
        assert moved.difficulty > cold.difficulty

    def test_little_moves_little(self) -> None:
        few, many = (calibrated(school(count, 30)).items.item("redox.a", "first_year") for count in (12, 120))
        assert abs(few.difficulty - 1.4) > abs(many.difficulty - 1.4)
        assert few.variance > many.variance

    def test_answers_to_retired_skills_do_not_count(self) -> None:
        retired = [Answered(each, "gone", "first_year", 1.0, 0.0) for each in range(500)]
        assert calibrated(retired).answers == 0


class TestKinds:
    def test_a_kind_of_setup_that_is_harder_gets_its_own_item(self) -> None:
        extra = {("redox.b", "first_year", "copper"): 1.5}
        found = calibrated(school(250, 40, kinds=("copper", "salt"), extra=extra))
        own, other = (found.items.item("redox.b", "first_year", kind) for kind in ("copper", "salt"))
        assert own.difficulty > other.difficulty + 0.6

    def test_too_few_answers_leave_the_item_of_any_kind(self) -> None:
        found = calibrated(school(30, 40, kinds=("copper", "salt")))
        assert ENOUGH_FOR_KIND > 30 * 40 / 48
        assert all(not kind for _, _, kind in found.items.table)


class TestFitting:
    def test_a_difficulty_is_where_its_posterior_is_highest(self) -> None:
        """Four students nobody knows, one answer each: against scipy's maximum of prior times likelihood."""
        scores, spread = [0.0, 0.0, 1.0, 0.0], np.sqrt(PARAMETERS.prior_variance)
        answers = [Answered(who, "redox.a", "first_year", score, 0.0) for who, score in enumerate(scores)]
        history = History.of(answers, COURSE, [("redox.a", "first_year", "")])
        start = Table(np.array([-0.6]), np.array([0.25]), np.ones(1))
        theta = np.linspace(-8, 8, 2001) * spread + PARAMETERS.mean
        mass = norm.pdf(theta, PARAMETERS.mean, spread)
        mass /= mass.sum()

        def loss(difficulty: float) -> float:
            right = mass @ success(theta - difficulty, PARAMETERS.guess, PARAMETERS.slip)
            likelihood = sum(np.log(right if score else 1 - right) for score in scores)
            return float((difficulty + 0.6) ** 2 / 2 / 0.25 - likelihood)

        found = fit_items(history, start, PARAMETERS, np.zeros(1, dtype=bool)).difficulty[0]
        assert found == pytest.approx(minimize_scalar(loss, bounds=(-4, 4)).x, abs=0.01)
        assert found > -0.55

    def test_discriminations_are_found_on_many_answers(self) -> None:
        """Steep and flat items of one skill, known strengths' spread: the steep one comes out steeper."""
        rng, slopes = np.random.default_rng(3), np.repeat([0.5, 1.0, 2.0], 2)
        count, turns = 1500, 12
        theta = rng.normal(0, 1.5, (count, 1))
        items = np.tile(np.arange(6), (count, 2))
        score = (rng.random((count, turns)) < 1 / (1 + np.exp(-slopes[items] * theta))).astype(float)
        one = replace(PARAMETERS, mean=0.0, spread_overall=1.5, spread_topic=1e-3, spread_skill=1e-3,
                      guess=0.0, slip=0.0, gain=0.0, noise_answer=0.0)  # fmt: skip
        zeros = np.zeros(items.shape)
        history = History(
            COURSE, np.full(count, turns), items * 0, items, score, zeros, zeros + 1, zeros, zeros
        )
        start = Table(np.zeros(6), np.full(6, 0.25), np.ones(6))
        found = fit_items(history, start, one, np.ones(6, dtype=bool)).slope
        assert found[0] < found[2] < found[4]
        assert found == pytest.approx(slopes, rel=0.35)

    def test_only_marked_items_get_one(self) -> None:
        history = History.of(school(30), COURSE, list(ITEMS.table))
        size = len(ITEMS.table)
        start = Table(np.zeros(size), np.full(size, 0.25), np.ones(size))
        marked = np.arange(size) == 3
        found = fit_items(history, start, PARAMETERS, marked).slope
        assert (found != 1).tolist() == marked.tolist()

    def test_items_nobody_answered_keep_their_start(self) -> None:
        history = History.of(school(30), COURSE, list(ITEMS.table))
        size = len(ITEMS.table) + 1
        start = Table(np.full(size, 0.3), np.full(size, 0.2), np.ones(size))
        table, _ = fit(history, start, PARAMETERS)
        assert (table.difficulty[-1], table.variance[-1]) == (pytest.approx(0.3), pytest.approx(0.2))


class TestHistory:
    def test_going_through_all_is_going_through_each(self) -> None:
        """What is expected of the last answer, by batch and by replaying one student alone."""
        answers = school(7, 15) + school(1, 3, seed=9)
        keys = list(ITEMS.table)
        history = History.of(answers, COURSE, keys)
        table = table_of(ITEMS, keys)
        forward = go_through(history, table, PARAMETERS)
        first = [each for each in answers if each.student == 0]
        told = [
            Observation(
                each.skill, ITEMS.item(each.skill, each.level), each.score, each.day, PARAMETERS.guess
            )
            for each in first
        ]
        before_last = replay(fresh(), told[:-1], PARAMETERS)
        place = COURSE.skills.index(first[-1].skill)
        assert history.lengths[0] == 18
        assert forward.strength[0, 17] == pytest.approx(before_last.mean[place], abs=0.01)

    def test_a_choice_keeps_its_own_guess(self) -> None:
        history = History.of(
            [Answered(1, "redox.a", "first_year", 1.0, 0.0, 0.25)], COURSE, list(ITEMS.table)
        )
        assert history.guesses(PARAMETERS).tolist() == [[0.25]]

    @pytest.mark.parametrize("wrong", [{"score": -0.1}, {"weight": 3.0}])
    def test_nonsense_is_refused(self, wrong: dict[str, float]) -> None:
        with pytest.raises(SteeringError):
            Answered(
                **{"student": 1, "skill": "redox.a", "level": "first_year", "score": 1.0, "day": 0.0, **wrong}
            )


class TestReliability:
    def test_bins_hold_expected_observed_and_counts(self) -> None:
        bins = bins_of(np.array([0.05, 0.41, 0.49, 1.0]), np.array([0.0, 1.0, 0.0, 1.0]))
        assert bins == (Bin(0.05, 0.0, 1), Bin(pytest.approx(0.45), 0.5, 2), Bin(1.0, 1.0, 1))

    def test_error_is_weighted_by_answers(self) -> None:
        assert calibration_error([Bin(0.2, 0.3, 30), Bin(0.8, 0.8, 10)]) == pytest.approx(0.075)

    def test_the_drawing_is_svg_with_a_dot_where_the_numbers_say(self) -> None:
        drawn = reliability_svg([Bin(0.0, 1.0, 4), Bin(1.0, 0.0, 16)], "Expected & observed")
        svg = ElementTree.fromstring(drawn)
        dots = list(svg.iter("{http://www.w3.org/2000/svg}circle"))
        places = [tuple(float(dot.attrib[name]) for name in ("cx", "cy", "r")) for dot in dots]
        assert places == [(48.0, 48.0, 7.5), (312.0, 312.0, 12.0)]
        assert svg[0].text == "Expected & observed"
        assert dots[0][0].text == "0.00 / 1.00 (4)"

    def test_no_answers_give_an_empty_drawing(self) -> None:
        assert "<circle" not in reliability_svg([], "Nothing yet")
