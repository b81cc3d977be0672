"""German, complete: every sentence has its translation, and no question or message keeps an English one.

The words looked for are common English ones that no German sentence has (common practice).
"""

import ast
import re
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import read_mo
from babel.messages.pofile import read_po

from problems import words
from problems.grading.case import grade
from problems.question import Part
from problems.registry import SKILLS, make_question

ROOT = Path(words.__file__).parent
FOLDER = words.LOCALE_DIR / "de" / "LC_MESSAGES"
ENGLISH = re.compile(
    r"\b(the|of|is|are|and|with|that|which|what|from|this|to|by|for|its|both|not|one|two|does|has|as)\b",
    re.IGNORECASE,
)
PAIRS = [(name, level) for name, skill in SKILLS.items() for level in skill.levels]
TYPED = ("xx", "2 H2O -> H2", "Na + Cl2 -> NaCl", "h2o", "Cu^3+", "3 mol", "1,5 g", "12", "+9", "1:7", "I*t")


@cache
def catalogue() -> Catalog:
    with (FOLDER / "problems.po").open("rb") as source:
        return read_po(source, locale="de")


def texts(message: Any) -> tuple[str, ...]:
    return (message,) if isinstance(message, str) else tuple(message)


def marked() -> Iterator[str]:
    """What the code marks as a sentence."""
    for path in ROOT.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("_", "mark", "ngettext"):
                first = node.args[0]
                if isinstance(first, ast.Constant):
                    yield first.value


def test_every_sentence_of_the_code_stands_in_the_catalogue() -> None:
    assert {*marked()} - {texts(message.id)[0] for message in catalogue()} == set()


@pytest.mark.parametrize(
    ("table", "field"), [("codes", "means"), ("cautions", "text"), ("reactions", "told")]
)
def test_every_sentence_of_a_table_does(table: str, field: str) -> None:
    document = tomllib.loads((ROOT / "data" / f"{table}.toml").read_text(encoding="utf-8"))
    rows = [row for rows in document.values() if isinstance(rows, list) for row in rows]
    said = {row[field] for row in rows if field in row}
    assert said
    assert said - {message.id for message in catalogue()} == set()


def test_every_step_has_a_german_title() -> None:
    assert {skill.title for skill in SKILLS.values()} - {message.id for message in catalogue()} == set()


def test_nothing_is_left_untranslated_and_every_field_is_kept() -> None:
    for message in catalogue():
        if message.id:
            assert all(texts(message.string)), message.id
            assert not message.fuzzy, message.id
            for said in texts(message.string):
                assert fields(said) == fields(texts(message.id)[-1]), message.id


def fields(sentence: str) -> set[str]:
    return {*re.findall(r"\{\w*\}", sentence)}


def test_the_compiled_catalogue_is_that_of_the_readable_one() -> None:
    with (FOLDER / "problems.mo").open("rb") as source:
        compiled = {message.id: message.string for message in read_mo(source) if message.id}
    assert compiled == {message.id: message.string for message in catalogue() if message.id}


@pytest.mark.parametrize(("skill", "level"), PAIRS)
def test_a_question_is_german_throughout(skill: str, level: Any) -> None:
    with words.language("de"):
        for seed in range(3):
            for part in make_question(skill, level, seed).parts:
                for said in [part.prompt, *part.hints, *part.solution, *options(part), *messages(part)]:
                    assert not ENGLISH.search(said), said


def options(part: Part) -> Iterator[str]:
    for option in part.options:
        yield from (option.text, option.why_wrong)


def messages(part: Part) -> Iterator[str]:
    """What is said to the key, to every known mistake, and to some other texts."""
    grading = dict(part.grading)
    free = [grading["expected"], *wrong(grading.get("slips", {})), *TYPED]
    for answer in [[option.key] for option in part.options] or free:
        yield grade({**grading, "answer": answer}).message


def wrong(slips: Any) -> Iterator[str]:
    for answers in slips.values() if isinstance(slips, dict) else slips:
        yield from [answers] if isinstance(answers, str) else answers


@pytest.mark.parametrize(("skill", "level"), PAIRS)
def test_it_asks_the_same_and_takes_the_same_key(skill: str, level: Any) -> None:
    english = make_question(skill, level, 1)
    with words.language("de"):
        german = make_question(skill, level, 1)
        for one, other in zip(german.parts, english.parts, strict=True):
            assert one.prompt != other.prompt
            assert one.grading.get("tolerance") == other.grading.get("tolerance")
            assert grade({**one.grading, "answer": one.grading["expected"]}).verdict == "correct"


@pytest.mark.parametrize("skill", ["stoichiometry.gas_volume", "stoichiometry.deposit"])
def test_numbers_have_a_comma_and_are_read_with_one(skill: str) -> None:
    with words.language("de"):
        part = make_question(skill, "first_year", 3).parts[0]
        assert not re.search(r"\d\.\d", part.prompt + "".join(part.solution))
        typed = str(part.grading["expected"]).replace(".", ",")
        assert "," in typed
        assert grade({**part.grading, "answer": typed}).verdict == "correct"
