"""Between the database and `quizzes.adaptive`: rows become strengths and items, and go back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cache, lru_cache
from hashlib import sha256
from random import Random
from typing import TYPE_CHECKING, Any

import numpy as np
from django.db.models import QuerySet, Subquery

from accounts.prepared import Prepared, PreparedInsert, PreparedUpdate
from problems.question import TOPICS, Skill
from problems.registry import SKILLS
from quizzes.adaptive.choice import Candidate, Choice
from quizzes.adaptive.items import Item, Items
from quizzes.adaptive.parameters import Parameters
from quizzes.adaptive.report import Chance, topic_chances
from quizzes.adaptive.state import Strength as Belief
from quizzes.adaptive.structure import SkillMap
from quizzes.adaptive.update import Observation, evidence, move_to_day, update
from quizzes.calendar import day_of, local_date
from quizzes.models import Answer, Calibration, Question, Strength, StrengthDay

if TYPE_CHECKING:
    from accounts.models import User

WIDTH_OF_90 = 2 * 1.6449
"""A central interval of 90 % is so many standard deviations wide."""
MOVED_FIELDS = (
    "numbered", "state", "answers",
    *(f"{topic}_{part}" for topic in TOPICS for part in ("mean", "variance")),
)  # fmt: skip
"""What an answer can change in a strength row."""
MOVE = PreparedUpdate(lambda row: Strength.objects.filter(pk=row), *MOVED_FIELDS)
KEEP_DAY = PreparedInsert(StrengthDay, unique=["student", "date"], update=["answers", "topics"])
STAMP = ("number", "made_at", "answers")
"""What tells calibrations apart."""
NEWEST = Prepared(lambda: Calibration.objects.order_by("-number").values_list(*STAMP)[:1])
STRENGTH_OF = Prepared(lambda student: _stamped(Strength.objects.filter(student=student)))
LOCKED = Prepared(lambda student: _stamped(Strength.objects.select_for_update().filter(student=student)))
CHAIN = ("redox", "reaction_types", "balancing", "acid_base", "stoichiometry")


@dataclass(frozen=True, slots=True)
class Frozen:
    """One calibration as the steering takes it: its number, items and parameters."""

    number: int
    items: Items
    parameters: Parameters


@cache
def skill_map() -> SkillMap:
    return SkillMap.of((skill.name, skill.topic) for skill in SKILLS.values())


@cache
def offered_levels() -> dict[str, tuple[str, ...]]:
    return {skill.name: tuple(skill.levels) for skill in SKILLS.values()}


@cache
def start_values() -> Frozen:
    """Calibration 0: what is assumed before anyone has answered."""
    parameters = Parameters()
    return Frozen(0, Items.cold(offered_levels(), parameters), parameters)


def frozen(calibration: Calibration | None) -> Frozen:
    if calibration is None:
        return start_values()
    parameters = Parameters.from_dict(calibration.parameters)
    items = Items.from_rows(calibration.items).covering(offered_levels(), parameters)
    return Frozen(calibration.number, items, parameters)


def current() -> Frozen:
    """The newest calibration. Its row never changes, so it is unpacked once for all answers under it."""
    newest = NEWEST.first()
    return _unpacked(*newest) if newest else start_values()


def current_with(row: Strength) -> Frozen:
    """The newest calibration when the row was read by `STRENGTH_OF` or `LOCKED`."""
    number, *rest = (getattr(row, f"newest_{name}") for name in STAMP)
    return start_values() if number is None else _unpacked(number, *rest)


def _stamped(rows: QuerySet[Strength]) -> QuerySet[Strength]:
    """With the newest calibration's stamp beside each row, which saves asking for it."""
    newest = Calibration.objects.order_by("-number")
    return rows.annotate(**{f"newest_{name}": Subquery(newest.values(name)[:1]) for name in STAMP})


@lru_cache(maxsize=2)
def _unpacked(number: int, made_at: datetime, answers: int) -> Frozen:
    return frozen(Calibration.objects.get(number=number))


def within(known: Frozen, not_taught: frozenset[str]) -> Frozen:
    """The calibration for what is in play alone: topics and steps without a question in it drop out.

    Where nothing at all would be left, everything stays, so that pages still have something to tell.
    """
    items = _without(known.items, not_taught) if not_taught else known.items
    return replace(known, items=items) if items.table else known


@lru_cache(maxsize=64)
def _without(items: Items, skills: frozenset[str]) -> Items:
    return items.without(skills)


def seed_of(*words: object) -> int:
    """A number that any machine makes of the same words [0 to 2^63)."""
    text = "/".join(str(word) for word in words)
    return int.from_bytes(sha256(text.encode()).digest()[:8]) >> 1


def random_of(*words: object) -> Random:
    """For the generators, which draw with the standard library."""
    return Random(seed_of(*words))


def rng_of(*words: object) -> np.random.Generator:
    return np.random.default_rng(seed_of(*words))


def belief_of(row: Strength | None, parameters: Parameters) -> Belief:
    """What is believed of a student, under today's skills; the prior where nothing is known."""
    if row is None or not row.state:
        return Belief.prior(skill_map(), parameters)
    return Belief.from_bytes(bytes(row.state)).aligned(skill_map(), parameters)


def locked(student: User) -> Strength:
    """The student's strength row, locked: whatever counts for one student goes through here."""
    row = LOCKED.first(student.pk)
    if row is None:
        Strength.objects.get_or_create(student=student)
        [row] = LOCKED(student.pk)
    return row


