"""What can be told of the wording without an eye: all is stated, nothing is clumsy or given away."""

import re
from collections.abc import Iterator

import pytest

from problems import words
from problems.question import Question
from tests.problems.generators.bank import PAIRS, questions

CLUMSY = {
    "a hole in a sentence": r"[{}]",
    "one in the plural": r"(?<![\d.,])1 (?:moles|electrons|minutes|grams|ions)\b",
    "a before a vowel": r"\b[Aa] (?:[aeio]|un)(?!ne\b)",
    "an before a consonant": r"\b[Aa]n [bcdfgjkmnpqrstvwxyz]",
    "a bare degree": r"°(?!C)",
    "a unit without its space": r"\d(?:mL|kPa|min|mol|mmol|°C|A|V|g)\b",
    "two spaces": r"  ",
    "a space before a stop": r" [.,;?]",
    "two stops": r"\.\.|\?\.",
    "a hyphen for a minus": r"(?<![\w)])-\d",
    "None": r"\bNone\b(?! of)",
    "a number of the machine": r"\d\.\d{7,}|\de-?\d",
}
every_pair = pytest.mark.parametrize(("name", "level"), PAIRS)


def texts(question: Question) -> Iterator[str]:
    yield question.lead
    for part in question.parts:
        yield part.prompt
        yield from part.hints
        yield from part.solution
        for option in part.options:
            yield option.text
            yield option.why_wrong


@every_pair
def test_nothing_is_clumsy(name: str, level: str) -> None:
    for question in questions(name, level):
        for text in texts(question):
            for fault, pattern in CLUMSY.items():
                assert not re.search(pattern, text), (fault, text)


def test_the_patterns_find_what_they_are_for() -> None:
    clumsy = [
        "{where}",
        "1 moles",
        "a acid",
        "an base",
        "20 °",
        "5mL",
        "a  b",
        "so .",
        "x..",
        "−-5 -3",
        "None",
        "1e-05",
    ]
    for text, pattern in zip(clumsy, CLUMSY.values(), strict=True):
        assert re.search(pattern, text), text


@every_pair
def test_the_prompt_states_the_whole_setup(name: str, level: str) -> None:
    for question in questions(name, level):
        assert question.lead
        lead, setup = question.prompt, question.setup
        assert f"{words.decimals(setup.temperature - 273.15)} °C" in lead
        assert f"{words.decimals(setup.pressure / 1000)} kPa" in lead
        assert f"{words.number(setup.current)} A" in lead
        assert f"{words.decimals(setup.time / 60)} min" in lead
        assert f"{words.number(setup.molarity)} mol/L" in lead
        assert setup.indicator is None or setup.indicator in lead


@every_pair
def test_prompts_and_hints_are_whole_sentences(name: str, level: str) -> None:
    for question in questions(name, level):
        for part in question.parts:
            assert part.prompt[0].isupper()
            assert part.prompt[-1] in ".?"
            assert all(hint[0].isupper() and hint[-1] in ".?" for hint in part.hints)
            assert all(not option.why_wrong or option.why_wrong[-1] == "." for option in part.options)
            assert len(re.findall(r"[.?](?= |$)", part.prompt)) <= 5


@every_pair
def test_a_prompt_does_not_hold_its_own_key(name: str, level: str) -> None:
    """Equations and numbers: what is asked is not printed in the question."""
    for question in questions(name, level):
        for part in question.parts:
            kind, expected = part.grading["kind"], part.grading["expected"]
            if kind == "equation":
                assert expected.replace(" -> ", " → ") not in part.prompt
            if kind == "quantity" and part.grading["unit"] not in ("", "pH"):
                assert not re.search(rf"(?<![\d.]){re.escape(expected)}", part.prompt)


def test_numbers_follow_the_language_of_the_reader() -> None:
    from problems.registry import make_question

    with words.language("de"):
        german = make_question("stoichiometry.electrons", "first_year", 3)
    english = make_question("stoichiometry.electrons", "first_year", 3)
    assert f"{english.setup.current:.3f}".replace(".", ",") in german.lead
    assert german.parts[0].grading == english.parts[0].grading
