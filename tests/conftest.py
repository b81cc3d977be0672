"""The cast: a teacher with two students, and a stranger who teaches one of his own.

Names carry rights: what `teacher` and `student` may do with the class's things, `classmate` may do
with her own only, and `outsider` and `outsiders_student` may not do at all.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from django.test import Client
from django.utils import translation

from accounts.models import SchoolClass, User
from quizzes import steering
from tests.factories import SchoolClassFactory, TeacherFactory, UserFactory


@dataclass(frozen=True)
class Cast:
    teacher: User
    co_teacher: User
    student: User
    classmate: User
    outsider: User
    outsiders_student: User
    staff: User
    school_class: SchoolClass
    outsiders_class: SchoolClass

    def client(self, person: str) -> Client:
        """A browser of this person, signed in; `anonymous` is not."""
        client = Client()
        if person != "anonymous":
            client.force_login(getattr(self, person))
        return client


PEOPLE = (
    "anonymous",
    "student",
    "classmate",
    "outsiders_student",
    "teacher",
    "co_teacher",
    "outsider",
    "staff",
)


@pytest.fixture
def cast(db: None) -> Cast:
    return make_cast()


def make_cast() -> Cast:
    cast = Cast(
        teacher=TeacherFactory(username="vera", display_name="Ms Vera"),
        co_teacher=TeacherFactory(username="tomas", display_name="Mr Tomas"),
        student=UserFactory(username="ines", display_name="Ines"),
        classmate=UserFactory(username="bruno", display_name="Bruno"),
        outsider=TeacherFactory(username="otto", display_name="Mr Otto"),
        outsiders_student=UserFactory(username="zoe", display_name="Zoe"),
        staff=UserFactory(username="keeper", display_name="Keeper", is_staff=True),
        school_class=SchoolClassFactory(name="3 B"),
        outsiders_class=SchoolClassFactory(name="4 A"),
    )
    cast.school_class.add_teacher(cast.teacher)
    cast.school_class.add_teacher(cast.co_teacher)
    cast.school_class.add_student(cast.student)
    cast.school_class.add_student(cast.classmate)
    cast.outsiders_class.add_teacher(cast.outsider)
    cast.outsiders_class.add_student(cast.outsiders_student)
    return cast


@pytest.fixture(autouse=True)
def no_kept_language() -> Iterator[None]:
    """A test that asks for a page in another language leaves none behind."""
    yield
    translation.deactivate()


@pytest.fixture(autouse=True)
def no_kept_calibration() -> None:
    """Each test has a database of its own, in which a calibration's number may come again."""
    steering._unpacked.cache_clear()


@pytest.fixture
def anonymous() -> Client:
    return Client()
