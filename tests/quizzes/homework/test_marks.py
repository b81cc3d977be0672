"""Marks: the best of the allowed tries, by the teacher's last word, on the pages and in files."""

import csv
import io
import uuid
import zipfile
from datetime import timedelta
from xml.etree import ElementTree

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from accounts.models import User
from quizzes.answering import submit
from quizzes.homework.due import due_sets
from quizzes.homework.export import HEADER, as_csv, as_xlsx, plain
from quizzes.homework.marks import Mark, mark_table
from quizzes.models import Answer, HomeworkSet, Run
from quizzes.rulings import rule
from quizzes.runs import start_homework
from tests.conftest import Cast
from tests.factories import HomeworkSetFactory, UserFactory
from tests.quizzes.conftest import NOW, ask_on, key_of

WRONG = "2 Cl^- -> Cl2 + 2 e^-"
PROMISED = [
    "student", "sign_in_name", "set", "due_at", "points", "points_possible", "share", "questions_finished",
    "begun_at", "handed_in_at", "late",
]  # fmt: skip


def make_set(cast: Cast, **fields: object) -> HomeworkSet:
    """A set that is open on the day of these tests and due the day after."""
    days = {"opens_at": NOW - timedelta(days=1), "due_at": NOW + timedelta(days=1)}
    return HomeworkSetFactory(author=cast.teacher, classes=[cast.school_class], **days, **fields)


@pytest.fixture
def homework(cast: Cast) -> HomeworkSet:
    return make_set(cast, title="Halves", number=4)


def do(run: Run, position: int, *texts: str) -> Answer:
    """Answer a question; an empty text stands for the right answer. Returns the first answer."""
    question = ask_on(run, seed=position, position=position)
    sent = [submit(question, 0, text or key_of(question), uuid.uuid4(), NOW) for text in texts]
    question.finish(NOW)
    return Answer.objects.select_related("question__run", "student").get(pk=sent[0].pk)


def mark_of(homework: HomeworkSet, student: User) -> Mark:
    return mark_table([homework], [student]).rows[0].marks[0]


def test_the_best_try_counts_and_what_is_missing_is_worth_nothing(cast: Cast, homework: HomeworkSet) -> None:
    """Reckoned by hand: right at once 1, right at the second try 1, wrong 0, the fourth never asked 0."""
    run = start_homework(cast.student, homework, NOW)
    do(run, 1, "")
    do(run, 2, WRONG, "")
    do(run, 3, WRONG)
    mark = mark_of(homework, cast.student)
    assert (mark.points, mark.of, mark.share, mark.finished) == (2, 4, 0.5, 3)


def test_each_part_of_a_question_is_its_share_of_a_point(cast: Cast, homework: HomeworkSet) -> None:
    answer = do(start_homework(cast.student, homework, NOW), 1, "")
    question = answer.question
    question.parts = 4
    question.save()
    assert mark_of(homework, cast.student).points == 0.25


def test_a_ruling_changes_the_mark_and_its_withdrawal_changes_it_back(
    cast: Cast, homework: HomeworkSet
) -> None:
    answer = do(start_homework(cast.student, homework, NOW), 1, WRONG)
    found = [mark_of(homework, cast.student).points]
    for decision in ("partly", "right", "withdrawn"):
        rule(answer, decision, "", cast.teacher, NOW)
        found.append(mark_of(homework, cast.student).points)
    assert found == [0, 0.5, 1, 0]


def test_practice_and_other_sets_do_not_count(cast: Cast, homework: HomeworkSet, run: Run) -> None:
    do(run, 1, "")
    other = make_set(cast)
    do(start_homework(cast.student, other, NOW), 1, "")
    assert mark_of(homework, cast.student).points == 0
    assert mark_of(homework, cast.student).begun_at is None


def test_what_is_handed_in_late_says_so(cast: Cast, homework: HomeworkSet) -> None:
    run = start_homework(cast.student, homework, NOW)
    run.end(homework.due_at + timedelta(minutes=1))
    assert mark_of(homework, cast.student).is_late
    punctual = start_homework(cast.classmate, homework, NOW)
    punctual.end(homework.due_at)
    assert not mark_of(homework, cast.classmate).is_late
    after = homework.due_at + timedelta(days=1)
    assert [due_sets(each, after)[0].is_late for each in (cast.student, cast.classmate)] == [True, False]


