"""A teacher's account comes by invitation."""

import re
import uuid
from datetime import timedelta
from io import StringIO
from urllib.parse import urlsplit

import pytest
from django.conf import LazySettings
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from accounts.models import Invitation, User
from tests.conftest import Cast

GOOD = "pale blue precipitate"
NEW = {"username": "mara", "display_name": "Ms Mara", "password1": GOOD, "password2": GOOD}


def invite(**options: object) -> str:
    said = StringIO()
    call_command("invite", stdout=said, **options)
    return said.getvalue().strip()


@pytest.fixture
def link(db: None) -> str:
    return urlsplit(invite()).path


def test_an_invitation_makes_one_teacher(link: str, anonymous: Client) -> None:
    assert anonymous.get(link).status_code == 200
    assert anonymous.post(link, NEW).status_code == 302
    mara = User.objects.get(username="mara")
    assert mara.is_teacher
    assert not mara.is_staff
    assert anonymous.session["_auth_user_id"] == str(mara.pk)


def test_it_works_once(link: str) -> None:
    Client().post(link, NEW)
    assert Client().get(link).status_code == 404
    assert Client().post(link, NEW | {"username": "second"}).status_code == 404
    assert User.objects.count() == 1


def test_a_form_with_a_fault_does_not_use_it_up(link: str, anonymous: Client) -> None:
    assert anonymous.post(link, NEW | {"password2": "other"}).status_code == 200
    assert anonymous.post(link, NEW).status_code == 302


def test_it_ends(db: None, anonymous: Client) -> None:
    secret = Invitation.objects.issue(timezone.now() - timedelta(days=8), timedelta(days=7))
    assert anonymous.get(reverse("accounts:invitation", args=[secret])).status_code == 404


def test_a_guess_opens_nothing(link: str, anonymous: Client) -> None:
    assert anonymous.get(reverse("accounts:invitation", args=[uuid.uuid4()])).status_code == 404


def test_one_who_is_signed_in_stays_who_they_are(cast: Cast, link: str) -> None:
    assert cast.client("student").post(link, NEW).status_code == 302
    cast.student.refresh_from_db()
    assert not cast.student.is_teacher
    assert not User.objects.filter(username="mara").exists()


def test_the_table_does_not_hold_the_secret(link: str) -> None:
    secret = link.rstrip("/").rsplit("/", 1)[-1]
    assert secret not in Invitation.objects.get().digest


def test_the_address_of_the_site_goes_in_front(db: None) -> None:
    assert invite(site="https://school.example/").startswith("https://school.example/account/invitation/")


@pytest.mark.parametrize("days", [0, 91, -1])
def test_a_length_that_makes_no_sense_is_refused(db: None, days: int) -> None:
    with pytest.raises(CommandError, match=f"--days is {days}; give 1 to 90"):
        invite(days=days)
    assert not Invitation.objects.exists()


