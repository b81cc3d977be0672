"""Real answers from the statistics literature: two five-item sections of a law school admission test.

Published figures for section 6 by marginal maximum likelihood of the Rasch model: difficulties
-3.6153, -1.3224, -0.3176, -1.7301, -2.7802 in units of the spread of people, discrimination 0.7551,
log-likelihood -2466.938 (Thissen 1982; the sixth figure as in later re-analyses of the same table).
For section 7 the published item means, and the exact Rasch model fitted here by scipy.
"""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize

from quizzes.adaptive.fitting import fit_items, fit_parameters
from quizzes.adaptive.history import History, Table, go_through, log_loss
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.structure import SkillMap

DATA = Path(__file__).parent / "data"
RIGHT = {"lsat6": [924, 709, 553, 763, 870], "lsat7": [828, 658, 772, 606, 843]}
DISCRIMINATION = 0.7551
DIFFICULTIES = DISCRIMINATION * np.array([-3.6153, -1.3224, -0.3176, -1.7301, -2.7802])
LOG_LIKELIHOOD = -2466.938
ABILITY = SkillMap(("ability",), ("test",))
NODES, WEIGHTS = np.polynomial.hermite_e.hermegauss(41)
WEIGHTS = WEIGHTS / WEIGHTS.sum()


@cache
def people(name: str) -> np.ndarray:
    """Every person's five answers, patterns in the order of the table."""
    with (DATA / f"{name}_patterns.csv").open() as file:
        rows = [[int(value) for value in row.values()] for row in csv.DictReader(file)]
    return np.repeat([row[:5] for row in rows], [row[5] for row in rows], axis=0).astype(float)


def rasch_log_likelihood(difficulties: np.ndarray, spread: float, answers: np.ndarray) -> float:
    """Exact marginal log-likelihood of the Rasch model, strengths N(0, spread²), on 41 nodes."""
    right = 1 / (1 + np.exp(difficulties - spread * NODES[:, None]))
    logs = answers @ np.log(right).T + (1 - answers) @ np.log(1 - right).T
    return float(np.log(np.exp(logs) @ WEIGHTS).sum())


@dataclass(frozen=True)
class Rasch:
    """The exact model fitted to some people: the ceiling for one strength and five difficulties."""

    difficulties: np.ndarray
    spread: float

    @classmethod
    def fitted(cls, answers: np.ndarray) -> "Rasch":
        found = minimize(
            lambda x: -rasch_log_likelihood(x[:5], np.exp(x[5]), answers), np.zeros(6), method="BFGS"
        )
        return cls(found.x[:5], float(np.exp(found.x[5])))

    def expected(self, answers: np.ndarray) -> np.ndarray:
        """Chance of each answer given the answers of the same person before it."""
        right = 1 / (1 + np.exp(self.difficulties - self.spread * NODES[:, None]))
        mass, chances = np.repeat(WEIGHTS[None], len(answers), axis=0), np.zeros(answers.shape)
        for turn in range(answers.shape[1]):
            chances[:, turn] = mass @ right[:, turn] / mass.sum(axis=1)
            yes = answers[:, turn, None]
            mass = mass * np.where(yes == 1, right[:, turn], 1 - right[:, turn])
        return chances


def history(answers: np.ndarray) -> History:
    """The five items in order, all on one skill, all on one day."""
    shape = answers.shape
    return History(
        ABILITY, np.full(shape[0], 5), np.zeros(shape, dtype=int), np.tile(np.arange(5), (shape[0], 1)),
        answers, np.zeros(shape), np.ones(shape), np.zeros(shape), np.zeros(shape),
    )  # fmt: skip


def one_strength(spread: float) -> Parameters:
    """Nothing but one strength that stands still."""
    return Parameters(
        mean=0.0, spread_overall=spread, spread_topic=1e-3, spread_skill=1e-3, guess=0.0, slip=0.0,
        gain=0.0, noise_answer=0.0, noise_day=0.0, forgetting=0.0,
    )  # fmt: skip


def wide(spread: float = 5.0) -> Table:
    return Table(np.zeros(5), np.full(5, spread**2), np.ones(5))


PLAIN = np.zeros(5, dtype=bool)


@pytest.mark.parametrize("name", ["lsat6", "lsat7"])
def test_the_copy_has_the_published_numbers_of_right_answers(name: str) -> None:
    assert len(people(name)) == 1000
    assert people(name).sum(axis=0).tolist() == RIGHT[name]


