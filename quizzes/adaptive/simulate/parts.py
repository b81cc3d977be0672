"""The parts of the simulation: each takes one school of simulated students and counts what happened."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from quizzes.adaptive.calibrate import ENOUGH_ANSWERS, settled
from quizzes.adaptive.class_view import class_view
from quizzes.adaptive.fitting import fit
from quizzes.adaptive.history import Table, go_through, log_loss
from quizzes.adaptive.items import Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.report import topic_chances, weak_topics
from quizzes.adaptive.simulate import oracles
from quizzes.adaptive.simulate.courses import A_DAY, Found, find, history_of, learn, random_answers
from quizzes.adaptive.simulate.measures import auc, calibration_sums
from quizzes.adaptive.simulate.peers import BKT, PFA, Elo, Turns
from quizzes.adaptive.simulate.policies import PLAIN, Ours, Policy, cold_table, without_feedback
from quizzes.adaptive.simulate.tally import Tally
from quizzes.adaptive.simulate.worlds import CLASS_SIZE, LEVELS, SKILL_MAP, WORLDS, World, world
from quizzes.adaptive.state import Strength
from quizzes.adaptive.step import Array

PREDICTION_ANSWERS, TRAINING = 50, (30, 300)
KEPT = (10, 20, 30, 40, 50)
INTERVALS_AT, RECALL_AT = (10, 20, 50), 20
WEAK, CLASS_NEAR = 0.6, 0.03
POLICIES = (*PLAIN, "ours")


@dataclass(frozen=True)
class School:
    """Some simulated students of one world, with items of their own, and the seed of all their chance."""

    name: str
    count: int
    answers: int
    seed: tuple[int, ...]
    parameters: Parameters

    def rng(self, purpose: int) -> np.random.Generator:
        """A stream of its own for each purpose."""
        return np.random.default_rng([*self.seed, list(WORLDS).index(self.name), purpose])

    def world(self, more: int = 0) -> World:
        """The students as they are at first, `more` others before them."""
        return world(self.name, self.count + more, self.rng(0))

    def policy(self, name: str, parameters: Parameters) -> Policy:
        rng = self.rng(2)
        return PLAIN[name](self.count, rng) if name in PLAIN else Ours(self.count, rng, parameters)

    def found(self, name: str) -> Found:
        world = self.world()
        policy = self.policy(name, without_feedback(self.parameters))
        return find(world, policy, self.answers, self.kept, self.rng(1))

    @cached_property
    def steered(self) -> Found:
        """Under our steering, with strengths kept; shared by several parts."""
        return self.found("ours")

    @property
    def kept(self) -> tuple[int, ...]:
        """Numbers of answers at which strengths are looked at."""
        return tuple(at for at in KEPT if at <= self.answers)

    def strengths(self, answers: int) -> list[Strength]:
        """Strengths after so many answers under our steering, as stored; none beyond the last answer."""
        return self.steered.strengths.get(answers, [])

    @cached_property
    def items(self) -> Items:
        return Items.cold(dict.fromkeys(SKILL_MAP.skills, LEVELS), self.parameters)


def prediction(school: School) -> Tally:
    """How well each answer is foretold by those before it, by ours and by the peers.

    `ours_start` keeps the starting values; `ours_cold` is refitted every night, as the site is, on
    nothing but the answers of the student's own class, which nobody knew before.
    """
    more = max(TRAINING)
    world = school.world(more)
    turns = random_answers(world, PREDICTION_ANSWERS, school.rng(1))
    training, tested = (
        Turns(turns.items[:more], turns.scores[:more]),
        Turns(turns.items[more:], turns.scores[more:]),
    )
    expected = {
        **_ours(training, tested, school.parameters),
        "elo": Elo().fit(training).predict(tested),
        "pfa": PFA().fit(training).predict(tested),
        "bkt": BKT().fit(training).predict(tested),
        "oracle": oracles.predict(world, turns.items, turns.scores)[more:],
    }
    tally: Tally = {}
    for name, chance in expected.items():
        tally.update(_figures(name, chance, tested.scores))
    return tally


def _figures(name: str, chance: Array, score: Array) -> Tally:
    return {
        (name, "log_loss"): (log_loss(chance, score) * score.size, float(score.size)),
        (name, "auc"): (auc(chance, score), 1.0),
        (name, "ece"): (calibration_sums(chance, score), float(score.size)),
    }


def _ours(training: Turns, tested: Turns, start: Parameters) -> dict[str, Array]:
    parameters, cold, history = without_feedback(start), cold_table(start), history_of(tested)
    expected = {
        "ours_start": go_through(history, cold, parameters).chance,
        "ours_cold": _by_night(tested, cold, parameters),
    }
    for count in TRAINING:
        known = history_of(Turns(training.items[:count], training.scores[:count]))
        table, tuned = fit(known, cold, parameters)
        expected[f"ours_tuned_{count}"] = go_through(history, table, tuned).chance
    return expected


def _by_night(turns: Turns, cold: Table, start: Parameters) -> Array:
    """Chances of classes that begin as strangers and are refitted and judged anew after each day."""
    count, answers = turns.scores.shape
    return np.concatenate(
        [
            np.concatenate(
                [
                    _day_of(turns, slice(first, first + CLASS_SIZE), before, cold, start)
                    for before in range(0, answers, A_DAY)
                ],
                axis=1,
            )
            for first in range(0, count, CLASS_SIZE)
        ]
    )


def _day_of(turns: Turns, rows: slice, before: int, cold: Table, start: Parameters) -> Array:
    """Chances of a class on the day after each has given `before` answers, refitted on those."""
    table, tuned = cold, start
    if before and before * len(turns.items[rows]) >= ENOUGH_ANSWERS:
        known = history_of(Turns(turns.items[rows, :before], turns.scores[rows, :before]))
        fitted, tuned = fit(known, cold, start)
        table = settled(fitted, cold, known)
    until = Turns(turns.items[rows, : before + A_DAY], turns.scores[rows, : before + A_DAY])
    return go_through(history_of(until), table, tuned).chance[:, before:]


def finding(school: School) -> Tally:
    """After how many answers the topic named is near the weakest, under each way to choose."""
    found = {name: school.steered if name == "ours" else school.found(name) for name in POLICIES}
    return {(name,): (each.near.sum(axis=1), float(school.count)) for name, each in found.items()}


def intervals(school: School) -> Tally:
    """How often the 90 % interval of a topic holds the truth."""
    truth = school.world().topic_truth()
    covered: Tally = {}
    for at in INTERVALS_AT:
        pairs = list(zip(school.strengths(at), truth, strict=False))
        inside = sum(_inside(school, each, row) for each, row in pairs)
        covered[str(at),] = (float(inside), float(len(pairs) * truth.shape[1]))
    return covered


def _inside(school: School, strength: Strength, truth: Array) -> int:
    chances = topic_chances(strength, school.items, school.parameters).values()
    return sum(each.low <= true <= each.high for each, true in zip(chances, truth, strict=True))


def flag(school: School) -> Tally:
    """How often a flagged topic is weak (from 10 answers on), and how many weak ones are flagged after 20."""
    weak = school.world().topic_truth() < WEAK
    flagged = {at: np.array([_flagged(school, each) for each in school.strengths(at)]) for at in school.kept}
    right = sum(float((each & weak).sum()) for each in flagged.values())
    return {
        ("precision",): (right, sum(float(each.sum()) for each in flagged.values())),
        ("recall_20",): (float((flagged[RECALL_AT] & weak).sum()), float(weak.sum())),
    }


def _flagged(school: School, strength: Strength) -> list[bool]:
    flagged = weak_topics(strength, school.items, school.parameters).flagged
    return [topic in flagged for topic in SKILL_MAP.topic_names]


def school_class(school: School) -> Tally:
    """After 20 answers each: is the topic named for a class near its weakest, do intervals hold the truth."""
    truth, strengths = school.world().topic_truth(), school.strengths(RECALL_AT)
    near, inside, named = 0, 0, 0
    for start in range(0, school.count, CLASS_SIZE):
        view = class_view(strengths[start : start + CLASS_SIZE], school.items, school.parameters)
        true = truth[start : start + CLASS_SIZE].mean(axis=0)
        chances = list(view.topics.values())
        lowest = int(np.argmin([each.mean for each in chances]))
        near += true[lowest] - true.min() <= CLASS_NEAR
        inside += sum(each.low <= value <= each.high for each, value in zip(chances, true, strict=True))
        named += 1
    return {
        ("within_003",): (float(near), float(named)),
        ("coverage",): (float(inside), float(named * truth.shape[1])),
    }


def learning(school: School) -> Tally:
    """What students can do at the exam after a course under each way to choose."""
    tally: Tally = {}
    for name in POLICIES:
        outcome = learn(school.world(), school.policy(name, school.parameters), school.answers, school.rng(1))
        for measure in ("exam_mean", "worst_topic", "all_above_06"):
            tally[name, measure] = (getattr(outcome, measure) * school.count, float(school.count))
    return tally


PARTS: dict[str, Callable[[School], Tally]] = {
    "prediction": prediction,
    "finding": finding,
    "intervals": intervals,
    "flag": flag,
    "learning": learning,
    "class": school_class,
}
