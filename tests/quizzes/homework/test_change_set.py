"""A set after it was assigned: changed until somebody begins, copied, extended for all or for one."""

import csv
import io
from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from accounts.changes import CannotTakeBackError, take_back
from accounts.models import Change, SchoolClass
from problems.generators.setups import OFFERED, SHOWCASE
from quizzes.homework.changing import extend_for, extend_for_all
from quizzes.homework.due import due_sets
from quizzes.homework.marks import mark_table
from quizzes.models import Extension, HomeworkSet, Run
from quizzes.runs import start_homework
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory, UserFactory
from tests.quizzes.homework.test_assign import assign, begin, form

NOW = timezone.now()
DAY = timedelta(days=1)


def url(name: str, homework: HomeworkSet) -> str:
    return reverse(name, args=[homework.public_id])


def field_of(at: datetime) -> str:
    return timezone.localtime(at).strftime("%Y-%m-%dT%H:%M")


@pytest.fixture
def closed(cast: Cast) -> HomeworkSet:
    """Due yesterday; nothing is accepted after that."""
    return HomeworkSetFactory(
        author=cast.teacher, classes=[cast.school_class], late="refused", number=1,
        opens_at=NOW - 3 * DAY, due_at=NOW - DAY,
    )  # fmt: skip


class TestChange:
    def test_it_is_changed_while_nobody_has_begun(self, cast: Cast) -> None:
        homework = assign(cast)
        client = cast.client("co_teacher")
        page = client.get(url("change_set", homework)).content.decode()
        assert 'value="Before the weekend"' in page
        client.post(url("change_set", homework), form(cast, title="On Monday", number=5))
        homework.refresh_from_db()
        assert (homework.title, homework.number, homework.author) == ("On Monday", 5, cast.teacher)

    def test_once_somebody_has_begun_it_stays(self, cast: Cast) -> None:
        homework = assign(cast)
        begin(cast, homework)
        page = cast.client("teacher").post(url("change_set", homework), form(cast, number=5), follow=True)
        assert "can only be extended or copied" in page.content.decode()
        homework.refresh_from_db()
        assert homework.number == 3
        assert url("change_set", homework) not in page.content.decode()

    def test_classes_of_another_teacher_stay_in_it(self, cast: Cast) -> None:
        homework = assign(cast)
        homework.classes.add(cast.outsiders_class)
        cast.client("teacher").post(url("change_set", homework), form(cast, title="Both"))
        assert set(homework.classes.all()) == {cast.school_class, cast.outsiders_class}

    def test_nonsense_is_said_beside_its_field(self, cast: Cast) -> None:
        homework = assign(cast)
        page = cast.client("teacher").post(url("change_set", homework), form(cast, number=99))
        assert "Give a number from 1 to 40." in page.content.decode()


class TestTopics:
    def test_a_whole_topic_is_all_its_steps_on_the_setup_at_the_level(self, cast: Cast) -> None:
        setup = next(name for name, offered in OFFERED.items() if offered == SHOWCASE)
        homework = assign(cast, skills=[], topics=["redox"], setup_name=setup)
        assert len(homework.skills) > 2
        assert all(name.startswith("redox.") for name in homework.skills)

    def test_topic_and_step_together(self, cast: Cast) -> None:
        homework = assign(cast, topics=["redox"])
        kept = {*form(cast)["skills"]}  # type: ignore[misc]
        assert kept < {*homework.skills}
        assert len(homework.skills) == len({*homework.skills})


