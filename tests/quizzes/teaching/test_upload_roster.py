"""A teacher uploads a roster: a preview first, then all at once or nothing."""

import html
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from accounts.enrolment import enrol, plan
from accounts.models import Change, SchoolClass, User
from accounts.roster import read_roster
from tests.conftest import Cast
from tests.factories import UserFactory

FAULTY = 20


def url(name: str, cast: Cast) -> str:
    return reverse(name, args=[cast.school_class.public_id])


def preview(cast: Cast, content: str | bytes, person: str = "teacher") -> str:
    data = content.encode() if isinstance(content, str) else content
    file = SimpleUploadedFile("roster.csv", data)
    return html.unescape(cast.client(person).post(url("roster", cast), {"file": file}).content.decode())


def take(cast: Cast, page: str) -> str:
    """Press the button of the preview."""
    [rows] = re.findall(r'name="rows" value="(.*?)"><button', page, re.DOTALL)
    response = cast.client("teacher").post(url("take_roster", cast), {"rows": rows}, follow=True)
    return response.content.decode()


def students(cast: Cast) -> set[str]:
    return set(User.objects.students_of(cast.school_class).values_list("username", flat=True))


def five_hundred() -> bytes:
    """A roster of 500 as a spreadsheet saves it, with twenty faulty rows of every sort."""
    lines = [f"Student {place};pupil.{place}".encode() for place in range(500)]
    bad = [
        *(f"Again {place};pupil.{place}".encode() for place in range(4)),  # ids given twice
        *(f"Bj\xf6rn {place};bj.{place}".encode("latin-1") for place in range(4)),  # another encoding
        *(f"Only a name {place}".encode() for place in range(4)),  # columns missing
        *(f";nameless.{place}".encode() for place in range(3)),
        *(f'"Open {place};open.{place}'.encode() for place in range(3)),
        *(f"Spaced {place};two words {place}".encode() for place in range(2)),
    ]
    for place, row in enumerate(bad):
        lines[100 + 20 * place] = row
    return b"\xef\xbb\xbf" + b"\r\n".join([b"Name;Username", *lines]) + b"\r\n"


def test_a_preview_changes_nothing(cast: Cast) -> None:
    page = preview(cast, "name,username\nNora,nora\nPaul,paul\n")
    assert "2 accounts are made." in page
    assert "0 lines have faults" in page
    assert students(cast) == {"ines", "bruno"}
    assert not User.objects.filter(username="nora").exists()


def test_what_was_previewed_is_taken_and_the_slips_wait_ticked(cast: Cast) -> None:
    page = take(cast, preview(cast, 'name,username\n"Lee, Nora",nora\nPaul "Pip",paul\nPaul,paul2\n'))
    assert students(cast) == {"ines", "bruno", "nora", "paul", "paul2"}
    assert User.objects.get(username="paul").display_name == 'Paul "Pip"'
    assert User.objects.get(username="nora").display_name == "Lee, Nora"
    assert "3 students are in the class now." in page
    for name in ("nora", "paul2"):
        student = User.objects.get(username=name)
        assert not student.has_usable_password()
        assert f'value="{student.public_id}" checked' in page


