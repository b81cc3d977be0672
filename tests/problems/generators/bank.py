"""Every pair of skill and level, its questions for the first seeds, and what tests look at in them."""

import re
from collections.abc import Iterator
from functools import cache

from problems.chemistry.equation import Equation
from problems.question import Part, Question
from problems.registry import SKILLS, make_question

SEEDS = 50
PAIRS = tuple((skill.name, level) for skill in SKILLS.values() for level in skill.levels)
NUMERIC = tuple(pair for pair in PAIRS if SKILLS[pair[0]].kind == "quantity")
OTHERS = tuple(pair for pair in PAIRS if pair not in NUMERIC)

PLAIN = str.maketrans("₀₁₂₃₄₅₆₇₈₉·→", "0123456789.→")
RAISED = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-", strict=True))
BODY = r"[A-Z(\[][A-Za-z0-9()\[\]]*(?:\.\d*[A-Z][A-Za-z0-9]*)?"
TERM = rf"(?:\d+ )?(?:{BODY}|e)(?:\^\d*[+-])?"
SIDE = rf"{TERM}(?: \+ {TERM})*"
EQUATION = re.compile(rf"{SIDE} → {SIDE}")


@cache
def questions(name: str, level: str, count: int = SEEDS) -> tuple[Question, ...]:
    return tuple(make_question(name, level, seed) for seed in range(count))


def parts(name: str, level: str, count: int = SEEDS) -> Iterator[Part]:
    for question in questions(name, level, count):
        yield from question.parts


def plain(text: str) -> str:
    """A shown text with formulas in plain notation, so that equations in it can be read back."""
    text = text.translate(PLAIN)
    return re.sub(
        r"[⁰¹²³⁴⁵⁶⁷⁸⁹]*[⁺⁻]", lambda found: "^" + "".join(RAISED[sign] for sign in found.group()), text
    )


def equations_in(text: str) -> list[Equation]:
    """The equations that a line of prose holds."""
    return [Equation.parse(found.group().replace(" → ", " -> ")) for found in EQUATION.finditer(plain(text))]
