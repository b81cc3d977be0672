"""A set seen and tried by its teacher: the questions are the students' own, and nothing is kept."""

import re
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from html import unescape

import pytest
from django.apps import apps
from django.urls import reverse
from django.utils import timezone

from accounts.models import Look
from quizzes.answering import submit
from quizzes.homework.trial import Trial, Tried, examples
from quizzes.models import Answer, HomeworkSet, Question
from quizzes.runs import next_question, start_homework
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import SKILL, ask_on, key_of

NOW = timezone.now()
WRONG = "2 Cl^- -> Cl2 + 2 e^-"
WRONGS = {"equation": WRONG, "formula": "Br2", "ratio": "5:7", "quantity": "17 mol"}


def make_set(cast: Cast, **fields: object) -> HomeworkSet:
    return HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], **{"number": 3, **fields})


@contextmanager
def no_trace() -> Iterator[None]:
    """Not one row of any table of ours is added, taken away or changed in the block; that a teacher looked
    at a page is noted as on every page."""

    def rows() -> dict[str, list[tuple[object, ...]]]:
        ours = [model for model in apps.get_models() if model._meta.app_label in ("accounts", "quizzes")]
        kept = [model for model in ours if model is not Look]
        return {model.__name__: sorted(model.objects.values_list(), key=str) for model in kept}

    before = rows()
    yield
    assert rows() == before


def address(homework: HomeworkSet, **query: object) -> str:
    found = reverse("try_set", args=[homework.public_id])
    return f"{found}?{'&'.join(f'{name}={value}' for name, value in query.items())}"


@pytest.mark.parametrize("mode", ["one", "own", "steered"])
def test_the_examples_are_what_the_student_then_gets(cast: Cast, mode: str) -> None:
    """For a steered set the first question; the next ones depend on the answers."""
    homework = make_set(cast, mode=mode)
    with no_trace():
        found = [each.question for each in examples(homework, cast.student, NOW)]
    run = start_homework(cast.student, homework, NOW)
    for place, expected in enumerate(found[:1] if mode == "steered" else found, 1):
        question = next_question(run, NOW)
        assert question is not None
        assert question.position == place
        assert (question.as_identity(), question.snapshot) == (expected.as_identity(), expected.snapshot)
        question.finish(NOW)


def test_own_numbers_differ_between_students_and_one_set_does_not(cast: Cast) -> None:
    for mode, same in (("one", True), ("own", False)):
        homework = make_set(cast, mode=mode)
        seeds = [
            [each.question.seed for each in examples(homework, student, NOW)]
            for student in (cast.student, cast.classmate)
        ]
        assert (seeds[0] == seeds[1]) is same


def test_a_steered_example_does_not_ask_the_same_step_over_and_over(cast: Cast) -> None:
    homework = make_set(cast, mode="steered", number=10)
    skills = [each.question.skill for each in examples(homework, cast.student, NOW)]
    assert len({*skills}) == 10


@pytest.mark.parametrize(
    ("mode", "told"),
    [
        ("one", "same questions"),
        ("own", "numbers are those of Bruno"),
        ("steered", "An example: chosen for Bruno"),
    ],
)
def test_the_preview_says_whose_questions_these_are(cast: Cast, mode: str, told: str) -> None:
    homework = make_set(cast, mode=mode)
    client, url = cast.client("teacher"), reverse("preview_set", args=[homework.public_id])
    with no_trace():
        page = client.get(url, {"for": cast.classmate.public_id}).content.decode()
    assert told in page
    for each in examples(homework, cast.classmate, NOW):
        for part in each.question.snapshot.parts:
            assert part.prompt.split(". ")[0][:40] in unescape(page).replace("\u00a0", " ")


def test_a_class_that_nobody_has_joined_can_be_previewed_too(cast: Cast) -> None:
    homework = make_set(cast, mode="steered")
    cast.school_class.remove_students([cast.student, cast.classmate])
    assert (
        "Worked solution"
        in cast.client("teacher").get(reverse("preview_set", args=[homework.public_id])).content.decode()
    )


def test_steps_that_cannot_be_asked_are_said_to_be_so(cast: Cast) -> None:
    homework = make_set(cast, skills=[])
    preview = cast.client("teacher").get(reverse("preview_set", args=[homework.public_id]))
    assert "None of these steps can be asked" in preview.content.decode()
    page = cast.client("teacher").get(address(homework), follow=True).content.decode()
    assert "Nothing more can be asked" in page


@pytest.mark.parametrize("name", ["preview_set", "try_set"])
@pytest.mark.parametrize("whom", ["x", "outsiders_student"])
def test_only_for_ones_own_students(cast: Cast, name: str, whom: str) -> None:
    homework = make_set(cast)
    named = getattr(cast, whom).public_id if whom != "x" else "x"
    url = reverse(name, args=[homework.public_id])
    assert cast.client("teacher").get(url, {"for": named}).status_code == 404


