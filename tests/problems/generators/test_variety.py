"""The bank is wide: many different keys, electrolytes and indicators; no answer crowds out the rest."""

from collections import Counter
from functools import cache

import pytest

from problems.cell.tables import electrolytes, indicators
from problems.generators.setups import SHOWCASE
from problems.question import LEVELS, TOPICS, Question
from problems.registry import SKILLS, make_question, skills_for
from tests.problems.generators.bank import NUMERIC, OTHERS, PAIRS, SEEDS, questions

MANY = 320
WANTED_KEYS = 200
WANTED_CASES = 20


@cache
def many(name: str, level: str) -> tuple[Question, ...]:
    rest = tuple(make_question(name, level, seed) for seed in range(SEEDS, MANY))
    return questions(name, level) + rest


def key_of(question: Question) -> str:
    """What is right, by its text where it is a choice: option keys alone would not do."""
    shown = []
    for part in question.parts:
        texts = {option.key: option.text for option in part.options}
        expected = part.grading["expected"]
        shown.append(
            expected if isinstance(expected, str) else "; ".join(sorted(texts[key] for key in expected))
        )
    return " | ".join(shown)


def case_of(question: Question) -> tuple[object, ...]:
    """Setup and thing asked, less every number: a number the answer does not use makes nothing different."""
    setup = question.setup
    return (setup.electrolyte, setup.cathode, setup.anode, key_of(question))


def test_there_are_38_skills_and_48_pairs_in_five_topics() -> None:
    assert len(SKILLS) >= 38
    assert len(PAIRS) >= 48
    assert {skill.topic for skill in SKILLS.values()} == set(TOPICS)
    assert {level for _name, level in PAIRS} == set(LEVELS)


@pytest.mark.parametrize(("name", "level"), NUMERIC)
def test_numeric_skills_have_200_different_keys(name: str, level: str) -> None:
    assert len({key_of(question) for question in many(name, level)}) >= WANTED_KEYS


@pytest.mark.parametrize(("name", "level"), OTHERS)
def test_other_skills_have_20_cases(name: str, level: str) -> None:
    assert len({case_of(question) for question in many(name, level)}) >= WANTED_CASES


@pytest.mark.parametrize(("name", "level"), OTHERS)
def test_no_key_stands_in_more_than_half_of_the_cases(name: str, level: str) -> None:
    """Over the questions as drawn, and over the cases each counted once."""
    asked = many(name, level)
    for keys in (map(key_of, asked), (case[-1] for case in {case_of(each) for each in asked})):
        counted = Counter(keys)
        assert counted.most_common(1)[0][1] <= counted.total() / 2


def test_twelve_electrolytes_and_eight_indicators_occur() -> None:
    setups = [question.setup for pair in PAIRS for question in questions(*pair)]
    assert len({setup.electrolyte for setup in setups}) >= 20
    assert len({setup.indicator for setup in setups} - {None}) == len(indicators())
    assert len({setup.cathode for setup in setups}) >= 6


def test_every_electrolyte_that_is_not_refused_and_has_a_bench_or_hood_use_occurs() -> None:
    used = {question.setup.electrolyte for pair in PAIRS for question in questions(*pair)}
    left_out = {
        key for key, row in electrolytes().items() if (row.bench or row.hood) and not row.refused
    } - used
    assert left_out == {"SnCl2"}  # nothing fair can be asked at its anode, and no pH


def test_a_run_on_one_setup_has_something_of_every_topic() -> None:
    assert {skill.topic for skill in skills_for(SHOWCASE)} == set(TOPICS)
    assert len(skills_for(SHOWCASE)) >= 30
