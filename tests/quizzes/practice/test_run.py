"""A run of ten questions as a student does it, from the start page to the summary."""

import pytest
from django.urls import reverse
from django.utils import timezone

from problems.generators.setups import OFFERED, SHOWCASE
from quizzes.models import Question, Run, Strength
from quizzes.runs import next_question, start_homework, start_run
from quizzes.templatetags.drawing import words_beside
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import NOW, ask_on, fields, key_of


def path(name: str, thing: Run | Question) -> str:
    return reverse(name, args=[thing.public_id])


def read(page: str) -> str:
    """The page's text as a reader has it: quotes as quotes, and every space a space."""
    return page.replace("&#x27;", "'").replace("\N{NO-BREAK SPACE}", " ")


def test_a_whole_run(cast: Cast) -> None:
    client = cast.client("student")
    client.post(reverse("start_run"), {"setup_name": next(iter(OFFERED))})
    run = Run.objects.get(student=cast.student)
    for position in range(1, run.length + 1):
        page = client.post(path("next_question", run), follow=True).content.decode()
        question = run.current_question()
        assert question is not None
        assert question.position == position
        assert question.snapshot.parts[0].prompt.split(".")[0] in read(page)
        while (part := question.open_part()) is not None:
            expected = question.snapshot.parts[part].grading["expected"]
            sent = {"option": expected} if isinstance(expected, list) else {"answer": expected}
            client.post(path("answer", question), {**fields("", part), **sent})
            question.refresh_from_db()
    page = client.post(path("next_question", run), follow=True).content.decode()
    run.refresh_from_db()
    assert run.ended_at is not None
    assert "The run is over" in page
    assert page.count("✓ right") == run.length
    assert Strength.objects.get(student=cast.student).answers >= run.length


def test_without_a_choice_a_setup_is_proposed(cast: Cast) -> None:
    cast.client("student").post(reverse("start_run"), {"setup_name": ""})
    assert Run.objects.get(student=cast.student).setup.electrolyte


def test_an_unknown_setup_is_refused_with_a_sentence(cast: Cast) -> None:
    page = cast.client("student").post(reverse("start_run"), {"setup_name": "moon water"}, follow=True)
    assert "Choose a setup from the list." in page.content.decode()
    assert not Run.objects.exists()


def test_two_requests_for_the_next_question_make_one(cast: Cast, run: Run) -> None:
    client = cast.client("student")
    client.post(path("next_question", run))
    client.post(path("next_question", run))
    assert run.questions.count() == 1


def test_a_question_tells_why_it_was_chosen(cast: Cast, run: Run) -> None:
    page = cast.client("student").post(path("next_question", run), follow=True).content.decode()
    assert "chance of getting the next one right" in page


def test_the_same_seed_chooses_the_same_question(cast: Cast, run: Run) -> None:
    first = next_question(run, NOW)
    assert first is not None
    identity, reason = first.as_identity(), first.reason
    first.delete()
    again = next_question(run, NOW)
    assert again is not None
    assert (again.as_identity(), again.reason) == (identity, reason)


def test_a_run_can_be_ended_and_stays_ended(cast: Cast, run: Run) -> None:
    client = cast.client("student")
    client.post(path("next_question", run))
    page = client.post(path("end_run", run), follow=True).content.decode()
    run.refresh_from_db()
    ended = run.ended_at
    assert "The run is over" in page
    assert ended is not None
    client.post(path("next_question", run))
    client.post(path("end_run", run))
    client.post(path("answer", run.questions.get()), fields("2 H2O -> 2 H2 + O2"))
    run.refresh_from_db()
    assert (run.questions.count(), run.ended_at) == (1, ended)
    assert not run.questions.get().answers.exists()


def test_the_run_page_by_itself_changes_nothing(cast: Cast, run: Run) -> None:
    page = cast.client("student").get(path("run", run)).content.decode()
    assert "First question" in page
    assert not run.questions.exists()


def test_hints_come_one_by_one_and_halve_a_right_answer(cast: Cast, question: Question) -> None:
    client = cast.client("student")
    hints = question.snapshot.parts[0].hints
    for seen in (1, 2, 3, 3):
        page = client.post(path("hint", question), follow=True).content.decode()
        question.refresh_from_db()
        assert question.hints_seen == seen
        assert page.count("<li>") >= seen
    assert hints[2].split(".")[0] in read(page)
    client.post(path("answer", question), fields(key_of(question)))
    answer = question.answers.get()
    assert (answer.score, answer.hints_seen) == (1, 3)
    assert Strength.objects.get(student=cast.student).redox_mean < right_without_a_hint(cast)


def right_without_a_hint(cast: Cast) -> float:
    """The same answer by the classmate, who saw no hint."""
    question = ask_on(start_run(cast.classmate, NOW, SHOWCASE))
    cast.client("classmate").post(path("answer", question), fields(key_of(question)))
    mean: float = Strength.objects.get(student=cast.classmate).redox_mean
    return mean


def test_show_me_ends_the_question_and_counts_as_not_known(cast: Cast, question: Question) -> None:
    page = cast.client("student").post(path("show_answer", question), fields(""), follow=True)
    question.refresh_from_db()
    answer = question.answers.get()
    assert (answer.verdict, answer.score, question.is_finished) == ("shown", 0, True)
    assert "Worked solution" in page.content.decode()