def observation(answer: Answer, question: Question, items: Items, parameters: Parameters) -> Observation:
    """What one counted answer says to the steering."""
    part = question.snapshot.parts[answer.part]
    skill = part.skill or question.skill
    assert answer.score is not None
    told = evidence(answer.score, answer.is_retry, answer.hints_seen, parameters)
    guess = 1 / len(part.options) if part.options else parameters.guess
    item = item_of(items, skill, question.level)
    return Observation(skill, item, told.score, day_of(answer.at), guess, told.weight, told.shift)


def item_of(items: Items, skill: str, level: str) -> Item:
    """The item of a skill at a level."""
    return items.item(skill, level_asked(skill, level))


def level_asked(skill: str, level: str) -> str:
    """The level itself; a step of a chain that is not asked at the chain's level counts at its lowest."""
    levels = offered_levels().get(skill, (level,))
    return level if level in levels else levels[0]


def count(row: Strength, answer: Answer, zone: str) -> None:
    """Let an answer move the strength in `row` (not saved here) and the record of the day in `zone`.

    Unreadable answers and answers to skills that are no longer taught move nothing.
    """
    known = current_with(row)
    answer.calibration_number = known.number
    if answer.score is None:
        return
    belief = moved(belief_of(row, known.parameters), answer, known)
    row.answers += 1
    answer.chances = keep(row, belief, known)
    KEEP_DAY(_day(row.student_id, local_date(answer.at, zone), row.answers, answer.chances))


def move(row: Strength) -> None:
    """Store what an answer has changed in a strength row."""
    MOVE(row.pk, **{name: getattr(row, name) for name in MOVED_FIELDS})


def moved(belief: Belief, answer: Answer, known: Frozen) -> Belief:
    """The belief after one answer, judged under calibration `known`."""
    told = observation(answer, answer.question, known.items, known.parameters)
    return update(belief, told, known.parameters) if told.skill in belief.skills else belief


def keep(row: Strength, belief: Belief, known: Frozen) -> dict[str, Chance]:
    """Put a belief into its row: packed whole, and as a mean and a variance for each topic."""
    row.state = belief.to_bytes()
    chances = topic_chances(belief, known.items, known.parameters)
    for topic, chance in chances.items():
        setattr(row, f"{topic}_mean", chance.mean)
        setattr(row, f"{topic}_variance", ((chance.high - chance.low) / WIDTH_OF_90) ** 2)
    return chances


def keep_days(student: int, days: Mapping[date, tuple[int, Mapping[str, Chance]]]) -> None:
    """How many answers had counted by the end of each day, and where the topics stood."""
    rows = [_day(student, day, answers, chances) for day, (answers, chances) in days.items()]
    StrengthDay.objects.bulk_create(
        rows,
        update_conflicts=True,
        unique_fields=["student", "date"],
        update_fields=["answers", "topics"],
    )


def _day(student: int, day: date, answers: int, chances: Mapping[str, Chance]) -> StrengthDay:
    return StrengthDay(student_id=student, date=day, answers=answers, topics=_as_lists(chances))


def _as_lists(chances: Mapping[str, Chance]) -> dict[str, list[float]]:
    return {topic: [chance.mean, chance.low, chance.high] for topic, chance in chances.items()}


def chances(student: User, at: datetime, known: Frozen | None = None) -> dict[str, Chance]:
    """The student's strength in each topic now, as chances with their intervals."""
    known = known or current()
    return chances_of(belief_now(student, at, known), known)


def belief_now(student: User, at: datetime, known: Frozen) -> Belief:
    """What is believed of a student at a moment, the days since the last answer counted."""
    return _by_now(STRENGTH_OF.first(student.pk), at, known)


def stands(student: User, at: datetime, not_taught: frozenset[str]) -> tuple[Frozen, Belief]:
    """The newest calibration for what is in play, and what is believed of a student by it at a moment."""
    row = STRENGTH_OF.first(student.pk)
    known = within(current_with(row) if row else current(), not_taught)
    return known, _by_now(row, at, known)


def _by_now(row: Strength | None, at: datetime, known: Frozen) -> Belief:
    return move_to_day(belief_of(row, known.parameters), day_of(at), known.parameters)


def chances_of(belief: Belief, known: Frozen) -> dict[str, Chance]:
    """The topics of a belief as chances with their intervals."""
    return topic_chances(belief, known.items, known.parameters)


def candidates(skills: Iterable[Skill], levels: Sequence[str], known: Frozen) -> list[Candidate]:
    """Every question that could be asked: each skill at each of these levels that it has."""
    items, guess = known.items, known.parameters.guess
    return [
        _candidate(skill.name, level, items, guess)
        for skill in skills
        for level in skill.levels
        if level in levels
    ]


@lru_cache(maxsize=1024)
def _candidate(name: str, level: str, items: Items, guess: float) -> Candidate:
    skill = SKILLS[name]
    return Candidate(name, level, items.item(name, level), guess, skill.rests_on, CHAIN.index(skill.topic))


def reason_of(choice: Choice, chance: Chance) -> dict[str, Any]:
    """What is kept with a question about why it was chosen: the draw and the numbers shown."""
    return {
        "code": choice.reason.code,
        "topic": choice.topic,
        "numbers": dict(choice.reason.numbers),
        "success": choice.success,
        "chance": [chance.mean, chance.low, chance.high],
        "draw": _rounded(choice.topic_draw),
    }


def _rounded(draw: Mapping[str, float]) -> dict[str, float]:
    return {name: round(value, 4) for name, value in draw.items()}