def test_the_pages_show_marks_by_set_and_over_the_term(cast: Cast, homework: HomeworkSet) -> None:
    second = make_set(cast, title="Later", number=2)
    do(start_homework(cast.student, homework, NOW), 1, "")
    do(start_homework(cast.student, second, NOW), 1, "")
    page = cast.client("teacher").get(reverse("marks", args=[cast.school_class.public_id])).content.decode()
    assert "Halves" in page
    assert "Later" in page
    table = mark_table([homework, second], [cast.student])
    assert (table.rows[0].points, table.rows[0].of, round(table.rows[0].share, 4)) == (2, 6, 0.3333)
    assert "33\u00a0%" in page
    url = reverse("homework_set", args=[homework.public_id])
    assert (
        reverse("set_answers", args=[homework.public_id, cast.student.public_id])
        in cast.client("teacher").get(url).content.decode()
    )


def test_a_set_that_has_not_opened_is_not_in_the_table(cast: Cast, homework: HomeworkSet) -> None:
    HomeworkSet.objects.filter(pk=homework.pk).update(
        opens_at="2099-01-01T08:00Z", due_at="2099-01-02T08:00Z"
    )
    page = cast.client("teacher").get(reverse("marks", args=[cast.school_class.public_id])).content.decode()
    assert "No set has opened yet." in page


def test_the_page_of_a_students_answers_shows_all_of_them(cast: Cast, homework: HomeworkSet) -> None:
    do(start_homework(cast.student, homework, NOW), 1, WRONG, "")
    url = reverse("set_answers", args=[homework.public_id, cast.student.public_id])
    page = cast.client("co_teacher").get(url).content.decode()
    for text in ("2 Cl^- -&gt; Cl2 + 2 e^-", "✗ Not right.", "✓ Right.", "Worked solution", "Overrule"):
        assert text in page