def test_the_solution_is_not_on_the_page_before_the_end(cast: Cast, question: Question) -> None:
    page = cast.client("student").get(path("run", question.run)).content.decode()
    assert "Worked solution" not in page
    assert key_of(question) not in page


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("2Cl- -> Cl2 + 2e-", "2 Cl⁻ → Cl₂ + 2 e⁻"),
        ("K+ + NO3- -> KNO3", "K⁺ + NO₃⁻ → KNO₃"),
        ("", ""),
    ],
)
def test_the_live_reading_shows_the_text_and_no_verdict(
    cast: Cast, question: Question, typed: str, shown: str
) -> None:
    page = cast.client("student").post(path("reading", question), fields(typed)).content.decode()
    assert shown in page
    assert not any(word in page for word in ("Right", "Partly", "Not right"))
    assert not question.answers.exists()


def test_a_past_question_shows_answer_feedback_and_solution(cast: Cast, question: Question) -> None:
    client = cast.client("student")
    client.post(path("answer", question), fields(key_of(question)))
    page = client.get(path("past_question", question)).content.decode()
    assert "Worked solution" in page
    assert "Right." in page


def test_an_open_question_is_answered_on_its_run(cast: Cast, question: Question) -> None:
    response = cast.client("student").get(path("past_question", question))
    assert response.headers["Location"] == path("run", question.run)


def test_the_cell_at_another_minute(cast: Cast, run: Run) -> None:
    client = cast.client("student")
    start = client.get(path("run_cell", run), {"minute": "0"}).content.decode()
    end = client.get(path("run_cell", run), {"minute": "999"}).content.decode()
    assert "after 0.0 min" in start
    assert f"after {SHOWCASE.time / 60:.1f} min" in end
    assert client.get(path("run_cell", run), {"minute": "nan"}).status_code == 200


@pytest.mark.parametrize(
    ("skill", "hidden"),
    [("acid_base.arm_colour", "liquid is red"), ("stoichiometry.gas_volume", "stand in the tube")],
)
def test_the_drawing_does_not_tell_what_is_asked(cast: Cast, run: Run, skill: str, hidden: str) -> None:
    client = cast.client("student")
    question = ask_on(run, skill)
    for page in (client.get(path("run", run)), client.get(path("run_cell", run), {"minute": "15"})):
        assert hidden not in page.content.decode()
    client.post(path("show_answer", question), fields(""))
    assert hidden in client.get(path("run", run)).content.decode()


def test_every_setup_shows_its_cautions(cast: Cast, run: Run) -> None:
    page = cast.client("student").get(path("run", run)).content.decode()
    assert "safety data sheet" in page


def test_the_first_screen_shows_the_showcase_cell_to_anyone(cast: Cast) -> None:
    page = cast.client("anonymous").get("/").content.decode()
    assert "potassium nitrate" in page.lower()
    assert "phenol red" in page
    assert "safety data sheet" in page


def test_a_formula_that_reads_two_ways_is_shown_in_both(cast: Cast, run: Run) -> None:
    question = ask_on(run, "acid_base.ion_behind_colour")
    url = reverse("reading", args=[question.public_id])
    page = cast.client("student").post(url, {"answer": "Br2-", "part": 0}).content.decode()
    assert "Br²⁻" in page
    assert "Br₂⁻" in page


@pytest.mark.parametrize(
    ("skill", "label", "told"),
    [
        ("acid_base.arm_ph", ">pH</label>", "A number without a unit"),
        ("stoichiometry.gas_volume", ">Number and unit</label>", "0,25 A"),
    ],
)
def test_the_box_asks_for_a_unit_only_where_there_is_one(
    cast: Cast, run: Run, skill: str, label: str, told: str
) -> None:
    ask_on(run, skill)
    page = cast.client("student").get(reverse("run", args=[run.public_id])).content.decode()
    assert label in page
    assert told in page


def test_the_drawing_and_the_solution_give_the_same_ph(cast: Cast, run: Run) -> None:
    question = ask_on(run, "acid_base.arm_colour")
    client = cast.client("student")
    drawn = read(client.get(path("run", run)).content.decode())
    told = [line for line in question.snapshot.parts[0].solution if line.startswith("At the end its pH is")]
    assert len(told) == 1
    assert f"the pH of the liquid is {told[0].removeprefix('At the end its pH is ')}" in drawn


@pytest.mark.parametrize(
    ("words", "lines"), [("blue-violet", 1), ("not shown", 1), ("reddish purple", 2), ("nicht gezeigt", 2)]
)
def test_long_words_beside_an_arm_stand_one_below_the_other(words: str, lines: int) -> None:
    assert words_beside(words, 68).count("<tspan") == lines


@pytest.mark.parametrize(
    ("mode", "told"), [("one", "chosen by your teacher"), ("steered", "each chosen from what you answered")]
)
def test_a_set_says_who_chose_its_questions(cast: Cast, mode: str, told: str) -> None:
    homework = HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], mode=mode)
    begun = start_homework(cast.student, homework, timezone.now())
    assert told in cast.client("student").get(path("run", begun)).content.decode()
