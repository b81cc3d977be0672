"""Each door, tried by each person."""

import uuid
from collections.abc import Callable

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import Http404, HttpResponse
from django.test import RequestFactory
from django.utils import timezone

from accounts import access
from accounts.guards import students_only, teachers_only
from accounts.models import SchoolClass, User
from tests.conftest import PEOPLE, Cast

SIGNED_IN = [person for person in PEOPLE if person != "anonymous"]


def opened_by(cast: Cast, door: Callable[[User], object]) -> list[str]:
    """Who gets through; everybody else meets a 404."""
    through = []
    for person in SIGNED_IN:
        try:
            door(getattr(cast, person))
        except Http404:
            continue
        through.append(person)
    return through


def test_a_class_opens_to_its_teachers_as_teachers(cast: Cast) -> None:
    class_id = cast.school_class.public_id
    assert access.class_of_teacher(cast.teacher, class_id) == cast.school_class
    assert opened_by(cast, lambda who: access.class_of_teacher(who, class_id)) == ["teacher", "co_teacher"]


def test_a_class_opens_to_its_students_as_students(cast: Cast) -> None:
    class_id = cast.school_class.public_id
    assert access.class_of_student(cast.student, class_id) == cast.school_class
    assert opened_by(cast, lambda who: access.class_of_student(who, class_id)) == ["student", "classmate"]


def test_a_student_is_seen_by_the_teachers_of_the_class(cast: Cast) -> None:
    ids = cast.school_class.public_id, cast.student.public_id
    assert access.student_of_class(cast.teacher, *ids) == (cast.school_class, cast.student)
    assert opened_by(cast, lambda who: access.student_of_class(who, *ids)) == ["teacher", "co_teacher"]
    assert opened_by(cast, lambda who: access.student_of_teacher(who, ids[1])) == ["teacher", "co_teacher"]


def test_a_student_is_not_found_through_a_class_of_others(cast: Cast) -> None:
    with pytest.raises(Http404):
        access.student_of_class(cast.outsider, cast.outsiders_class.public_id, cast.student.public_id)


def test_a_teacher_of_the_class_is_no_student_of_it(cast: Cast) -> None:
    with pytest.raises(Http404):
        access.student_of_class(cast.teacher, cast.school_class.public_id, cast.co_teacher.public_id)


def test_one_who_is_no_teacher_any_more_stays_outside(cast: Cast) -> None:
    cast.teacher.is_teacher = False
    with pytest.raises(Http404):
        access.class_of_teacher(cast.teacher, cast.school_class.public_id)
    with pytest.raises(Http404):
        access.student_of_teacher(cast.teacher, cast.student.public_id)


def test_an_archived_class_is_read_by_its_teacher_only(cast: Cast) -> None:
    cast.school_class.archive(timezone.now())
    access.class_of_teacher(cast.teacher, cast.school_class.public_id)
    with pytest.raises(Http404):
        access.class_of_student(cast.student, cast.school_class.public_id)


def test_an_unknown_id_opens_nothing(cast: Cast) -> None:
    assert opened_by(cast, lambda who: access.class_of_teacher(who, uuid.uuid4())) == []


def test_lists_hold_own_people_each_once(cast: Cast) -> None:
    second = SchoolClass.objects.start(cast.teacher, "3 C")
    second.add_student(cast.student)
    assert list(User.objects.taught_by(cast.teacher)) == [cast.classmate, cast.student]
    assert list(User.objects.students_of(cast.school_class)) == [cast.classmate, cast.student]
    assert list(User.objects.teachers_of(cast.school_class)) == [cast.co_teacher, cast.teacher]
    assert list(SchoolClass.objects.taught_by(cast.teacher)) == [cast.school_class, second]


def opened_page(
    cast: Cast, rf: RequestFactory, guard: Callable[..., Callable[..., HttpResponse]]
) -> list[str]:
    """Who sees a page behind `guard`; to everybody else it does not exist."""
    page = guard(lambda request: HttpResponse())

    def ask(reader: object) -> HttpResponse:
        request = rf.get("/")
        request.user = reader
        return page(request)

    with pytest.raises(Http404):
        ask(AnonymousUser())
    return opened_by(cast, ask)


def test_pages_for_teachers(cast: Cast, rf: RequestFactory) -> None:
    assert opened_page(cast, rf, teachers_only) == ["teacher", "co_teacher", "outsider"]


def test_pages_for_students(cast: Cast, rf: RequestFactory) -> None:
    assert opened_page(cast, rf, students_only) == ["student", "classmate", "outsiders_student"]
