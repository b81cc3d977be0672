"""The list of skills: no name twice, no circles, immutable; and how a question is asked for."""

import pytest

from problems.cell.setup import Setup
from problems.generators.setups import SHOWCASE
from problems.question import Option, Part, Skill
from problems.registry import (
    SKILLS,
    NotApplicableError,
    RegistryError,
    UnknownSkillError,
    build,
    find,
    graph,
    make_question,
    skills_for,
)


def skill(name: str, *rests_on: str) -> Skill:
    return Skill(
        name, "redox", "A title", ("first_year",), "choice", lambda *_: True, lambda *_: None, rests_on
    )  # type: ignore[arg-type, return-value]


def test_a_name_that_occurs_twice_is_refused() -> None:
    with pytest.raises(RegistryError, match=r"redox\.a is there twice"):
        build([skill("redox.a"), skill("redox.a")])


def test_skills_that_rest_on_each_other_are_refused() -> None:
    with pytest.raises(RegistryError, match=r"redox\.b → redox\.c → redox\.b"):
        build([skill("redox.a", "redox.b"), skill("redox.b", "redox.c"), skill("redox.c", "redox.b")])


def test_a_skill_that_rests_on_none_is_refused() -> None:
    with pytest.raises(RegistryError, match=r"redox\.z, which is no skill"):
        build([skill("redox.a", "redox.z")])


def test_the_mapping_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        SKILLS["redox.new"] = skill("redox.new")  # type: ignore[index]


def test_skills_may_share_what_they_rest_on() -> None:
    assert list(
        build([skill("redox.a"), skill("redox.b", "redox.a"), skill("redox.c", "redox.a", "redox.b")])
    )


@pytest.mark.parametrize(("name", "level"), [("redox.nothing", "first_year"), ("redox.paths", "second_year")])
def test_an_unknown_skill_or_level_is_named(name: str, level: str) -> None:
    with pytest.raises(UnknownSkillError, match=name):
        make_question(name, level, 1)


def test_a_skill_that_does_not_fit_the_setup_is_refused() -> None:
    with pytest.raises(NotApplicableError, match="KNO3"):
        make_question("stoichiometry.deposit", "first_year", 1, SHOWCASE)


def test_nothing_is_asked_on_a_refused_setup() -> None:
    refused = Setup("NH4Cl", 200.0, "platinum", "platinum", None, 0.1, 600.0)
    assert skills_for(refused) == ()
    for name in SKILLS:
        with pytest.raises(NotApplicableError):
            make_question(name, SKILLS[name].levels[0], 1, refused)


def test_what_fits_a_setup_can_be_asked_on_it() -> None:
    offered = skills_for(SHOWCASE)
    assert "stoichiometry.gas_ratio" in {each.name for each in offered}
    assert "stoichiometry.deposit" not in {each.name for each in offered}
    for each in offered:
        for level in each.levels:
            assert make_question(each.name, level, 5, SHOWCASE).setup == SHOWCASE


def test_find_gives_a_skill() -> None:
    assert find("redox.paths").levels == ("first_year",)


def test_the_graph_names_every_skill_and_every_edge() -> None:
    text = graph()
    assert text.startswith("flowchart LR")
    assert text.count("-->") == sum(len(each.rests_on) for each in SKILLS.values())
    assert all(each.title in text for each in SKILLS.values())


@pytest.mark.parametrize(
    "fields",
    [
        {"name": "acid_base.x"},
        {"levels": ()},
        {"title": ""},
    ],
)
def test_a_skill_that_says_too_little_is_refused(fields: dict[str, object]) -> None:
    given = {"name": "redox.x", "topic": "redox", "title": "X", "levels": ("first_year",), "kind": "choice"}
    with pytest.raises(ValueError, match="title"):
        Skill(**{**given, "applies": None, "make": None, **fields})  # type: ignore[arg-type]


HINTS = ("a", "b", "c")


@pytest.mark.parametrize(
    ("grading", "options"),
    [
        ({"kind": "choice", "expected": ["x"]}, ()),
        ({"kind": "ratio", "expected": "1:1"}, (Option("x", "X"),)),
        ({"kind": "choice", "expected": ["x"]}, (Option("x", "X"), Option("x", "Y", "no"))),
        ({"kind": "choice", "expected": ["x"]}, (Option("x", "X"), Option("y", "X", "no"))),
        ({"kind": "choice", "expected": ["x"]}, (Option("x", "X", "no"), Option("y", "Y"))),
    ],
)
def test_a_part_that_does_not_hold_together_is_refused(
    grading: dict[str, object], options: tuple[Option, ...]
) -> None:
    with pytest.raises(ValueError, match=r"option|choice"):
        Part("?", grading, HINTS, ("d",), options)


@pytest.mark.parametrize(
    ("prompt", "hints", "solution"), [("", HINTS, ("d",)), ("?", ("a", "", "c"), ("d",)), ("?", HINTS, ())]
)
def test_a_part_has_prompt_hints_and_solution(
    prompt: str, hints: tuple[str, str, str], solution: tuple[str, ...]
) -> None:
    with pytest.raises(ValueError, match="three hints"):
        Part(prompt, {"kind": "ratio"}, hints, solution)