def test_a_try_leaves_no_trace_and_is_judged_like_an_answer(cast: Cast) -> None:
    homework = make_set(cast, skills=[SKILL], mode="one", attempts=2)
    client, url = cast.client("teacher"), address(homework, question=1)
    [first, *_] = examples(homework, cast.student, NOW)
    with no_trace():
        page = client.get(url).content.decode()
        assert "Nothing of it is kept or counted." in page
        assert "2 tries left." in page
        page = client.post(url, {"part": 0, "answer": WRONG, "do": "check"}).content.decode()
        assert "✗ Not right." in page
        assert "One try left." in page
        assert "Worked solution" not in page
        again = {"part": 0, "answer": key_of(first.question), "do": "check", "tried": f"0|{WRONG}"}
        page = client.post(url, again).content.decode()
        assert "✓ Right." in page
        assert "Worked solution" in page
        assert "Next question" in page


def test_hints_and_the_answer_are_shown_as_to_a_student(cast: Cast) -> None:
    homework = make_set(cast, skills=[SKILL], mode="one")
    client, url = cast.client("teacher"), address(homework)
    [first, *_] = examples(homework, cast.student, NOW)
    hints = first.question.snapshot.parts[0].hints
    with no_trace():
        page = unescape(client.post(url, {"hints": 1, "do": "hint"}).content.decode()).replace("\u00a0", " ")
        assert hints[1][:30] in page
        assert hints[2][:30] not in page
        assert "Worked solution" in client.post(url, {"do": "show"}).content.decode()
    HomeworkSet.objects.filter(pk=homework.pk).update(hints_allowed=False)
    assert "A hint" not in client.get(url).content.decode()


def test_the_page_carries_what_was_tried(cast: Cast) -> None:
    homework = make_set(cast, skills=[SKILL], mode="one", attempts=3)
    page = cast.client("teacher").post(address(homework), {"part": 0, "answer": WRONG, "do": "check"})
    assert re.findall(r'name="tried" value="([^"]*)"', page.content.decode()) == [
        "0|2 Cl^- -&gt; Cl2 + 2 e^-"
    ]


@pytest.mark.parametrize(
    "fields",
    [
        {"part": "9", "answer": "H2", "do": "check"}, {"part": "x", "do": "check"}, {"tried": "no bar"},
        {"tried": "9|H2"}, {"hints": "-4", "do": "hint"}, {"do": "dance"}, {"tried": ["0|->->"] * 500},
        {"answer": "x" * 5000, "do": "check"}, {"answer": "\0", "do": "check"},
        {"option": ["a", "zz"], "do": "check"},
    ],
)  # fmt: skip
def test_nonsense_breaks_nothing(cast: Cast, fields: dict[str, object]) -> None:
    homework, client = make_set(cast, mode="own"), cast.client("teacher")
    with no_trace():
        for question in ("1", "2", "99", "x"):
            assert client.post(address(homework, question=question), fields).status_code == 200


@pytest.mark.parametrize("skill", [SKILL, "stoichiometry.whole_chain", "reaction_types.overall_type"])
@pytest.mark.parametrize("right", [True, False])
def test_trial_and_answer_agree_on_verdicts_and_on_the_end(cast: Cast, skill: str, right: bool) -> None:
    """The same texts through both ways; parts that carry earlier results among them."""
    homework = make_set(cast, skills=[skill], attempts=2)
    question = ask_on(start_homework(cast.student, homework, NOW), skill)
    question = Question.objects.select_related("run__homework_set", "run__student").get(pk=question.pk)
    tried: list[Tried] = []
    while (part := question.open_part()) is not None and len(tried) < 30:
        expected = question.snapshot.parts[part].grading["expected"]
        key = " ".join(expected) if isinstance(expected, list) else str(expected)
        options = [option.key for option in question.snapshot.parts[part].options]
        wrong = next((name for name in options if name not in key.split()), "")
        text = key if right else wrong or WRONGS[question.snapshot.parts[part].grading["kind"]]
        tried.append(Tried(part, text))
        submit(question, part, text.split() if options else text, uuid.uuid4(), NOW)
        question.refresh_from_db()
    trial = Trial(_open(question), tried, 0, False)
    assert [_seen(answer) for answer in trial.answers] == [
        _seen(answer) for answer in question.answers.order_by("number")
    ]
    assert trial.open_part() is None


def _seen(answer: Answer) -> tuple[str, list[str], bool]:
    return answer.verdict, answer.codes, answer.settles


def _open(question: Question) -> Question:
    """The question as it was before it was finished."""
    copy = Question.objects.select_related("run__homework_set").get(pk=question.pk)
    copy.finished_at = None
    return copy


def test_what_follows_from_an_own_wrong_result_is_right_in_a_trial_too(cast: Cast) -> None:
    """By hand: four electrons make one O2, so 0.004 mol of electrons, wrong as it is, make 0.001 mol."""
    homework = make_set(cast, skills=["stoichiometry.whole_chain"], attempts=1)
    run = start_homework(cast.student, homework, NOW)
    question = _open(ask_on(run, "stoichiometry.whole_chain"))
    keys = [part.grading["expected"] for part in question.snapshot.parts]
    texts = [*keys[:6], "0.004 mol", "0.001 mol"]
    answers = Trial(question, [Tried(*each) for each in enumerate(texts)], 0, False).answers
    assert [answer.verdict for answer in answers] == 6 * ["correct"] + ["wrong", "correct"]