class TestATeacherWhoMayInvite:
    @pytest.fixture
    def inviter(self, cast: Cast) -> Client:
        cast.teacher.may_invite = True
        cast.teacher.save()
        return cast.client("teacher")

    def link_on(self, page: str) -> str:
        [link] = re.findall(r"<code class=\"link\">http://testserver(.*?)</code>", page)
        return str(link)

    def test_makes_a_link_that_makes_one_teacher(self, inviter: Client, anonymous: Client) -> None:
        link = self.link_on(inviter.post(reverse("accounts:invite")).content.decode())
        assert anonymous.post(link, NEW).status_code == 302
        mara = User.objects.get(username="mara")
        assert mara.is_teacher
        assert not mara.may_invite

    def test_can_hand_the_right_on(self, inviter: Client, anonymous: Client) -> None:
        page = inviter.post(reverse("accounts:invite"), {"may_invite": "on"}).content.decode()
        anonymous.post(self.link_on(page), NEW)
        assert User.objects.get(username="mara").may_invite
        assert anonymous.get(reverse("accounts:invite")).status_code == 200

    def test_sees_a_link_once_and_makes_none_by_looking(self, inviter: Client) -> None:
        page = inviter.get(reverse("accounts:invite"))
        assert page.status_code == 200
        assert "/account/invitation/" not in page.content.decode()
        assert not Invitation.objects.exists()
        inviter.post(reverse("accounts:invite"))
        assert "/account/invitation/" not in inviter.get(reverse("accounts:invite")).content.decode()

    def test_finds_the_page_from_the_account(self, inviter: Client, cast: Cast) -> None:
        profile = reverse("accounts:profile")
        assert reverse("accounts:invite") in inviter.get(profile).content.decode()
        assert reverse("accounts:invite") not in cast.client("co_teacher").get(profile).content.decode()

    def test_a_student_with_the_right_has_no_use_of_it(self, cast: Cast) -> None:
        cast.student.may_invite = True
        cast.student.save()
        assert cast.client("student").post(reverse("accounts:invite")).status_code == 404


def test_the_first_teacher_is_given_the_right_by_the_command(db: None, anonymous: Client) -> None:
    anonymous.post(urlsplit(invite(may_invite=True)).path, NEW)
    assert User.objects.get(username="mara").may_invite


class TestOpenRegistration:
    def test_is_off_unless_the_site_says_so(self, anonymous: Client, db: None) -> None:
        assert anonymous.get(reverse("accounts:register")).status_code == 404
        assert reverse("accounts:register") not in anonymous.get(reverse("accounts:sign_in")).content.decode()

    def test_makes_a_teacher_without_the_right_to_invite(
        self, anonymous: Client, db: None, settings: LazySettings
    ) -> None:
        settings.OPEN_REGISTRATION = True
        assert reverse("accounts:register") in anonymous.get(reverse("accounts:sign_in")).content.decode()
        assert anonymous.get(reverse("accounts:register")).status_code == 200
        assert anonymous.post(reverse("accounts:register"), NEW).status_code == 302
        mara = User.objects.get(username="mara")
        assert (mara.is_teacher, mara.is_staff, mara.may_invite) == (True, False, False)
        assert anonymous.session["_auth_user_id"] == str(mara.pk)

    def test_a_weak_password_and_a_taken_name_are_refused(
        self, anonymous: Client, cast: Cast, settings: LazySettings
    ) -> None:
        settings.OPEN_REGISTRATION = True
        for change in ({"password1": "1", "password2": "1"}, {"username": "INES"}):
            assert anonymous.post(reverse("accounts:register"), NEW | change).status_code == 200
        assert not User.objects.filter(username="mara").exists()

    def test_one_who_is_signed_in_stays_who_they_are(self, cast: Cast, settings: LazySettings) -> None:
        settings.OPEN_REGISTRATION = True
        assert cast.client("student").post(reverse("accounts:register"), NEW).status_code == 302
        assert not User.objects.get(username="ines").is_teacher


class TestATeacherWithNothing:
    def test_is_led_to_the_first_class_and_on(self, link: str, anonymous: Client) -> None:
        page = anonymous.post(link, NEW, follow=True)
        assert page.redirect_chain[-1][0] == reverse("new_class")
        assert "Everything begins with a class" in page.content.decode()
        fields = {"name": "3 B", "level": "first_year", "time_zone": "UTC", "exam_date": ""}
        shown = anonymous.post(reverse("new_class"), fields, follow=True).content.decode()
        for step in ("people", "roster", "in_play"):
            assert f"/{step.replace('_', '-')}/" in shown

    def test_one_with_a_class_starts_at_the_classes(self, cast: Cast) -> None:
        page = cast.client("teacher").get("/", follow=True)
        assert page.redirect_chain[-1][0] == reverse("classes")
        page = cast.client("teacher").get(reverse("new_class")).content.decode()
        assert "Everything begins" not in page
