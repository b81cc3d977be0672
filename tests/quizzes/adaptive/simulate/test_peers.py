"""The methods ours is compared with work as they should: a weak peer would prove nothing."""

from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from quizzes.adaptive.history import log_loss
from quizzes.adaptive.simulate.courses import random_answers
from quizzes.adaptive.simulate.oracles import predict
from quizzes.adaptive.simulate.peers import BKT, PFA, Elo, Skills, Turns
from quizzes.adaptive.simulate.worlds import ITEM_LEVEL, ITEM_SKILL, SKILLS, Own, World, world

ONE_SKILL_ITEM = 0


def rng(seed: int = 1) -> np.random.Generator:
    return np.random.default_rng(seed)


def traced(count: int, turns: int, skills: tuple[float, float, float, float], seed: int = 1) -> Turns:
    """Answers to one skill that is known or not: known at first, learnt by an answer, guess, slip."""
    known_first, learn, guess, slip = skills
    chance, scores = rng(seed), np.zeros((count, turns))
    known = chance.random(count) < known_first
    for turn in range(turns):
        scores[:, turn] = chance.random(count) < np.where(known, 1 - slip, guess)
        known |= chance.random(count) < learn
    return Turns(np.full((count, turns), ONE_SKILL_ITEM), scores)


class TestBKT:
    truth = (0.35, 0.12, 0.2, 0.1)

    def test_it_finds_the_parameters_of_its_own_world(self) -> None:
        skills = BKT().fit(traced(4000, 12, self.truth)).skills
        found = (skills.known[0], skills.learn[0], skills.guess[0], skills.slip[0])
        assert found == pytest.approx(self.truth, abs=0.03)

    def test_one_answer_by_bayes_rule(self) -> None:
        """known .5, guess .2, slip .1, learn .3; right: .45/(.45+.1) = .818, then .873 known, .811 right."""
        each = np.ones(SKILLS)
        bkt = BKT(Skills(0.5 * each, 0.3 * each, 0.2 * each, 0.1 * each))
        chances = bkt.predict(Turns(np.zeros((1, 2), dtype=int), np.array([[1.0, 0.0]])))
        known = 0.45 / 0.55 + (1 - 0.45 / 0.55) * 0.3
        assert chances[0] == pytest.approx([0.55, known * 0.9 + (1 - known) * 0.2])

    def test_fitting_raises_the_likelihood_each_round(self) -> None:
        turns, losses = traced(300, 10, self.truth), []
        bkt = BKT()
        bkt.rounds = 1
        for _ in range(6):
            losses.append(log_loss(bkt.predict(turns), turns.scores))
            bkt.fit(turns)
        assert all(later <= earlier + 1e-6 for earlier, later in pairwise(losses))

    @pytest.mark.peer
    @pytest.mark.filterwarnings("ignore")
    def test_it_agrees_with_pybkt(self) -> None:
        """Its forward step gives our chances, and as many rounds of its EM give our parameters.

        The two steps are called one by one: its own loop does not run under numpy 2.4.
        """
        names = ("predict_onestep", "EM_fit", "M_step")
        forward, expectation, maximisation = (pytest.importorskip(f"pyBKT.fit.{name}") for name in names)
        turns = traced(600, 12, self.truth)
        data, model = pybkt_data(turns), pybkt_model(BKT().skills)
        chances, _ = forward.run(model, data, parallel=False)
        assert BKT().predict(turns) == pytest.approx(chances.reshape(600, 12), abs=1e-9)
        for _ in range(BKT.rounds):
            counts = [np.zeros((1, 2, 2)), np.zeros((1, 2, 2)), np.zeros((2, 1))]
            sums = expectation.run(data, model, *counts, 1, parallel=False)
            moves, seen = sums["all_trans_softcounts"], sums["all_emission_softcounts"]
            turned = (moves.transpose(0, 2, 1).copy(), seen.transpose(0, 2, 1).copy())
            model = maximisation.run(model, *turned, sums["all_initial_softcounts"])
        found = BKT().fit(turns).skills
        ours = (found.known[0], found.learn[0], found.guess[0], found.slip[0])
        theirs = (model["prior"], model["learns"][0], model["guesses"][0], model["slips"][0])
        assert ours == pytest.approx(theirs, abs=1e-4)


def pybkt_data(turns: Turns) -> dict[str, np.ndarray]:
    """Answers to one skill as pyBKT holds them: 1 wrong, 2 right, places counted from 1."""
    count, length = turns.scores.shape
    return {
        "data": (turns.scores.ravel()[None] + 1).astype(np.int32),
        "starts": np.arange(count) * length + 1,
        "lengths": np.full(count, length),
        "resources": np.ones(count * length, dtype=np.int64),
    }


def pybkt_model(skills: Skills) -> dict[str, Any]:
    """Parameters of one skill as pyBKT holds them, with room for what its steps put in."""
    room = {"As": np.zeros((1, 2, 2)), "emissions": np.zeros((1, 2, 2)), "pi_0": np.zeros((2, 1))}
    names = {"learns": skills.learn[:1], "guesses": skills.guess[:1], "slips": skills.slip[:1]}
    return {"prior": skills.known[0], "forgets": np.zeros(1), **names, **room}


