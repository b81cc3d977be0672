"""A teacher assigns a set; it appears for the students, who do it."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from problems.generators.setups import OFFERED, SHOWCASE
from problems.registry import SKILLS, skills_for
from quizzes.models import HomeworkSet, Run
from quizzes.runs import askable
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory
from tests.quizzes.conftest import fields

SETUP = next(iter(OFFERED))


def form(cast: Cast, **changes: object) -> dict[str, object]:
    now = timezone.now()
    return {
        "title": "Before the weekend",
        "classes": [cast.school_class.pk],
        "skills": [skill.name for skill in skills_for(OFFERED[SETUP])[:2]],
        "setup_name": SETUP,
        "level": "first_year",
        "number": 3,
        "mode": "own",
        "attempts": 2,
        "hints_allowed": "on",
        "opens_at": (now - timedelta(hours=1)).strftime("%Y-%m-%dT%H:%M"),
        "due_at": (now + timedelta(days=2)).strftime("%Y-%m-%dT%H:%M"),
        "late": "accepted",
        **changes,
    }


def assign(cast: Cast, **changes: object) -> HomeworkSet:
    url = reverse("new_set", args=[cast.school_class.public_id])
    response = cast.client("teacher").post(url, form(cast, **changes))
    assert response.status_code == 302, response.context["form"].errors
    return HomeworkSet.objects.latest("pk")


def begin(cast: Cast, homework: HomeworkSet, person: str = "student") -> int:
    return cast.client(person).post(reverse("begin_set", args=[homework.public_id])).status_code


def test_an_assigned_set_stands_on_the_students_start_page(cast: Cast) -> None:
    assign(cast)
    assert "Before the weekend" in cast.client("student").get("/").content.decode()
    assert "Before the weekend" not in cast.client("outsiders_student").get("/").content.decode()


@pytest.mark.parametrize("mode", ["one", "own", "steered"])
def test_a_student_does_the_set_and_the_teacher_sees_it(cast: Cast, mode: str) -> None:
    homework = assign(cast, mode=mode)
    client = cast.client("student")
    begin(cast, homework)
    run = Run.objects.get(student=cast.student, homework_set=homework)
    for _ in range(homework.number):
        client.post(reverse("next_question", args=[run.public_id]))
        question = run.current_question()
        assert question is not None
        assert question.skill in homework.skills
        while (part := question.open_part()) is not None:
            expected = question.snapshot.parts[part].grading["expected"]
            sent = {"option": expected} if isinstance(expected, list) else {"answer": expected}
            client.post(reverse("answer", args=[question.public_id]), {**fields("", part), **sent})
            question.refresh_from_db()
    client.post(reverse("next_question", args=[run.public_id]))
    page = cast.client("teacher").get(reverse("homework_set", args=[homework.public_id])).content.decode()
    assert "3 of 3" in page
    assert "not begun" in page
    assert "handed in" in client.get("/").content.decode()


def test_one_means_the_same_numbers_and_own_means_own(cast: Cast) -> None:
    for mode, same in (("one", True), ("own", False)):
        homework = assign(cast, mode=mode)
        seeds = []
        for person in ("student", "classmate"):
            begin(cast, homework, person)
            run = Run.objects.get(student=getattr(cast, person), homework_set=homework)
            cast.client(person).post(reverse("next_question", args=[run.public_id]))
            question = run.current_question()
            assert question is not None
            seeds.append(question.seed)
        assert (seeds[0] == seeds[1]) is same


def test_beginning_twice_is_one_run(cast: Cast) -> None:
    homework = assign(cast)
    begin(cast, homework)
    begin(cast, homework)
    assert Run.objects.filter(homework_set=homework).count() == 1


def test_a_set_of_another_class_is_not_there(cast: Cast) -> None:
    homework = assign(cast)
    assert begin(cast, homework, "outsiders_student") == 404
    url = reverse("homework_set", args=[homework.public_id])
    assert cast.client("outsider").get(url).status_code == 404
    assert cast.client("co_teacher").get(url).status_code == 200


def test_a_set_that_is_not_open_yet_cannot_be_begun(cast: Cast) -> None:
    later = (timezone.now() + timedelta(hours=3)).strftime("%Y-%m-%dT%H:%M")
    homework = assign(cast, opens_at=later)
    begin(cast, homework)
    assert not Run.objects.exists()
    assert "Before the weekend" not in cast.client("student").get("/").content.decode()


@pytest.mark.parametrize(("late", "runs"), [("accepted", 1), ("refused", 0)])
def test_the_late_rule(cast: Cast, late: str, runs: int) -> None:
    now = timezone.now()
    homework = assign(cast, late=late)
    HomeworkSet.objects.filter(pk=homework.pk).update(
        opens_at=now - timedelta(days=3), due_at=now - timedelta(days=1)
    )
    begin(cast, homework)
    assert Run.objects.count() == runs


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"due_at": "2020-01-01T08:00"}, "It has to be due after it opens."),
        ({"skills": []}, "Choose a topic, or one step at least"),
        ({"number": 0}, "Give a number from 1 to 40."),
        ({"attempts": 99}, "Give a number from 1 to 10."),
        ({"setup_name": "moon water"}, "moon water"),
        ({"title": ""}, "This field is required."),
    ],
)
def test_what_makes_no_set_is_said_and_nothing_is_kept(
    cast: Cast, changes: dict[str, object], sentence: str
) -> None:
    url = reverse("new_set", args=[cast.school_class.public_id])
    page = cast.client("teacher").post(url, form(cast, **changes))
    assert sentence in page.content.decode()
    assert not HomeworkSet.objects.exists()


def test_another_teachers_class_cannot_be_given_homework(cast: Cast) -> None:
    url = reverse("new_set", args=[cast.school_class.public_id])
    page = cast.client("teacher").post(url, form(cast, classes=[cast.outsiders_class.pk]))
    assert page.status_code == 200
    assert not HomeworkSet.objects.exists()


def test_hints_that_are_not_allowed_are_not_given(cast: Cast) -> None:
    homework = assign(cast, hints_allowed="")
    begin(cast, homework)
    run = Run.objects.get(homework_set=homework)
    client = cast.client("student")
    client.post(reverse("next_question", args=[run.public_id]))
    question = run.current_question()
    assert question is not None
    page = client.post(reverse("hint", args=[question.public_id]), follow=True).content.decode()
    question.refresh_from_db()
    assert question.hints_seen == 0
    assert "A hint" not in page


def test_a_steered_set_of_steps_above_its_level_is_asked_at_their_own(cast: Cast) -> None:
    hard = next(name for name in askable(SHOWCASE) if SKILLS[name].levels == ("second_year",))
    homework = HomeworkSetFactory(
        author=cast.teacher, classes=[cast.school_class], mode="steered", skills=[hard]
    )
    begin(cast, homework)
    run = Run.objects.get(homework_set=homework)
    cast.client("student").post(reverse("next_question", args=[run.public_id]))
    assert run.questions.get().skill == hard


@pytest.mark.parametrize("mode", ["one", "own", "steered"])
def test_a_set_of_which_nothing_can_be_asked_any_more_ends_with_a_sentence(cast: Cast, mode: str) -> None:
    homework = HomeworkSetFactory(
        author=cast.teacher, classes=[cast.school_class], mode=mode, skills=["redox.gone"]
    )
    begin(cast, homework)
    run = Run.objects.get(homework_set=homework)
    url = reverse("next_question", args=[run.public_id])
    page = cast.client("student").post(url, follow=True).content.decode()
    assert "Nothing more can be asked on this cell" in page


@pytest.mark.parametrize("wanted", ["topic=redox", "skill=redox.oxidation_number"])
def test_what_is_proposed_is_assigned_as_it_stands(cast: Cast, wanted: str) -> None:
    url = reverse("new_set", args=[cast.school_class.public_id])
    client = cast.client("teacher")
    response = client.get(f"{url}?{wanted}")
    assert "Assign as filled in below" in response.content.decode()
    form = response.context["form"]
    proposed = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    times = {name: proposed[name].strftime("%Y-%m-%dT%H:%M") for name in ("opens_at", "due_at")}
    assert client.post(url, {**proposed, **times}).status_code == 302
    assert HomeworkSet.objects.get().title in ("Redox", "Oxidation numbers")


def test_choices_and_labels_speak_the_readers_language(cast: Cast) -> None:
    url = reverse("new_set", args=[cast.school_class.public_id])
    page = cast.client("teacher").get(url, headers={"accept-language": "de"}).content.decode()
    for words in ("erstes Jahr", "eigene Zahlen für jede Person", "nicht angenommen", "Titel:", "Klassen:"):
        assert words in page


def test_nothing_proposed_is_nothing_to_assign_at_once(cast: Cast) -> None:
    url = reverse("new_set", args=[cast.school_class.public_id])
    assert "Assign as filled in below" not in cast.client("teacher").get(url).content.decode()


def test_a_set_leads_to_those_of_its_classes_that_the_reader_teaches(cast: Cast) -> None:
    both = [cast.school_class, cast.outsiders_class]
    homework = HomeworkSetFactory(author=cast.teacher, classes=both)
    page = cast.client("teacher").get(reverse("homework_set", args=[homework.public_id])).content.decode()
    assert f'href="{reverse("class_page", args=[cast.school_class.public_id])}"' in page
    assert reverse("class_page", args=[cast.outsiders_class.public_id]) not in page
    assert cast.outsiders_class.name in page


def test_the_form_offers_all_that_makes_a_set(cast: Cast) -> None:
    page = cast.client("teacher").get(reverse("new_set", args=[cast.school_class.public_id]))
    offered = {*page.context["form"].fields}
    assert offered == {
        "title", "classes", "topics", "skills", "setup_name", "level", "number", "mode", "attempts",
        "hints_allowed", "opens_at", "due_at", "late",
    }  # fmt: skip
    for words in ("the same questions for all", "own numbers for each student", "chosen for each student"):
        assert words in page.content.decode()
