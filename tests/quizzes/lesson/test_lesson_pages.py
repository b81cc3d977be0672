"""What a teacher takes into the lesson: nothing stored, nothing told too early, bad addresses borne."""

import re
from dataclasses import replace
from html import unescape

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from problems.cell import tables
from problems.generators.setups import OFFERED
from problems.registry import SKILLS, make_question
from quizzes.lesson.bench import ASKED, bench_sheet
from quizzes.lesson.forms import best_setup, shown_setups
from quizzes.lesson.versions import LETTERS, choice_of, version_of
from quizzes.models import Question, Run
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory, UserFactory
from tests.quizzes.teaching.test_class_page import practise

BRINE = "sodium chloride brine, bromothymol blue, graphite"


def get(cast: Cast, name: str, **query: object) -> str:
    url = reverse(name, args=[cast.school_class.public_id])
    response = cast.client("teacher").get(url, query, follow=True)
    assert response.status_code == 200
    return unescape(response.content.decode()).replace("\N{NO-BREAK SPACE}", " ")


def paper(**more: object) -> dict[str, object]:
    skills = ["stoichiometry.electrons", "redox.half_reaction"]
    return {"setup": next(iter(OFFERED)), "skill": skills, "number": 2, "numbers": 5, **more}


def test_a_fresh_sheet_and_its_key_belong_together(cast: Cast) -> None:
    sheet, key = get(cast, "fresh_sheet", **paper(version="C")), get(cast, "fresh_key", **paper(version="C"))
    for page in (sheet, key):
        assert "Version C" in page
    prompts = re.findall(r'class="prompt">(.*?)(?: <span class="marks">|</p>)', sheet)
    assert len(prompts) == 2
    assert all(prompt in key for prompt in prompts)
    assert "1 mark: the right unit" in key
    assert "right-answer" in key
    assert "right-answer" not in sheet
    assert "1 mark:" not in sheet


def test_no_line_of_a_solution_stands_on_a_sheet(cast: Cast) -> None:
    homework = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], number=12, mode="one")
    for letter in LETTERS:
        url = reverse("set_sheet", args=[homework.public_id])
        page = cast.client("teacher").get(url, {"version": letter}).content.decode()
        page = unescape(page).replace("\N{NO-BREAK SPACE}", " ")
        for question in version_of(choice_of(homework, "first_year"), letter).questions:
            for part in question.parts:
                own = (part.prompt, question.lead, *(option.text for option in part.options))
                for line in part.solution[1:]:
                    assert line not in page or any(line in text for text in own) or "→" in line


def test_what_is_asked_is_not_told_by_the_drawing(cast: Cast) -> None:
    colour = paper(skill=["acid_base.arm_colour"])
    page = get(cast, "fresh_sheet", **colour)
    assert ": the liquid is" not in page
    assert "not shown" in page
    assert "? mL" in get(cast, "fresh_sheet", **paper(skill=["stoichiometry.gas_volume"]))
    assert ": the liquid is red" in get(cast, "fresh_sheet", **paper(skill=["redox.half_reaction"]))


@pytest.mark.parametrize(
    "wrong",
    [
        {"number": 0},
        {"number": "many"},
        {"number": 21},
        {"setup": "sea water"},
        {"skill": []},
        {"skill": ["no.such"]},
        {"numbers": "x"},
        {"skill": ["stoichiometry.deposit"]},
    ],
    ids=str,
)
def test_a_faulty_choice_is_shown_in_its_form(cast: Cast, wrong: dict[str, object]) -> None:
    for name in ("fresh_sheet", "fresh_key"):
        page = get(cast, name, **paper(**wrong))
        assert "errorlist" in page
        assert "Make the sheets" in page


def test_a_version_that_is_none_is_version_a(cast: Cast) -> None:
    assert "Version A</span>" in get(cast, "fresh_sheet", **paper(version="Z"))


def test_a_step_not_taught_is_not_offered(cast: Cast) -> None:
    cast.school_class.not_taught = ["redox.half_reaction"]
    cast.school_class.save()
    assert "redox.half_reaction" not in get(cast, "lesson")
    assert "errorlist" in get(cast, "fresh_sheet", **paper())
    assert 'id="wall-heading"' not in get(cast, "wall", skill="redox.half_reaction")


