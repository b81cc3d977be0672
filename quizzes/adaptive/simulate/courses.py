"""What simulated students go through: random answers, answers under steering, a course with an exam."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from quizzes.adaptive.history import History
from quizzes.adaptive.simulate.peers import Turns
from quizzes.adaptive.simulate.policies import Ours, Policy
from quizzes.adaptive.simulate.worlds import ITEM_SKILL, ITEMS, SKILL_MAP, World
from quizzes.adaptive.state import Strength
from quizzes.adaptive.step import Array

A_DAY, COURSE_DAYS, EXAM_AFTER = 10, 20, 7
NEAR = 0.10
"""A named topic this close to the weakest is as good as the weakest [chance]."""


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """Whether the named topic is near the weakest [answers x students]; strengths after some answers."""

    near: Array
    strengths: dict[int, list[Strength]]


@dataclass(frozen=True, slots=True)
class Outcome:
    """At the exam: mean of all topics, of each student's worst, share of students above .6 in all."""

    exam_mean: float
    worst_topic: float
    all_above_06: float


def random_answers(world: World, answers: int, rng: np.random.Generator) -> Turns:
    """Random items, no feedback, no learning."""
    items = rng.integers(0, ITEMS, (world.count, answers))
    return Turns(items, np.stack([world.answer(items[:, turn], rng) for turn in range(answers)], axis=1))


def history_of(turns: Turns) -> History:
    """Random answers as `calibrate` takes them, ten a day."""
    count, answers = turns.items.shape
    shape = (count, answers)
    days = np.broadcast_to(np.arange(answers) // A_DAY, shape).astype(float)
    return History(
        SKILL_MAP, np.full(count, answers), ITEM_SKILL[turns.items], turns.items, turns.scores,
        np.full(shape, np.nan), np.ones(shape), np.zeros(shape), days,
    )  # fmt: skip


def find(
    world: World, policy: Policy, answers: int, keep: Collection[int], rng: np.random.Generator
) -> Found:
    """Steer without any learning and ask after each answer which topic is weakest."""
    truth = world.topic_truth()
    gap = truth - truth.min(axis=1, keepdims=True)
    near, kept = np.zeros((answers, world.count)), dict[int, list[Strength]]()
    for turn in range(answers):
        day = float(turn // A_DAY)
        items = policy.choose(day)
        policy.observe(items, world.answer(items, rng), day)
        near[turn] = gap[policy.rows, policy.named()] <= NEAR
        if isinstance(policy, Ours) and turn + 1 in keep:
            kept[turn + 1] = policy.strengths()
    return Found(near, kept)


def learn(world: World, policy: Policy, answers: int, rng: np.random.Generator) -> Outcome:
    """A course of 20 days with feedback, and an exam 7 days after its last day."""
    exam_day = float(COURSE_DAYS - 1 + EXAM_AFTER)
    due = np.linspace(0, answers, COURSE_DAYS + 1).astype(int)
    for day in range(COURSE_DAYS):
        for _ in range(due[day], due[day + 1]):
            items = policy.choose(float(day), exam_day)
            policy.observe(items, world.answer(items, rng), float(day))
            world.practise(items, float(day), rng)
        world.rest(1.0 if day < COURSE_DAYS - 1 else EXAM_AFTER, rng)
    truth = world.topic_truth()
    worst = truth.min(axis=1)
    return Outcome(float(truth.mean()), float(worst.mean()), float((worst > 0.6).mean()))