class TestElo:
    def test_ratings_find_the_order_of_difficulties(self) -> None:
        own = Own(900, rng())
        elo = Elo().fit(random_answers(own, 50, rng(2)))
        assert np.corrcoef(elo.difficulty, own.difficulty)[0, 1] > 0.9

    def test_testing_moves_no_item(self) -> None:
        turns = random_answers(Own(60, rng()), 30, rng(2))
        elo = Elo().fit(turns)
        before = elo.difficulty.copy()
        elo.predict(turns)
        assert np.array_equal(elo.difficulty, before)

    def test_the_first_answer_by_hand(self) -> None:
        """From 0 against 0: expected .5; right adds half of .7 x .5 overall and .7 x .5 to the topic."""
        turns = Turns(np.zeros((1, 2), dtype=int), np.array([[1.0, 1.0]]))
        assert Elo().predict(turns)[0] == pytest.approx([0.5, 1 / (1 + np.exp(-0.7 * 0.5 * 1.5))])


class TestPFA:
    def test_counts_are_those_before_the_answer(self) -> None:
        skill_b = int(np.flatnonzero(ITEM_SKILL == 1)[0])
        items = np.array([[0, 0, skill_b, 149]])
        features = PFA().features(Turns(items, np.array([[1.0, 0.0, 1.0, 1.0]])))[0]
        right_wrong = np.expm1(features[:, SKILLS + 2 :]).round(6).tolist()
        assert right_wrong == [
            [0, 0, 0, 0, 0, 0],
            [1, 0, 1, 0, 1, 0],
            [0, 0, 1, 1, 1, 1],
            [0, 0, 0, 0, 2, 1],
        ]
        assert features[3, 24] == features[3, SKILLS + 1] == 1
        assert ITEM_LEVEL[149] == 1

    def test_the_fit_is_the_maximum_by_scipy(self) -> None:
        from scipy.optimize import minimize

        turns = random_answers(Own(60, rng()), 20, rng(2))
        pfa = PFA().fit(turns)
        features, scores = pfa.features(turns).reshape(-1, len(pfa.weights)), turns.scores.ravel()

        def loss(weights: np.ndarray) -> float:
            margin = features @ weights
            return float(np.logaddexp(0, margin).sum() - scores @ margin + weights @ weights / 2)

        assert loss(pfa.weights) == pytest.approx(minimize(loss, np.zeros_like(pfa.weights)).fun, abs=1e-4)


@cache
def answered(name: str) -> tuple[World, Turns]:
    students = world(name, 600, rng())
    return students, random_answers(students, 50, rng(2))


@pytest.mark.parametrize("name", ["own", "stepwise", "misfit"])
class TestOracle:
    def test_no_peer_beats_it(self, name: str) -> None:
        students, turns = answered(name)
        half = Turns(turns.items[:300], turns.scores[:300]), Turns(turns.items[300:], turns.scores[300:])
        oracle = log_loss(predict(students, turns.items, turns.scores)[300:], half[1].scores)
        for peer in (Elo, PFA, BKT):
            assert oracle < log_loss(peer().fit(half[0]).predict(half[1]), half[1].scores), peer

    def test_it_means_what_it_says(self, name: str) -> None:
        students, turns = answered(name)
        chances = predict(students, turns.items, turns.scores)
        for low in (0.2, 0.4, 0.6, 0.8):
            inside = (chances > low) & (chances <= low + 0.2)
            assert turns.scores[inside].mean() == pytest.approx(chances[inside].mean(), abs=0.02)

    def test_it_sees_no_future(self, name: str) -> None:
        students, turns = answered(name)
        changed = turns.scores.copy()
        changed[:, 20:] = 1 - changed[:, 20:]
        one, two = (predict(students, turns.items, scores) for scores in (turns.scores, changed))
        assert one[:, :21] == pytest.approx(two[:, :21])
        assert abs(one[:, 25:] - two[:, 25:]).mean() > 0.01


def test_stepwise_by_enumerating_every_set_of_known_skills() -> None:
    """Two answers to one skill: the posterior by hand over a fine grid of log-odds."""
    students = world("stepwise", 30, rng())
    items = np.zeros((30, 2), dtype=int)
    scores = np.tile([1.0, 0.0], (30, 1))
    odds = np.random.default_rng(0).normal(0, np.sqrt(1.2**2 + 0.9**2 + 0.4**2), 400_000)
    prior = (1 / (1 + np.exp(-odds - students.offset[0]))).mean()
    guess, slip = students.guess[0], students.slip[0]
    first = prior * (1 - slip) + (1 - prior) * guess
    known = prior * (1 - slip) / first
    expected = [first, known * (1 - slip) + (1 - known) * guess]
    assert predict(students, items, scores)[0] == pytest.approx(expected, abs=0.004)
