"""Who is in a class: the join word, co-teachers, students who leave."""

import pytest
from django.urls import reverse

from accounts.models import Change, SchoolClass, User
from tests.conftest import Cast
from tests.factories import TeacherFactory, UserFactory


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


def remove(cast: Cast, *people: User, **more: str) -> str:
    ids = [str(person.public_id) for person in people]
    response = cast.client("teacher").post(
        url("remove_students", cast), {"student": ids, **more}, follow=True
    )
    return response.content.decode()


def take_back(cast: Cast) -> str:
    change = Change.objects.get()
    address = reverse("accounts:take_back", args=[change.public_id])
    return cast.client("teacher").post(address, follow=True).content.decode()


def students(cast: Cast) -> list[User]:
    return list(User.objects.students_of(cast.school_class))


def test_removing_says_how_many_and_asks_first(cast: Cast) -> None:
    page = remove(cast, cast.student, cast.classmate)
    assert "Remove 2 students from 3 B?" in page
    assert "Bruno" in page
    assert students(cast) == [cast.classmate, cast.student]


def test_a_removed_student_is_gone_from_here_only(cast: Cast) -> None:
    cast.outsiders_class.add_student(cast.student)
    assert "1 student removed from 3 B." in remove(cast, cast.student, sure="yes")
    assert students(cast) == [cast.classmate]
    assert cast.student in User.objects.students_of(cast.outsiders_class)
    assert User.objects.filter(pk=cast.student.pk, is_active=True).exists()


def test_removed_students_come_back_when_it_is_taken_back(cast: Cast) -> None:
    remove(cast, cast.student, cast.classmate, sure="yes")
    assert students(cast) == []
    cast.school_class.add_student(cast.student)
    assert "Taken back: 2 students removed from 3 B." in take_back(cast)
    assert students(cast) == [cast.classmate, cast.student]


def test_an_erased_student_does_not_keep_the_others_away(cast: Cast) -> None:
    remove(cast, cast.student, cast.classmate, sure="yes")
    cast.student.delete()
    take_back(cast)
    assert students(cast) == [cast.classmate]


def test_nothing_is_taken_back_in_a_class_one_no_longer_teaches(cast: Cast) -> None:
    remove(cast, cast.student, sure="yes")
    cast.school_class.memberships.filter(user=cast.teacher).delete()
    assert "You do not teach this class any more." in take_back(cast)
    assert students(cast) == [cast.classmate]


def test_removing_students_never_removes_a_teacher(cast: Cast) -> None:
    assert cast.school_class.remove_students([cast.co_teacher, cast.student]) == [cast.student.pk]
    assert cast.co_teacher in User.objects.teachers_of(cast.school_class)


@pytest.mark.parametrize("who", ["co_teacher", "outsiders_student"])
def test_nobody_else_can_be_removed_as_a_student(cast: Cast, who: str) -> None:
    remove(cast, getattr(cast, who), sure="yes")
    assert User.objects.teachers_of(cast.school_class).count() == 2
    assert cast.outsiders_student in User.objects.students_of(cast.outsiders_class)
    assert not Change.objects.exists()


def test_the_page_of_forty_takes_as_many_queries_as_that_of_two(
    cast: Cast, django_assert_num_queries
) -> None:
    for student in UserFactory.create_batch(38):
        cast.school_class.add_student(student)
    client = cast.client("teacher")
    with django_assert_num_queries(9):
        assert "40 students" in client.get(url("people", cast)).content.decode()
