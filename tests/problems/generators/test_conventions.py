"""Questions as a class writes them: with H₃O⁺, with state symbols, in dm³, with a decimal comma.

What must hold comes from outside the code: atoms and charge balance in every equation that is shown
(conservation of both), H₃O⁺ is H⁺ and water (Chemistry 2e, OpenStax, section 14.1), 1 dm³ is 1 L (SI
Brochure, 9th edition, table 8), state symbols (same, section 4.1).
"""

import re
from collections.abc import Iterator
from functools import cache

import pytest

from problems import conventions
from problems.chemistry.equation import Equation
from problems.chemistry.formula import HYDROGEN_ION, HYDRONIUM, Formula
from problems.chemistry.medium import with_hydrogen_ion
from problems.chemistry.notation import plain
from problems.conventions import Conventions, written
from problems.generators.conventional import state_of, with_states
from problems.generators.say import uni
from problems.grading.case import grade
from problems.question import Part, Question
from problems.registry import SKILLS, make_question
from problems.words import decimals
from tests.problems.generators.bank import PAIRS, equations_in

SEEDS = 20
HYDRONIUM_CLASS = Conventions(hydronium=True)
OTHER_CLASS = Conventions(states=True, decimetres=True, decimal=",")
WRITTEN = {"equation", "formula", "quantity"}
"""Kinds of answers that a class's way of writing changes; the options of a choice are other texts."""
EVERYTHING = Conventions(hydronium=True, states=True, decimetres=True, decimal=",")
PROTONS = {"acid_base.conjugate"}
"""Skills that speak of the proton itself, which is H⁺ to every class."""


@cache
def question(name: str, level: str, seed: int, conventions: Conventions = conventions.USUAL) -> Question:
    with written(conventions):
        return make_question(name, level, seed)


def texts(question: Question) -> Iterator[str]:
    yield question.lead
    for part in question.parts:
        yield from (part.prompt, *part.hints, *part.solution)
        for option in part.options:
            yield from (option.text, option.why_wrong)


def both(name: str, level: str, conventions: Conventions) -> Iterator[tuple[Question, Question]]:
    """Each question as usual and as the class writes it."""
    for seed in range(SEEDS):
        yield question(name, level, seed), question(name, level, seed, conventions)


def key_parts(question: Question, kind: str) -> list[Part]:
    return [part for part in question.parts if part.grading["kind"] == kind]


def same_reaction(one: Equation, other: Equation) -> bool:
    return with_hydrogen_ion(one).net == with_hydrogen_ion(other).net


@pytest.mark.parametrize(("name", "level"), PAIRS)
def test_with_hydronium_the_same_reactions_are_shown_and_balance(name: str, level: str) -> None:
    for usual, other in both(name, level, HYDRONIUM_CLASS):
        for before, after in zip(texts(usual), texts(other), strict=True):
            pairs = list(zip(equations_in(before), equations_in(after), strict=True))
            for old, new in pairs:
                assert new.is_balanced == old.is_balanced, after
                assert same_reaction(old, new) or not old.is_balanced, after
                assert HYDROGEN_ION not in new.species, after


@pytest.mark.parametrize(("name", "level"), PAIRS)
def test_with_hydronium_no_lone_hydrogen_ion_is_left(name: str, level: str) -> None:
    for _, other in both(name, level, HYDRONIUM_CLASS):
        for text in texts(other):
            assert name in PROTONS or not re.search(r"(?<![A-Za-z0-9₀-₉)])H⁺", text), text


@pytest.mark.parametrize(
    "convention", [HYDRONIUM_CLASS, OTHER_CLASS, EVERYTHING], ids=["hydronium", "other", "everything"]
)
@pytest.mark.parametrize(("name", "level"), PAIRS)
def test_the_keys_of_either_class_are_right_in_both(name: str, level: str, convention: Conventions) -> None:
    for usual, other in both(name, level, convention):
        for old, new in zip(usual.parts, other.parts, strict=True):
            assert grade({**new.grading, "answer": new.grading["expected"]}).verdict == "correct"
            if new.grading["kind"] not in WRITTEN:
                continue
            assert grade({**old.grading, "answer": new.grading["expected"]}).verdict == "correct"
            if new.grading.get("states") != "required":
                assert grade({**new.grading, "answer": old.grading["expected"]}).verdict == "correct"


@pytest.mark.parametrize(("name", "level"), PAIRS)
def test_slips_stay_slips(name: str, level: str) -> None:
    for _, other in both(name, level, HYDRONIUM_CLASS):
        for part in other.parts:
            for code, typed in part.grading.get("slips", {}).items():
                assert grade({**part.grading, "answer": typed}).codes[0] == code


@pytest.mark.parametrize(("name", "level"), PAIRS)
def test_the_other_class_reads_no_litre_and_no_decimal_point(name: str, level: str) -> None:
    for _, other in both(name, level, OTHER_CLASS):
        for text in texts(other):
            assert not re.search(r"\bmL\b|mol/L|\d L\b", text), text
            assert not re.search(r"\d\.\d", text), text