def test_the_published_rasch_figures_hold_for_the_copy() -> None:
    rasch = Rasch.fitted(people("lsat6"))
    assert rasch.difficulties == pytest.approx(DIFFICULTIES, abs=0.005)
    assert rasch.spread == pytest.approx(DISCRIMINATION, abs=0.005)
    found = rasch_log_likelihood(rasch.difficulties, rasch.spread, people("lsat6"))
    assert found == pytest.approx(LOG_LIKELIHOOD, abs=0.01)


def test_our_steps_chain_up_to_the_published_log_likelihood() -> None:
    """The product of the chances of each answer given those before it is the likelihood of them all."""
    known = Table(DIFFICULTIES, np.zeros(5), np.ones(5))
    answers = people("lsat6")
    chance = go_through(history(answers), known, one_strength(DISCRIMINATION)).chance
    assert -log_loss(chance, answers) * answers.size == pytest.approx(LOG_LIKELIHOOD, abs=0.5)


def test_our_items_come_out_at_the_published_difficulties() -> None:
    found = fit_items(history(people("lsat6")), wide(), one_strength(DISCRIMINATION), PLAIN)
    assert found.difficulty == pytest.approx(DIFFICULTIES, abs=0.03)


def test_our_items_of_section_7_come_out_at_those_of_the_exact_model() -> None:
    rasch = Rasch.fitted(people("lsat7"))
    found = fit_items(history(people("lsat7")), wide(), one_strength(rasch.spread), PLAIN)
    assert found.difficulty == pytest.approx(rasch.difficulties, abs=0.03)


def test_the_variance_of_an_item_is_that_of_the_likelihood() -> None:
    """Against the curvature of the exact log-likelihood; items correlate, so only its size is compared."""
    rasch, answers = Rasch.fitted(people("lsat6")), people("lsat6")
    step = 1e-3 * np.eye(5)
    now = rasch_log_likelihood(rasch.difficulties, rasch.spread, answers)
    for place, variance in enumerate(
        fit_items(history(answers), wide(), one_strength(rasch.spread), PLAIN).variance
    ):
        up, down = (
            rasch_log_likelihood(rasch.difficulties + sign * step[place], rasch.spread, answers)
            for sign in (1, -1)
        )
        assert variance == pytest.approx(max(-1e-6 / (up + down - 2 * now), 0.01), rel=0.25)


@pytest.mark.parametrize(("name", "published"), [("lsat6", 0.4948), ("lsat7", 0.5342)])
def test_new_people_are_foretold_as_well_as_by_the_exact_model(name: str, published: float) -> None:
    """Five folds: difficulties and spread from four, log-loss on the fifth, both models alike."""
    order = np.random.default_rng(0).permutation(1000)
    ours, exact = [], []
    for fold in range(5):
        tested, known = people(name)[order[fold::5]], people(name)[np.delete(order, np.s_[fold::5])]
        start = one_strength(1.0)
        tuned = fit_parameters(history(known), fit_items(history(known), wide(), start, PLAIN), start)
        table = fit_items(history(known), wide(), tuned, PLAIN)
        ours.append(log_loss(go_through(history(tested), table, tuned).chance, tested))
        exact.append(log_loss(Rasch.fitted(known).expected(tested), tested))
    assert np.mean(ours) == pytest.approx(np.mean(exact), abs=0.0008)
    assert np.mean(ours) == pytest.approx(published, abs=0.002)


@pytest.mark.parametrize(("name", "spread"), [("lsat6", DISCRIMINATION), ("lsat7", 1.011)])
def test_answers_are_foretold_best_at_the_spread_of_the_exact_model(name: str, spread: float) -> None:
    """With items fitted anew under each spread; that of section 7 is the exact model's, fitted here."""
    assert Rasch.fitted(people(name)).spread == pytest.approx(spread, abs=0.005)
    losses = {}
    for share in (0.6, 0.8, 1.0, 1.2, 1.4):
        one = one_strength(share * spread)
        table = fit_items(history(people(name)), wide(), one, PLAIN)
        losses[share] = log_loss(go_through(history(people(name)), table, one).chance, people(name))
    assert min(losses, key=losses.__getitem__) == 1.0