def test_the_lesson_proposes_what_the_class_is_weak_at(
    cast: Cast, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for place in range(6):
        student = UserFactory()
        cast.school_class.add_student(student)
        practise(student, {"balancing": 0.05}, 150, place)
    client, url = cast.client("teacher"), reverse("lesson", args=[cast.school_class.public_id])
    with django_assert_max_num_queries(12):
        page = client.get(url).content.decode()
    assert "Filled in is what suits the weakest steps" in page
    assert re.search(r'value="balancing\.\w+"[^>]* checked', page)


def test_the_best_setup_allows_most_of_what_is_weak() -> None:
    weak = ["stoichiometry.deposit", "stoichiometry.gas_volume"]
    assert best_setup(weak, shown_setups()) == "copper(II) sulfate, platinum"
    assert best_setup([], shown_setups()) == shown_setups()[0]


# The question on the wall


def test_the_wall_shows_answer_and_solution_only_when_asked(cast: Cast) -> None:
    asked = {"skill": "stoichiometry.electrons", "numbers": 3}
    closed, answer, solution = (get(cast, "wall", **asked, show=show) for show in ("", "answer", "solution"))
    assert "answer-shown" not in closed
    assert "worked" not in closed
    assert "answer-shown" in answer
    assert "worked" not in answer
    assert "answer-shown" in solution
    assert "worked" in solution
    assert not Question.objects.exists()
    assert not Run.objects.exists()


def test_the_same_address_shows_the_same_question_and_the_next_another(cast: Cast) -> None:
    pages = [get(cast, "wall", skill="stoichiometry.electrons", numbers=number) for number in (3, 3, 4)]
    prompts = [re.findall(r'class="(?:lead|prompt)">(.*?)</p>', page) for page in pages]
    assert prompts[0] == prompts[1] != prompts[2]


def test_no_student_is_named_on_the_wall(cast: Cast) -> None:
    page = get(cast, "wall", skill="redox.paths", numbers=1)
    main = page[page.index("<main") :]
    for student in (cast.student, cast.classmate):
        assert student.display_name not in main


def test_a_code_leads_to_a_question_in_which_that_mistake_can_be_made(cast: Cast) -> None:
    made = make_question("stoichiometry.product_amount", "first_year", 5)
    code = sorted(made.parts[0].grading["slips"])[0]
    url = reverse("wall", args=[cast.school_class.public_id])
    for numbers in range(5):
        query = {"skill": "stoichiometry.product_amount", "code": code, "numbers": numbers}
        asked = cast.client("teacher").get(url, query).context["asked"]
        assert code in asked.question.parts[0].grading["slips"]


@pytest.mark.parametrize(
    "query",
    [
        {},
        {"skill": "no.such"},
        {"skill": "redox.paths", "numbers": "-1"},
        {"skill": "redox.paths", "show": "x"},
    ],
)
def test_a_faulty_address_leads_to_a_question_all_the_same(cast: Cast, query: dict[str, str]) -> None:
    assert "data-keys" in get(cast, "wall", **query)


# The sheet of a demonstration


@pytest.mark.parametrize("name", shown_setups())
def test_a_sheet_says_everything_that_is_done_in_turn(name: str) -> None:
    setup = OFFERED[name]
    sheet = bench_sheet(setup, [])
    assert len(sheet.moments) == 6
    assert all(len(moment.cathode) == sheet.head[0][1] for moment in sheet.moments)
    assert all(len(moment.anode) == sheet.head[1][1] for moment in sheet.moments)
    assert [title for title, _asked in sheet.asks]
    assert all(0 < len(asked) <= ASKED for _title, asked in sheet.asks)
    assert "school" in sheet.waste or "Collect" in sheet.waste
    assert "safety data sheet" in sheet.cautions[-1]


def test_colours_and_volumes_are_those_of_the_evidence() -> None:
    """Faraday's law by hand: 0.1 A for 20 min make 0.622 mmol of hydrogen, 15.4 mL over water at 21 °C."""
    sheet = bench_sheet(OFFERED["potassium nitrate, phenol red, graphite"], [])
    assert sheet.moments[0].cathode[0] == sheet.moments[0].anode[0] == "orange"
    assert sheet.moments[-1].cathode[:2] == ["red", "15.4 mL"]
    assert sheet.moments[-1].anode[:2] == ["yellow", "7.7 mL"]
    assert "3.79 g KNO₃" in sheet.making[0]
    assert "until it is just orange" in sheet.making[1]


def test_brine_is_for_the_fume_hood_and_tests_chlorine_there() -> None:
    sheet = bench_sheet(OFFERED[BRINE], [])
    assert "fume hood" in sheet.use
    assert any("Chlorine: In the fume hood only" in line for line in sheet.tests)
    assert "thiosulfate" in sheet.waste


def test_what_the_class_is_weak_at_is_asked_first() -> None:
    setup = OFFERED["potassium nitrate, phenol red, graphite"]
    asked = dict(bench_sheet(setup, ["stoichiometry.electrons"]).asks)["Half way"]
    assert asked[0].startswith("How much charge has passed")
    assert asked != dict(bench_sheet(setup, []).asks)["Half way"]


def test_nothing_that_stays_on_paper_is_offered() -> None:
    strong = replace(OFFERED["dilute sulfuric acid, platinum"], concentration=9000.0)
    with pytest.raises(ValueError, match="not shown to a class"):
        bench_sheet(strong, [])


def test_one_that_is_not_offered_is_refused_in_words(cast: Cast) -> None:
    page = get(cast, "demonstration", cell="nitroglycerine")
    assert "not one that may be shown to a class" in page
    assert "bench-sheet" not in page


def test_the_questions_on_the_sheet_name_steps_that_there_are() -> None:
    assert {row["skill"] for row in tables.document("bench")["ask"]} <= SKILLS.keys()
    assert {row["caution"] for row in tables.document("bench")["waste"]} <= {"", *tables.cautions()}


@pytest.mark.parametrize("name", shown_setups())
def test_a_sheet_keeps_to_the_language_of_its_reader(cast: Cast, name: str) -> None:
    """Questions, tests, drops and waste come from a table, whose sentences are translated too."""
    url = reverse("demonstration", args=[cast.school_class.public_id])
    client = cast.client("teacher")
    page = client.get(url, {"cell": name}, headers={"accept-language": "de"}).content.decode()
    rows = [row for rows in tables.document("bench").values() if isinstance(rows, list) for row in rows]
    sentences = [row[key] for row in rows for key in ("text", "how", "name") if key in row]
    assert len(sentences) > 25
    sheet = unescape(page[page.index("<article") :])
    assert [sentence for sentence in sentences if sentence in sheet] == []
