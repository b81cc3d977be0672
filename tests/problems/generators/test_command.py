"""`manage.py question`: each form of it, the same question in every process, and what it refuses."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from problems.grading.case import grade
from problems.registry import SKILLS, make_question
from problems.report import as_json, as_text, skills

ROOT = Path(__file__).parents[3]
FIELDS = {"skill", "topic", "level", "version", "seed", "setup", "prompt"} | {
    "options",
    "grading",
    "hints",
    "solution",
    "parts",
}


def printed(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    call_command("question", *arguments)
    return capsys.readouterr().out


def read(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    return json.loads(printed(capsys, *arguments, "--json"))


def test_a_question_as_json_can_be_graded_with(capsys: pytest.CaptureFixture[str]) -> None:
    question = read(capsys, "--skill", "redox.half_reaction", "--level", "first_year", "--seed", "7")
    assert question.keys() == FIELDS
    answer = question["grading"]["expected"]
    assert grade({"id": "1", "answer": answer, **question["grading"]}).verdict == "correct"
    assert len(question["hints"]) == 3
    assert question["parts"] == []


def test_a_choice_has_its_options(capsys: pytest.CaptureFixture[str]) -> None:
    question = read(capsys, "--skill", "acid_base.arm_colour", "--seed", "3")
    assert {"key", "text", "why_wrong"} == question["options"][0].keys()
    assert set(question["grading"]["expected"]) <= {option["key"] for option in question["options"]}


def test_a_question_in_parts_has_its_grading_in_the_parts(capsys: pytest.CaptureFixture[str]) -> None:
    question = read(capsys, "--skill", "stoichiometry.whole_chain")
    assert question["grading"] is None
    assert question["prompt"]
    assert {"prompt", "grading", "hints", "solution"} <= question["parts"][0].keys()


def test_a_stream_of_questions(capsys: pytest.CaptureFixture[str]) -> None:
    lines = printed(
        capsys, "--skill", "stoichiometry.electrons", "--seed", "4", "--count", "3", "--json"
    ).splitlines()
    assert [json.loads(line)["seed"] for line in lines] == [4, 5, 6]


def test_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    listed = read(capsys, "--list")
    assert [each["skill"] for each in listed] == list(SKILLS)
    assert {"skill", "topic", "levels", "kind", "rests_on"} <= listed[0].keys()
    assert listed == skills()
    assert len(printed(capsys, "--list").splitlines()) == len(SKILLS)


def test_text_for_people_shows_prompt_hints_solution_and_key(capsys: pytest.CaptureFixture[str]) -> None:
    text = printed(capsys, "--skill", "balancing.find_fault", "--seed", "2")
    question = make_question("balancing.find_fault", "first_year", 2)
    assert text == as_text(question) + "\n"
    for part in question.parts:
        assert part.prompt in text
        assert all(hint in text for hint in part.hints)
        assert all(option.text in text for option in part.options)


def test_a_setup_of_ones_own(capsys: pytest.CaptureFixture[str]) -> None:
    question = read(
        capsys,
        *("--skill", "stoichiometry.deposit", "--electrolyte", "CuSO4.5H2O", "--concentration", "0.25 mol/L"),
        *(
            "--electrodes",
            "graphite:copper",
            "--current",
            "120 mA",
            "--time",
            "20 min",
            "--indicator",
            "none",
        ),
    )
    setup = question["setup"]
    assert (setup["hydrate"], setup["cathode"], setup["anode"]) == ("CuSO4.5H2O", "graphite", "copper")
    # 0.120 A × 1200 s / 96485 C/mol / 2 × 63.546 g/mol
    assert question["grading"]["expected"] == "0.04742 g"


def test_only_the_electrolyte_may_be_named(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ("--skill", "redox.half_reaction", "--electrolyte", "KI", "--seed", "5")
    first = read(capsys, *arguments)
    assert first["setup"]["electrolyte"] == "KI"
    assert read(capsys, *arguments) == first


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ((), "Name a skill"),
        (("--skill", "redox.nothing"), "no skill"),
        (("--skill", "redox.paths", "--level", "second_year"), "not asked at the level"),
        (("--skill", "redox.paths", "--count", "0"), "at least 1"),
        (("--skill", "stoichiometry.deposit", "--electrolyte", "KNO3"), "no fair question"),
        (("--skill", "redox.paths", "--electrolyte", "KNO33"), "KNO33"),
        (("--skill", "redox.paths", "--electrolyte", "NH4Cl"), "no fair question"),
        (("--skill", "redox.paths", "--electrolyte", "KNO3", "--current", "much"), "not a number"),
        (("--skill", "redox.paths", "--current", "0.1 A"), "--electrolyte"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_sentence(arguments: tuple[str, ...], sentence: str) -> None:
    with pytest.raises(CommandError, match=sentence) as caught:
        call_command("question", *arguments)
    assert caught.value.returncode == 2
    assert "\n" not in str(caught.value)


def test_every_process_makes_the_same_question() -> None:
    """The order of sets and the hash of texts change from process to process; questions do not."""
    outputs = {_in_a_process(seed) for seed in ("1", "4242")}
    assert len(outputs) == 1
    assert outputs.pop() == "\n".join(_question(name) for name in SKILLS)


def _question(name: str) -> str:
    return json.dumps(as_json(make_question(name, SKILLS[name].levels[-1], 11)))


def _in_a_process(hash_seed: str) -> str:
    code = (
        "from tests.problems.generators.test_command import _question\n"
        "from problems.registry import SKILLS\n"
        "print('\\n'.join(_question(name) for name in SKILLS))"
    )
    found = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": hash_seed},
        capture_output=True,
        text=True,
        check=True,
    )
    return found.stdout.strip()
