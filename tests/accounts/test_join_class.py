"""A student comes into a class by its join word."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from accounts.forms import zones_by_region
from accounts.models import Membership, SchoolClass, SignInThrottle, User, make_join_word
from accounts.models.classes import JOIN_LETTERS
from accounts.models.throttle import ADDRESS_TRIES
from tests.conftest import Cast
from tests.factories import PASSWORD, SchoolClassFactory, TeacherFactory

JOIN = reverse("accounts:join")
GOOD = "pale blue precipitate"


def new_student(word: str, **changed: str) -> dict[str, str]:
    given = {"username": "lena.k", "display_name": "Lena", "password1": GOOD, "password2": GOOD}
    return {"join_word": word, **given, **changed}


def test_a_new_student_joins_and_is_signed_in(cast: Cast, anonymous: Client) -> None:
    response = anonymous.post(JOIN, new_student(cast.school_class.join_word))
    assert response.status_code == 302
    lena = User.objects.get(username="lena.k")
    assert anonymous.session["_auth_user_id"] == str(lena.pk)
    assert list(SchoolClass.objects.attended_by(lena)) == [cast.school_class]
    assert not lena.is_teacher
    assert lena.check_password(GOOD)


def test_no_e_mail_address_is_asked_for(anonymous: Client, db: None) -> None:
    page = anonymous.get(JOIN)
    fields = [name for form in page.context["forms"] for name in form.fields]
    assert fields == ["join_word", "display_name", "username", "password1", "password2"]


def test_the_word_is_read_as_people_write_it(cast: Cast, anonymous: Client) -> None:
    word = cast.school_class.join_word
    typed = f" {word[:4].lower()}-{word[4:]} "
    assert anonymous.post(JOIN, new_student(typed)).status_code == 302


def test_a_student_joins_a_second_class_with_the_word_only(cast: Cast) -> None:
    client = cast.client("student")
    assert client.post(JOIN, {"join_word": cast.outsiders_class.join_word}).status_code == 302
    assert set(SchoolClass.objects.attended_by(cast.student)) == {cast.school_class, cast.outsiders_class}


def test_joining_twice_changes_nothing(cast: Cast) -> None:
    client = cast.client("student")
    for _ in range(2):
        client.post(JOIN, {"join_word": cast.school_class.join_word})
    assert Membership.objects.filter(user=cast.student).count() == 1


def test_a_teacher_does_not_become_a_student(cast: Cast) -> None:
    client = cast.client("teacher")
    assert client.post(JOIN, {"join_word": cast.outsiders_class.join_word}).status_code == 403
    assert not SchoolClass.objects.attended_by(cast.teacher).exists()


@pytest.mark.parametrize("reason", ["unknown", "closed", "archived", "changed"])
def test_a_word_that_opens_no_class(cast: Cast, anonymous: Client, reason: str) -> None:
    school_class = cast.school_class
    word = school_class.join_word
    if reason == "unknown":
        word = "A" * 8
    if reason == "closed":
        school_class.join_open = False
        school_class.save()
    if reason == "archived":
        school_class.archive(timezone.now())
    if reason == "changed":
        school_class.change_join_word()
    response = anonymous.post(JOIN, new_student(word))
    assert response.status_code == 200
    assert "join_word" in response.context["forms"][0].errors
    assert not User.objects.filter(username="lena.k").exists()


def test_guessing_words_is_stopped_for_the_address(cast: Cast, anonymous: Client) -> None:
    for _ in range(ADDRESS_TRIES):
        SignInThrottle.objects.failed("127.0.0.1", timezone.now())
    response = anonymous.post(JOIN, new_student(cast.school_class.join_word))
    assert "Too many wrong tries" in str(response.context["forms"][0].errors)


def test_a_wrong_word_counts_as_a_guess(cast: Cast, anonymous: Client) -> None:
    anonymous.post(JOIN, new_student("A" * 8))
    assert SignInThrottle.objects.get().tries == 1


def test_join_words_have_no_letters_to_confuse() -> None:
    assert not set("0O1ILQ2Z5S8BGUVN") & set(JOIN_LETTERS)
    words = {make_join_word() for _ in range(200)}
    assert len(words) == 200
    assert all(len(word) == 8 and set(word) <= set(JOIN_LETTERS) for word in words)


def test_the_word_on_the_board_is_in_two_halves(db: None) -> None:
    assert SchoolClassFactory(join_word="ACDEFHJK").join_word_to_read == "ACDE FHJK"


def test_a_class_starts_with_its_teacher(db: None) -> None:
    teacher = TeacherFactory()
    school_class = SchoolClass.objects.start(teacher, "3 B", level="second_year")
    assert school_class.level == "second_year"
    assert list(SchoolClass.objects.taught_by(teacher)) == [school_class]


def test_a_word_already_in_use_is_drawn_again(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    SchoolClassFactory(join_word="ACDEFHJK")
    words = iter(["ACDEFHJK", "ACDEFHJM"])
    field = SchoolClass._meta.get_field("join_word")
    monkeypatch.setattr(field, "_get_default", lambda: next(words))
    assert SchoolClass.objects.start(TeacherFactory(), "3 C").join_word == "ACDEFHJM"


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("username", "two words"),
        ("username", "@lena"),
        ("username", "INES"),
        ("username", ""),
        ("username", "l" * 41),
        ("display_name", ""),
        ("password2", "another password"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(cast: Cast, anonymous: Client, field: str, typed: str) -> None:
    response = anonymous.post(JOIN, new_student(cast.school_class.join_word, **{field: typed}))
    assert response.status_code == 200
    assert list(response.context["forms"][1].errors) == [field]
    assert f'aria-describedby="id_{field}' in response.content.decode()
    assert User.objects.count() == 7


@pytest.mark.parametrize(
    "password",
    [
        "too short",
        "1234567890123",
        "qwertyuiop",
        "lena.k lena",
    ],
)
def test_passwords_that_are_easily_guessed(cast: Cast, anonymous: Client, password: str) -> None:
    typed = new_student(cast.school_class.join_word, password1=password, password2=password)
    response = anonymous.post(JOIN, typed)
    assert list(response.context["forms"][1].errors) == ["password2"]


def test_a_password_is_changed_and_other_browsers_are_signed_out(cast: Cast) -> None:
    here, elsewhere = cast.client("student"), cast.client("student")
    url = reverse("accounts:change_password")
    wrong = {"old_password": "no", "new_password1": GOOD, "new_password2": GOOD}
    assert here.post(url, wrong).status_code == 200
    assert here.post(url, wrong | {"old_password": PASSWORD}).status_code == 302
    cast.student.refresh_from_db()
    assert cast.student.check_password(GOOD)
    assert here.get(reverse("accounts:profile")).status_code == 200
    assert elsewhere.get(reverse("accounts:profile")).status_code == 302


def test_name_and_time_zone_are_kept(cast: Cast) -> None:
    client = cast.client("student")
    url = reverse("accounts:profile")
    client.post(url, {"display_name": "  Ines   R. ", "time_zone": "America/Lima"})
    cast.student.refresh_from_db()
    assert (cast.student.display_name, cast.student.time_zone) == ("Ines R.", "America/Lima")
    assert client.get(url).status_code == 200
    assert client.post(url, {"display_name": "Ines", "time_zone": "Mars/North"}).status_code == 200
    cast.student.refresh_from_db()
    assert cast.student.time_zone == "America/Lima"


def test_time_zones_stand_by_place_under_their_part_of_the_world() -> None:
    # The tz database lists these as zones of their own, and US/Pacific as a former name.
    zones = {region: dict(places) for region, places in zones_by_region()}
    assert zones["Europe"]["Europe/Berlin"] == "Berlin"
    assert zones["America"]["America/Argentina/Buenos_Aires"] == "Argentina/Buenos Aires"
    assert "US" not in zones
    kept = {region: dict(places) for region, places in zones_by_region("US/Pacific")}
    assert kept["US"] == {"US/Pacific": "Pacific"}


def test_nobody_makes_themselves_a_teacher(cast: Cast, anonymous: Client) -> None:
    more = {"is_teacher": "on", "is_staff": "on", "role": "teacher"}
    anonymous.post(JOIN, new_student(cast.school_class.join_word, **more))
    cast.client("student").post(reverse("accounts:profile"), {"display_name": "I", **more})
    assert User.objects.filter(is_teacher=True).count() == 3
    assert User.objects.filter(is_staff=True).count() == 1