class TestCopy:
    def test_the_form_opens_with_the_same_set_from_today_for_as_long(self, cast: Cast) -> None:
        homework = assign(cast, mode="one", attempts=4, late="refused")
        page = cast.client("teacher").get(url("homework_set", homework)).content.decode()
        address = f"{reverse('new_set', args=[cast.school_class.public_id])}?like={homework.public_id}"
        assert address in page
        values = cast.client("teacher").get(address).context["form"].initial
        assert (values["mode"], values["attempts"], values["late"]) == ("one", 4, "refused")
        assert values["skills"] == homework.skills
        assert values["due_at"] - values["opens_at"] == homework.due_at - homework.opens_at
        assert values["opens_at"] > homework.opens_at

    @pytest.mark.parametrize("like", ["x", "6a8d1c1e-0000-4000-8000-000000000000"])
    def test_of_nothing(self, cast: Cast, like: str) -> None:
        address = f"{reverse('new_set', args=[cast.school_class.public_id])}?like={like}"
        assert cast.client("teacher").get(address).status_code == (200 if like == "x" else 404)

    def test_not_of_a_stranger(self, cast: Cast) -> None:
        homework = assign(cast)
        address = f"{reverse('new_set', args=[cast.outsiders_class.public_id])}?like={homework.public_id}"
        assert cast.client("outsider").get(address).status_code == 404


class TestExtend:
    def test_one_student_has_more_time_and_nobody_else(self, cast: Cast, closed: HomeworkSet) -> None:
        fields = {"student": cast.student.public_id, "due_at": field_of(NOW + DAY)}
        page = cast.client("teacher").post(url("extend_set", closed), fields, follow=True).content.decode()
        assert "Ines has more time now." in page
        begin(cast, closed)
        begin(cast, closed, "classmate")
        assert [run.student for run in Run.objects.all()] == [cast.student]
        assert [due.state for due in due_sets(cast.student, NOW)] == ["begun"]
        assert [due.state for due in due_sets(cast.classmate, NOW)] == ["closed"]
        assert "Ines" in cast.client("teacher").get(url("extend_set", closed)).content.decode()

    def test_an_answer_is_taken_until_the_new_time_and_not_after_it(
        self, cast: Cast, closed: HomeworkSet
    ) -> None:
        assert not closed.is_open_for(cast.student, NOW)
        extend_for(closed, cast.student, NOW + DAY, cast.teacher, NOW)
        assert closed.is_open_for(cast.student, NOW + DAY)
        assert not closed.is_open_for(cast.student, NOW + DAY + timedelta(seconds=1))
        assert not closed.is_open_for(cast.student, closed.opens_at - timedelta(seconds=1))

    def test_the_mark_is_late_by_the_students_own_time(self, cast: Cast, closed: HomeworkSet) -> None:
        closed.late = "accepted"
        closed.save()
        for student in (cast.student, cast.classmate):
            start_homework(student, closed, NOW).end(NOW)
        extend_for(closed, cast.student, NOW + DAY, cast.teacher, NOW)
        late = [row.marks[0].is_late for row in mark_table([closed], [cast.student, cast.classmate]).rows]
        assert late == [False, True]

    def test_the_file_of_marks_holds_the_students_own_time(self, cast: Cast, closed: HomeworkSet) -> None:
        extend_for(closed, cast.student, NOW + DAY, cast.teacher, NOW)
        found = cast.client("teacher").get(url("set_marks", closed)).content.decode("utf-8-sig")
        due = {row["student"]: row["due_at"] for row in csv.DictReader(io.StringIO(found))}
        assert due["Ines"] > due["Bruno"]

    def test_the_last_extension_stands_and_a_later_time_for_all_goes_before_it(
        self, cast: Cast, closed: HomeworkSet
    ) -> None:
        extend_for(closed, cast.student, NOW + DAY, cast.teacher, NOW)
        extend_for(closed, cast.student, NOW + 2 * DAY, cast.teacher, NOW)
        assert Extension.objects.count() == 1
        assert closed.due_for(cast.student) == NOW + 2 * DAY
        extend_for_all(closed, NOW + 5 * DAY, cast.teacher, NOW)
        closed.refresh_from_db()
        assert closed.due_for(cast.student) == NOW + 5 * DAY
        assert [due.due_at for due in due_sets(cast.student, NOW)] == [NOW + 5 * DAY]

    def test_for_all_it_says_how_many_and_can_be_taken_back(self, cast: Cast, closed: HomeworkSet) -> None:
        was = closed.due_at
        assert "all 2 students" in cast.client("teacher").get(url("extend_set", closed)).content.decode()
        fields = {"student": "", "due_at": field_of(NOW + DAY)}
        page = cast.client("teacher").post(url("extend_set", closed), fields, follow=True).content.decode()
        assert "with 2 students is due on" in page
        closed.refresh_from_db()
        assert closed.is_open(NOW)
        take_back(Change.objects.get(), NOW)
        closed.refresh_from_db()
        assert closed.due_at == was

    def test_what_was_extended_again_is_not_taken_back(self, cast: Cast, closed: HomeworkSet) -> None:
        extend_for_all(closed, NOW + DAY, cast.teacher, NOW)
        first = Change.objects.get()
        closed.refresh_from_db()
        extend_for_all(closed, NOW + 2 * DAY, cast.teacher, NOW)
        with pytest.raises(CannotTakeBackError, match="changed again"):
            take_back(first, NOW)

    @pytest.mark.parametrize("due", ["", "yesterday", "2020-01-01T08:00"])
    def test_an_earlier_time_is_no_extension(self, cast: Cast, closed: HomeworkSet, due: str) -> None:
        was = closed.due_at
        page = cast.client("teacher").post(url("extend_set", closed), {"student": "", "due_at": due})
        assert page.status_code == 200
        closed.refresh_from_db()
        assert closed.due_at == was

    def test_nor_one_for_a_student_of_another_teacher(self, cast: Cast, closed: HomeworkSet) -> None:
        fields = {"student": cast.outsiders_student.public_id, "due_at": field_of(NOW + DAY)}
        assert cast.client("teacher").post(url("extend_set", closed), fields).status_code == 200
        assert not Extension.objects.exists()


