"""`Parameters`: every number of the model in one frozen value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields
from types import MappingProxyType
from typing import Any

from quizzes.adaptive.errors import require

LEVEL_DIFFICULTY = MappingProxyType({"first_year": -0.6, "second_year": 0.6})


@dataclass(frozen=True, slots=True)
class Parameters:
    """Starting values; `calibrate` moves some of them. Strengths and difficulties are in logits.

    The spreads are wider than a class is likely to be, on purpose: intervals that are honest for a
    class nobody knows are worth more than a slightly better first guess.
    """

    mean: float = 0.3
    """Strength of a typical student before the first answer [logit]."""
    spread_overall: float = 1.0
    spread_topic: float = 0.8
    spread_skill: float = 1.1
    """Standard deviations between students: overall, of a topic, of a skill within its topic [logit]."""
    level_difficulty: Mapping[str, float] = field(default_factory=lambda: dict(LEVEL_DIFFICULTY))
    """Difficulty of a level before calibration [logit]."""
    item_variance: float = 0.25
    """Variance of a difficulty before calibration [logit²]."""
    guess: float = 0.02
    slip: float = 0.02
    """Chance of a right answer without, and of a wrong answer with the skill."""
    sharpness: float = 1.0
    """How many yes-or-no answers one answer is worth: above 1 where partial credit tells more."""
    gain: float = 0.15
    """What one answer with feedback adds to the strength of a weak skill [logit]."""
    noise_answer: float = 0.01
    noise_day: float = 0.004
    """Variance added to a practised skill by an answer, to every skill by a day [logit²]."""
    forgetting: float = 0.02
    """Loss per unit of log(1 + days since last practised) [logit]."""
    retry_weight: float = 0.3
    retry_shift: float = 1.0
    """How much a second attempt counts, and how much easier it is [logit]."""
    hint_share: float = 0.5
    """What is left of a score that needed a hint."""
    inflation: float = 0.85
    """Factor on variances in reports."""
    class_spread: float = 0.35
    """Standard deviation between classes, overall and in each topic [logit]."""
    shared_error: float = 0.04
    shared_error_skill: float = 0.09
    """Error that all students of a class share in the class view, of a topic and of one skill [chance]:
    how hard the questions are is known less well of one skill than of five."""
    band_centre: float = 0.65
    band_half_width: float = 0.15
    """Chances of success a chosen question should have."""
    recent: int = 8
    """Skills asked in this many last answers are left out of the choice."""
    spacing_share: float = 0.2
    """A skill should not rest longer than this share of the days left to the exam."""
    weak_below: float = 0.6
    weak_sure: float = 0.8
    weakest_sure: float = 0.6
    class_sure: float = 0.8
    """A topic is weak when P(chance < weak_below) > weak_sure; one weakest is named above `weakest_sure`
    for a student, `class_sure` for a class."""
    enough_answers: int = 10
    enough_in_topic: int = 2
    """First attempts needed before a topic is called weak: in all, and in that topic."""

    def __post_init__(self) -> None:
        for name in POSITIVE:
            require(getattr(self, name) > 0, name, getattr(self, name), "must be above 0")
        for name in NOT_NEGATIVE:
            require(getattr(self, name) >= 0, name, getattr(self, name), "must not be negative")
        for name in SHARES:
            require(0 <= getattr(self, name) <= 1, name, getattr(self, name), "must be from 0 to 1")
        require(self.guess + self.slip < 1, "guess", self.guess, "and slip must leave room for the skill")

    def to_dict(self) -> dict[str, Any]:
        """Plain values that JSON can hold; `from_dict` reads them back."""
        return {**asdict(self), "level_difficulty": dict(self.level_difficulty)}

    @classmethod
    def from_dict(cls, values: Mapping[str, Any]) -> Parameters:
        """From `to_dict`; names this version no longer knows are left out, missing ones keep their start."""
        known = {each.name for each in fields(cls)}
        return cls(**{name: value for name, value in values.items() if name in known})

    def difficulty_of(self, level: str) -> float:
        """Difficulty of a level before calibration, 0 for a level nobody has described [logit]."""
        return self.level_difficulty.get(level, 0.0)

    @property
    def prior_variance(self) -> float:
        """Variance of one skill's strength before the first answer [logit²]."""
        return self.spread_overall**2 + self.spread_topic**2 + self.spread_skill**2


POSITIVE = (
    "sharpness",
    "spread_overall",
    "spread_topic",
    "spread_skill",
    "item_variance",
    "inflation",
    "class_spread",
)
NOT_NEGATIVE = (
    "gain",
    "noise_answer",
    "noise_day",
    "forgetting",
    "shared_error",
    "shared_error_skill",
    "recent",
)
SHARES = ("guess", "slip", "retry_weight", "hint_share", "band_centre", "weak_below", "weak_sure")