@pytest.mark.parametrize("students", [2, 20])
def test_the_queries_grow_neither_with_students_nor_with_sets(
    cast: Cast, students: int, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    sets = [make_set(cast) for _ in range(students // 2)]
    for _ in range(students):
        student = UserFactory()
        cast.school_class.add_student(student)
        do(start_homework(student, sets[0], NOW), 1, WRONG)
    client, url = cast.client("teacher"), reverse("marks", args=[cast.school_class.public_id])
    with django_assert_max_num_queries(12):
        client.get(url)


class TestFiles:
    def rows(self, cast: Cast, address: str) -> list[list[str]]:
        response = cast.client("teacher").get(address)
        assert response["Content-Type"] == "text/csv; charset=utf-8"
        assert response.content.startswith(b"\xef\xbb\xbf")
        return list(csv.reader(io.StringIO(response.content.decode("utf-8-sig"), newline="")))

    def test_the_header_is_as_promised(self) -> None:
        assert list(HEADER) == PROMISED

    def test_every_column_is_explained_on_the_page(self, cast: Cast, homework: HomeworkSet) -> None:
        page = cast.client("teacher").get(reverse("marks", args=[cast.school_class.public_id]))
        for column in PROMISED:
            assert f"<code>{column}</code>" in page.content.decode()

    def test_the_csv_of_a_set(self, cast: Cast, homework: HomeworkSet) -> None:
        run = start_homework(cast.student, homework, NOW)
        do(run, 1, "")
        run.end(NOW + timedelta(days=2))
        header, *rows = self.rows(cast, reverse("set_marks", args=[homework.public_id]))
        assert header == PROMISED
        assert rows == [
            ["Bruno", "bruno", "Halves", "2026-05-05T09:30:00+00:00", "0", "4", "0.0", "0", "", "", "no"],
            ["Ines", "ines", "Halves", "2026-05-05T09:30:00+00:00", "1.0", "4", "0.25", "1",
             "2026-05-04T09:30:00+00:00", "2026-05-06T09:30:00+00:00", "yes"],
        ]  # fmt: skip

    def test_the_csv_of_a_class_has_a_row_a_student_and_set(self, cast: Cast, homework: HomeworkSet) -> None:
        make_set(cast, title="Later")
        rows = self.rows(cast, reverse("marks", args=[cast.school_class.public_id]) + "?as=csv")
        assert [(row[0], row[2]) for row in rows[1:]] == [
            ("Bruno", "Halves"), ("Bruno", "Later"), ("Ines", "Halves"), ("Ines", "Later"),
        ]  # fmt: skip

    @pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＠"])
    def test_no_text_is_taken_for_a_formula(self, start: str) -> None:
        """The characters that the OWASP page on CSV injection lists."""
        assert plain(f"{start}1+1") == f"'{start}1+1"

    @pytest.mark.parametrize("text", ["Ines", "a=b", "", "O'Hara", " -"])
    def test_other_text_stays_as_it_is(self, text: str) -> None:
        assert plain(text) == text

    def test_a_students_name_cannot_smuggle_a_formula_into_the_file(
        self, cast: Cast, homework: HomeworkSet
    ) -> None:
        name = '=HYPERLINK("http://198.51.100.7","x")'
        User.objects.filter(pk=cast.student.pk).update(display_name=name, username="+ines")
        HomeworkSet.objects.filter(pk=homework.pk).update(title="@sum")
        rows = self.rows(cast, reverse("set_marks", args=[homework.public_id]))
        assert [f"'{name}", "'+ines", "'@sum"] in [row[:3] for row in rows]

    def test_quotes_commas_and_line_ends_come_through(self) -> None:
        row = ('a "b", c', "d\ne")
        assert list(csv.reader(io.StringIO(as_csv([row]).decode("utf-8-sig"), newline="")))[1] == list(row)

    def test_the_xlsx_holds_the_same_as_text_and_numbers(self, cast: Cast, homework: HomeworkSet) -> None:
        """Read as the standard says: ECMA-376 part 1, sheet1.xml and sharedStrings.xml."""
        do(start_homework(cast.student, homework, NOW), 1, "")
        response = cast.client("teacher").get(reverse("set_marks", args=[homework.public_id]) + "?as=xlsx")
        assert 'filename="marks-halves.xlsx"' in response["Content-Disposition"]
        rows = sheet(response.content)
        assert rows[0] == PROMISED
        assert rows[2][:3] == ["Ines", "ines", "Halves"]
        assert rows[2][4:7] == [1.0, 4.0, 0.25]

    def test_the_xlsx_holds_no_formula_and_no_link(self) -> None:
        book = as_xlsx([("=1+1", "http://198.51.100.7/", 0.5)])
        text = zipfile.ZipFile(io.BytesIO(book)).read("xl/worksheets/sheet1.xml").decode()
        assert "<f>" not in text
        assert "hyperlink" not in text
        assert sheet(book)[1] == ["=1+1", "http://198.51.100.7/", 0.5]

    def test_another_kind_of_file_is_not_there(self, cast: Cast, homework: HomeworkSet) -> None:
        for name, of in (("set_marks", homework), ("marks", cast.school_class)):
            address = reverse(name, args=[of.public_id])
            assert cast.client("teacher").get(address, {"as": "exe"}).status_code == 404


def sheet(book: bytes) -> list[list[str | float]]:
    """The cells of the first sheet."""
    space = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
    with zipfile.ZipFile(io.BytesIO(book)) as archive:
        strings = ElementTree.fromstring(archive.read("xl/sharedStrings.xml"))
        texts = ["".join(part.itertext()) for part in strings.iter(f"{space}si")]
        rows = ElementTree.fromstring(archive.read("xl/worksheets/sheet1.xml")).iter(f"{space}row")
        return [[_cell(cell, texts, space) for cell in row] for row in rows]


def _cell(cell: ElementTree.Element, texts: list[str], space: str) -> str | float:
    value = cell.findtext(f"{space}v") or ""
    return texts[int(value)] if cell.get("t") == "s" else float(value or "nan")
