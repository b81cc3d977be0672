"""Slips to hand out, and new passwords that are shown once."""

import re

from django.test import Client
from django.urls import reverse

from accounts.models import Change, User
from tests.conftest import Cast
from tests.factories import PASSWORD

CODE = re.compile(r"<code>((?:[a-z]{4}-){3}\d\d)</code>")


def url(name: str, cast: Cast) -> str:
    return reverse(name, args=[cast.school_class.public_id])


def ask(cast: Cast, *people: User, **more: str) -> tuple[str, list[str]]:
    """The page after asking for new passwords, and the passwords on it."""
    ids = [str(person.public_id) for person in people]
    page = cast.client("teacher").post(url("new_passwords", cast), {"student": ids, **more}, follow=True)
    text = page.content.decode()
    return text, CODE.findall(text)


def test_slips_without_passwords_name_page_and_sign_in_name(cast: Cast) -> None:
    page = cast.client("teacher").get(url("slips", cast)).content.decode()
    assert "http://testserver/account/sign-in/" in page
    assert "<code>ines</code>" in page
    assert CODE.findall(page) == []


def test_who_has_no_password_is_ticked(cast: Cast) -> None:
    cast.classmate.set_unusable_password()
    cast.classmate.save()
    page = cast.client("teacher").get(url("slips", cast)).content.decode()
    assert f'value="{cast.classmate.public_id}" checked' in page
    assert f'value="{cast.student.public_id}" checked' not in page


def test_replacing_passwords_says_how_many_and_asks_first(cast: Cast) -> None:
    page, shown = ask(cast, cast.student, cast.classmate)
    assert "Replace 2 passwords?" in page
    assert shown == []
    assert User.objects.get(pk=cast.student.pk).check_password(PASSWORD)


def test_the_new_password_is_shown_once_and_opens_the_account(cast: Cast) -> None:
    page, [password] = ask(cast, cast.student, sure="yes")
    assert "Ines" in page
    assert "Bruno" not in page
    fields = {"username": "ines", "password": password}
    assert Client().post(reverse("accounts:sign_in"), fields).status_code == 302
    assert password not in cast.client("teacher").get(url("slips", cast)).content.decode()
    assert User.objects.get(pk=cast.classmate.pk).check_password(PASSWORD)


def test_the_page_with_passwords_is_not_kept_by_the_browser(cast: Cast) -> None:
    fields = {"student": str(cast.student.public_id), "sure": "yes"}
    response = cast.client("teacher").post(url("new_passwords", cast), fields)
    assert "no-store" in response["Cache-Control"]


def test_who_was_signed_in_is_signed_out(cast: Cast) -> None:
    client = cast.client("student")
    assert client.get("/account/").status_code == 200
    ask(cast, cast.student, sure="yes")
    assert client.get("/account/").status_code == 302


def test_only_students_of_the_class_get_one(cast: Cast) -> None:
    page, shown = ask(cast, cast.outsiders_student, cast.co_teacher, sure="yes")
    assert shown == []
    assert "Slips without passwords" in page
    for person in (cast.outsiders_student, cast.co_teacher):
        assert User.objects.get(pk=person.pk).check_password(PASSWORD)


def take_back(cast: Cast) -> None:
    change = Change.objects.get(action="replace_passwords")
    cast.client("teacher").post(reverse("accounts:take_back", args=[change.public_id]))


def test_replaced_passwords_are_taken_back_but_not_those_chosen_meanwhile(cast: Cast) -> None:
    ask(cast, cast.student, cast.classmate, sure="yes")
    cast.classmate.set_password("zinc and sulfate")
    cast.classmate.save()
    take_back(cast)
    assert User.objects.get(pk=cast.student.pk).check_password(PASSWORD)
    assert User.objects.get(pk=cast.classmate.pk).check_password("zinc and sulfate")


def test_a_student_who_has_left_keeps_the_new_password(cast: Cast) -> None:
    _page, [password] = ask(cast, cast.student, sure="yes")
    cast.school_class.remove_students([cast.student])
    take_back(cast)
    assert User.objects.get(pk=cast.student.pk).check_password(password)


def test_what_is_kept_for_taking_back_holds_no_password(cast: Cast) -> None:
    _page, [password] = ask(cast, cast.student, sure="yes")
    change = Change.objects.get()
    assert password not in str(change.payload)
    assert (change.told["count"], change.told["class"]) == (1, "3 B")