def test_five_hundred_with_twenty_faults_lose_nothing(
    cast: Cast, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    page = preview(cast, five_hundred())
    assert "480 accounts are made." in page
    assert f"{FAULTY} lines have faults and are left out." in page
    lines = [int(line) for line in re.findall(r"Line</span> (\d+)</th><td><code>", page)]
    assert lines == [102 + 20 * place for place in range(FAULTY)]
    client = cast.client("teacher")
    [rows] = re.findall(r'name="rows" value="(.*?)"><button', page, re.DOTALL)
    with django_assert_max_num_queries(22):
        client.post(url("take_roster", cast), {"rows": rows})
    assert len(students(cast)) == 482
    again = preview(cast, five_hundred())
    assert "480 students are in this class already." in again
    assert f"{FAULTY} lines have faults" in again
    assert "Take these" not in again


def take_back(cast: Cast) -> None:
    change = Change.objects.get(action="take_roster")
    cast.client("teacher").post(reverse("accounts:take_back", args=[change.public_id]))


def test_a_roster_of_five_hundred_is_taken_back_whole(cast: Cast) -> None:
    take(cast, preview(cast, five_hundred()))
    before = User.objects.count()
    take_back(cast)
    assert students(cast) == {"ines", "bruno"}
    assert User.objects.count() == before - 480


def test_taking_back_leaves_used_accounts_and_other_classes_alone(cast: Cast) -> None:
    other = SchoolClass.objects.start(cast.teacher, "5 C")
    other.add_student(UserFactory(username="nora", display_name="Nora"))
    take(cast, preview(cast, "name,username\nNora,nora\nPaul,paul\nRita,rita\nSven,sven\n"))
    User.objects.filter(username="paul").update(last_login=timezone.now())
    cast.outsiders_class.add_student(User.objects.get(username="rita"))
    take_back(cast)
    assert students(cast) == {"ines", "bruno"}
    assert set(User.objects.students_of(other).values_list("username", flat=True)) == {"nora"}
    assert set(User.objects.values_list("username", flat=True)) >= {"nora", "paul", "rita"}
    assert not User.objects.filter(username="sven").exists()


def test_a_known_student_of_the_teacher_joins_under_the_same_name(cast: Cast) -> None:
    other = UserFactory(username="nora", display_name="Nora")
    second = SchoolClass.objects.start(cast.teacher, "5 C")
    second.add_student(other)
    page = preview(cast, "name,username\nNora,nora\nInes,ines\n")
    assert "One student whom you teach already joins this class." in page
    assert "One student is in this class already." in page
    take(cast, page)
    assert students(cast) == {"ines", "bruno", "nora"}
    assert other in User.objects.students_of(second)


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("Zoe,zoe", "The sign-in name zoe is taken."),
        ("Mr Otto,otto", "The sign-in name otto is taken."),
        ("Mr Tomas,tomas", "The sign-in name tomas is taken."),
        ("Somebody else,ines", "The sign-in name ines belongs to Ines, whom you teach."),
    ],
)
def test_nobody_elses_account_gets_into_the_class(cast: Cast, row: str, reason: str) -> None:
    """Else a teacher could name any account, and then set its password."""
    page = preview(cast, f"name,username\nNora,nora\n{row}\n")
    assert reason in page
    take(cast, page)
    assert students(cast) == {"ines", "bruno", "nora"}


def test_rows_slipped_in_after_the_preview_are_looked_at_again(cast: Cast) -> None:
    rows = "name,username\nNora,nora\nZoe,zoe\n"
    page = cast.client("teacher").post(url("take_roster", cast), {"rows": rows}).content.decode()
    assert "What the file would change" in page
    assert students(cast) == {"ines", "bruno"}


@pytest.mark.parametrize("rows", ["", "nonsense", "name,username\n", "\x00", "\ud800"])
def test_nonsense_changes_nothing(cast: Cast, rows: str) -> None:
    data = {"rows": rows.encode(errors="surrogatepass")}
    page = cast.client("teacher").post(url("take_roster", cast), data, follow=True).content.decode()
    assert "Nothing was changed." in page
    assert students(cast) == {"ines", "bruno"}


def test_a_name_taken_meanwhile_undoes_the_whole(cast: Cast) -> None:
    roster = read_roster(b"name,username\nNora,nora\nPaul,paul\n")
    enrolment = plan(roster, cast.school_class, cast.teacher)
    UserFactory(username="paul")
    with pytest.raises(IntegrityError):
        enrol(enrolment, cast.school_class, cast.teacher, timezone.now())
    assert not User.objects.filter(username="nora").exists()


def test_a_student_who_joined_meanwhile_undoes_the_accounts_too(cast: Cast) -> None:
    other = SchoolClass.objects.start(cast.teacher, "5 C")
    other.add_student(UserFactory(username="paul", display_name="Paul"))
    roster = read_roster(b"name,username\nNora,nora\nPaul,paul\n")
    enrolment = plan(roster, cast.school_class, cast.teacher)
    cast.school_class.add_student(User.objects.get(username="paul"))
    with pytest.raises(IntegrityError):
        enrol(enrolment, cast.school_class, cast.teacher, timezone.now())
    assert not User.objects.filter(username="nora").exists()
    assert students(cast) == {"ines", "bruno", "paul"}


def test_a_file_of_no_use_is_explained_at_its_field(cast: Cast) -> None:
    assert "Not found: sign-in name." in preview(cast, "name,room\nInes,7\n")
    page = cast.client("teacher").post(url("roster", cast)).content.decode()
    assert "This field is required." in page


@pytest.mark.parametrize("person", ["outsider", "student", "staff"])
def test_nobody_else_uploads(cast: Cast, person: str) -> None:
    data = {"rows": "name,username\nNora,nora\n"}
    assert cast.client(person).post(url("take_roster", cast), data).status_code == 404
    assert not User.objects.filter(username="nora").exists()
