"""Who is in a class: the join word, co-teachers, students who leave."""

import pytest
from django.urls import reverse

from accounts.models import SchoolClass, User
from tests.conftest import Cast
from tests.factories import TeacherFactory


def url(name: str, cast: Cast, *more: object) -> str:
    return reverse(name, args=[cast.school_class.public_id, *more])


def again(cast: Cast) -> SchoolClass:
    return SchoolClass.objects.get(pk=cast.school_class.pk)


def test_the_page_names_everybody_and_the_word(cast: Cast) -> None:
    page = cast.client("teacher").get(url("people", cast)).content.decode()
    for text in ("Ines", "Bruno", "Ms Vera", "Mr Tomas", "2 students", cast.school_class.join_word_to_read):
        assert text in page
    assert "Zoe" not in page


def test_a_closed_class_lets_nobody_in_until_it_is_opened(cast: Cast) -> None:
    client, word = cast.client("teacher"), cast.school_class.join_word
    page = client.post(url("join_word", cast), {"do": "close"}, follow=True).content.decode()
    assert "Closed: nobody can join" in page
    assert cast.school_class.join_word_to_read not in page
    assert not SchoolClass.objects.with_join_word(word).exists()
    client.post(url("join_word", cast), {"do": "open"})
    assert SchoolClass.objects.with_join_word(word).get() == cast.school_class


def test_a_changed_word_replaces_the_old_one(cast: Cast) -> None:
    old = cast.school_class.join_word
    cast.client("teacher").post(url("join_word", cast), {"do": "change"})
    new = again(cast).join_word
    assert new != old
    assert not SchoolClass.objects.with_join_word(old).exists()
    assert SchoolClass.objects.with_join_word(new).exists()


def test_changing_the_word_of_a_closed_class_leaves_it_closed(cast: Cast) -> None:
    client = cast.client("teacher")
    client.post(url("join_word", cast), {"do": "close"})
    client.post(url("join_word", cast), {"do": "change"})
    assert not again(cast).join_open


def test_an_unknown_wish_changes_nothing(cast: Cast) -> None:
    before = again(cast).join_word
    cast.client("teacher").post(url("join_word", cast), {"do": "burn"})
    assert (again(cast).join_word, again(cast).join_open) == (before, True)


@pytest.mark.parametrize("typed", ["otto", " OTTO "])
def test_a_colleague_named_as_a_co_teacher_teaches_the_class(cast: Cast, typed: str) -> None:
    assert cast.client("outsider").get(url("class_page", cast)).status_code == 404
    page = cast.client("teacher").post(url("add_teacher", cast), {"username": typed}, follow=True)
    assert "Mr Otto teaches this class too now." in page.content.decode()
    assert cast.client("outsider").get(url("class_page", cast)).status_code == 200


@pytest.mark.parametrize("typed", ["ines", "keeper", "nobody", "gone"])
def test_students_strangers_and_staff_become_no_teachers_and_get_one_answer(cast: Cast, typed: str) -> None:
    TeacherFactory(username="gone", is_active=False)
    page = cast.client("teacher").post(url("add_teacher", cast), {"username": typed}).content.decode()
    assert "No teacher has this sign-in name." in page
    assert User.objects.teachers_of(cast.school_class).count() == 2


def test_removing_asks_first(cast: Cast) -> None:
    page = cast.client("teacher").get(url("remove_student", cast, cast.student.public_id)).content.decode()
    assert "Remove Ines from 3 B?" in page
    assert cast.student in User.objects.students_of(cast.school_class)


def test_a_removed_student_is_gone_from_here_only(cast: Cast) -> None:
    cast.outsiders_class.add_student(cast.student)
    cast.client("teacher").post(url("remove_student", cast, cast.student.public_id))
    assert list(User.objects.students_of(cast.school_class)) == [cast.classmate]
    assert cast.student in User.objects.students_of(cast.outsiders_class)
    assert User.objects.filter(pk=cast.student.pk, is_active=True).exists()


def test_removing_a_student_never_removes_a_teacher(cast: Cast) -> None:
    cast.school_class.remove_student(cast.co_teacher)
    assert cast.co_teacher in User.objects.teachers_of(cast.school_class)


@pytest.mark.parametrize("who", ["co_teacher", "outsiders_student"])
def test_nobody_else_can_be_removed_as_a_student(cast: Cast, who: str) -> None:
    person = getattr(cast, who)
    response = cast.client("teacher").post(url("remove_student", cast, person.public_id))
    assert response.status_code == 404
    assert User.objects.teachers_of(cast.school_class).count() == 2