@pytest.mark.parametrize(("name", "level"), PAIRS)
def test_the_same_numbers_are_asked_in_every_class(name: str, level: str) -> None:
    """One draw, written differently: the options and the digits of the lead are the same."""
    for usual, other in both(name, level, OTHER_CLASS):
        assert re.findall(r"\d", usual.lead) == re.findall(r"\d", other.lead)
        assert [len(part.options) for part in usual.parts] == [len(part.options) for part in other.parts]


STATED = ("redox.half_reaction", "balancing.charge", "balancing.add_and_cancel", "balancing.overall")


@pytest.mark.parametrize("name", STATED)
def test_states_are_asked_for_given_and_needed(name: str) -> None:
    for _, other in both(name, SKILLS[name].levels[0], OTHER_CLASS):
        for part in key_parts(other, "equation"):
            key = part.grading["expected"]
            bare = re.sub(r"\((?:s|l|g|aq)(?:\|\w+)?\)", "", key)
            assert "state symbols" in part.prompt
            assert part.solution[-1].startswith("With state symbols: ")
            assert (
                grade({**part.grading, "answer": key.replace("s|aq", "aq").replace("l|aq", "l")}).score == 1
            )
            verdict = grade({**part.grading, "answer": bare})
            assert (verdict.verdict, verdict.codes) == ("partly", ("state_symbol",))


def test_parts_worked_out_from_own_results_ask_for_no_states() -> None:
    found = question(
        "stoichiometry.whole_chain", SKILLS["stoichiometry.whole_chain"].levels[0], 1, OTHER_CLASS
    )
    for part in key_parts(found, "equation"):
        assert (part.grading.get("states") == "required") == (not part.carries)


@pytest.mark.parametrize(
    ("equation", "stated"),
    [
        # Chemistry 2e (OpenStax), sections 4.1 and 17.7
        ("2 H2O -> O2 + 4 H^+ + 4 e^-", "2 H2O(l) -> O2(g) + 4 H^+(aq) + 4 e^-"),
        ("Cu^2+ + 2 e^- -> Cu", "Cu^2+(aq) + 2 e^- -> Cu(s)"),
        ("Ag^+ + Cl^- -> AgCl", "Ag^+(aq) + Cl^-(aq) -> AgCl(s)"),
        ("2 Cl^- -> Cl2 + 2 e^-", "2 Cl^-(aq) -> Cl2(g) + 2 e^-"),
    ],
)
def test_states_as_a_textbook_writes_them(equation: str, stated: str) -> None:
    found = with_states(Equation.parse(equation))
    assert found is not None
    assert plain(found) == stated


@pytest.mark.parametrize("equation", ["2 KNO3 -> 2 KNO2 + O2", "2 NaCl + H2SO4 -> Na2SO4 + 2 HCl"])
def test_states_that_no_row_settles_are_not_asked(equation: str) -> None:
    assert with_states(Equation.parse(equation)) is None


@pytest.mark.parametrize(("formula", "state"), [("Zn", "s"), ("S", None), ("NH3", None), ("OH^-", "aq")])
def test_a_state_is_settled_or_none(formula: str, state: str | None) -> None:
    assert state_of(Formula.parse(formula)) == state


def test_water_oxidised_with_hydronium() -> None:
    """common practice: 6 H₂O → O₂ + 4 H₃O⁺ + 4 e⁻."""
    with written(HYDRONIUM_CLASS):
        assert uni("2 H2O -> O2 + 4 H^+ + 4 e^-") == "6 H₂O → O₂ + 4 H₃O⁺ + 4 e⁻"
        assert uni(HYDROGEN_ION) == uni(HYDRONIUM) == "H₃O⁺"
    assert uni(HYDROGEN_ION) == "H⁺"


def test_a_sentence_about_both_ions_keeps_both() -> None:
    with written(HYDRONIUM_CLASS):
        both_ions = "H₃O⁺ and H⁺ mean the same here; both are right."
        assert conventions.sentence(both_ions) == both_ions
        assert conventions.sentence("H⁺ and OH⁻ give water") == "H₃O⁺ and OH⁻ give water"


def test_a_convention_ends_with_its_block() -> None:
    with written(OTHER_CLASS):
        assert decimals(1.5) == "1,5"
        with written(Conventions(decimal=".")):
            assert decimals(1.5) == "1.5"
        assert decimals(1.5) == "1,5"
    assert (decimals(1.5), conventions.current()) == ("1.5", conventions.USUAL)


def test_conventions_are_kept_and_read_back() -> None:
    assert Conventions.from_json(OTHER_CLASS.as_json()) == OTHER_CLASS
    assert Conventions.from_json({}) == conventions.USUAL


@pytest.mark.parametrize("text", ["HL-60", "{flask} mLs", "L", "Lead"])
def test_only_units_are_taken_for_units(text: str) -> None:
    with written(OTHER_CLASS):
        assert conventions.unit(text) == text