class TestFollow:
    def test_who_has_not_begun_by_class_and_hidden_only_how_many(
        self, cast: Cast, closed: HomeworkSet
    ) -> None:
        other = SchoolClass.objects.start(cast.teacher, "5 C")
        closed.classes.add(other, cast.outsiders_class)
        start_homework(cast.student, closed, NOW)
        page = cast.client("teacher").get(url("remind", closed)).content.decode()
        assert "<li>Bruno</li>" in page
        assert "Ines" not in page
        assert "3 B: one has not begun" in page
        assert "5 C: 0 have not begun" in page
        assert "Zoe" not in page
        hidden = cast.client("teacher").get(url("remind", closed), {"names": "hidden"}).content.decode()
        assert "Bruno" not in hidden
        assert "one has not begun" in hidden

    def look(self, cast: Cast, closed: HomeworkSet, seen: str) -> str:
        headers = {"HX-Request": "true"}
        found = cast.client("teacher").get(url("set_progress", closed), {"seen": seen}, headers=headers)
        return found.content.decode()

    def test_the_page_looks_again_by_itself_for_a_bounded_time(self, cast: Cast, closed: HomeworkSet) -> None:
        page = cast.client("teacher").get(url("homework_set", closed)).content.decode()
        assert "?seen=1" in page
        start_homework(cast.student, closed, NOW)
        part = self.look(cast, closed, "1")
        assert "<!doctype" not in part
        assert "1 of 2 have begun, 0 have handed in." in part
        assert "?seen=2" in part
        for seen in ("120", "99999", "x", "-1"):
            last = self.look(cast, closed, seen)
            assert "seen=" not in last
            assert "Go on watching" in last

    @pytest.mark.parametrize("students", [2, 40])
    def test_the_pages_of_a_set_take_as_many_queries_for_forty_as_for_two(
        self,
        cast: Cast,
        closed: HomeworkSet,
        students: int,
        django_assert_max_num_queries: DjangoAssertNumQueries,
    ) -> None:
        for place in range(students - 2):
            student = UserFactory()
            cast.school_class.add_student(student)
            if place % 2:
                start_homework(student, closed, NOW)
        client, headers = cast.client("teacher"), {"HX-Request": "true"}
        for name, most in (("homework_set", 15), ("set_progress", 12), ("remind", 10), ("extend_set", 11)):
            with django_assert_max_num_queries(most):
                client.get(url(name, closed), {"seen": "1"}, headers=headers)
