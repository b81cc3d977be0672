"""A teacher uploads a bundle of the school's register on the page where a roster goes."""

import html
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from accounts.models import Change, SchoolClass, User
from tests.accounts.bundles import SECRET, bundle, enrolment, school_class, user
from tests.conftest import Cast
from tests.factories import UserFactory

TWO = [user("u1", "Nora"), user("u2", "Paul")]
BOTH = [enrolment("e1", "u1"), enrolment("e2", "u2")]


def url(name: str, cast: Cast) -> str:
    return reverse(name, args=[cast.school_class.public_id])


def upload(cast: Cast, content: bytes) -> str:
    file = SimpleUploadedFile("register.zip", content)
    return html.unescape(cast.client("teacher").post(url("roster", cast), {"file": file}).content.decode())


def take(cast: Cast, page: str, *leave: User) -> str:
    """Press the button of the preview, with these ticked."""
    [rows] = re.findall(r'name="rows" value="(.*?)"><button', page, re.DOTALL)
    [key] = re.findall(r'name="bundle_class" value="(.*?)"', page)
    fields = {"rows": rows, "bundle_class": key, "leave": [str(each.public_id) for each in leave]}
    return cast.client("teacher").post(url("take_roster", cast), fields, follow=True).content.decode()


def students(cast: Cast) -> dict[str, str]:
    return dict(User.objects.students_of(cast.school_class).values_list("username", "sourced_id"))


def test_a_preview_changes_nothing_and_shows_no_secret(cast: Cast) -> None:
    page = upload(cast, bundle([*TWO, user("", "Zed")], [*BOTH, enrolment("e3", "u1", role="teacher")]))
    assert "2 accounts are made." in page
    assert "One entry of a teacher or somebody else is passed over." in page
    assert "users.csv 4" in page
    assert SECRET not in page
    assert students(cast) == {"ines": "", "bruno": ""}


def test_students_are_taken_under_sign_in_names_made_of_their_names(cast: Cast) -> None:
    UserFactory(username="paul.marsh")
    page = upload(cast, bundle(TWO, BOTH))
    assert "paul.marsh2" in page
    assert "2 students are in the class now." in take(cast, page)
    assert students(cast) == {"ines": "", "bruno": "", "nora.marsh": "u1", "paul.marsh2": "u2"}
    nora = User.objects.get(username="nora.marsh")
    assert (nora.display_name, nora.has_usable_password()) == ("Nora Marsh", False)


def test_the_same_bundle_again_changes_nothing(cast: Cast) -> None:
    take(cast, upload(cast, bundle(TWO, BOTH)))
    page = upload(cast, bundle(TWO, BOTH))
    assert "2 students are in this class already." in page
    assert "Take these" not in page


def test_namesakes_get_accounts_of_their_own(cast: Cast) -> None:
    users = [user("u1", "Nora"), user("u2", "Nora"), user("u3", "Nora")]
    lines = [enrolment(f"e{place}", f"u{place}") for place in (1, 2, 3)]
    take(cast, upload(cast, bundle(users, lines)))
    found = {name: key for name, key in students(cast).items() if key}
    assert found == {"nora.marsh": "u1", "nora.marsh2": "u2", "nora.marsh3": "u3"}


def test_one_who_joined_by_the_word_before_is_recognised_and_keeps_the_account(cast: Cast) -> None:
    users = [user("u1", "Ines", ""), user("u2", "Paul")]
    page = upload(cast, bundle(users, BOTH))
    assert "One student of this class is recognised by name" in page
    take(cast, page)
    assert students(cast) == {"ines": "u1", "bruno": "", "paul.marsh": "u2"}
    assert "2 students are in this class already." in upload(cast, bundle(users, BOTH))


@pytest.mark.parametrize("key", ["", "u7"])
def test_nobody_is_recognised_where_a_name_may_mean_another(cast: Cast, key: str) -> None:
    """Two of one name in the class, or one who has another id already."""
    twin = UserFactory(username="ines2", display_name="Ines")
    cast.school_class.add_student(twin)
    User.objects.filter(pk__in=[twin.pk, cast.student.pk]).update(sourced_id=key)
    take(cast, upload(cast, bundle([user("u1", "Ines", "")], BOTH[:1])))
    assert {name for name, found in students(cast).items() if found == "u1"} == {"ines3"}


def test_one_student_is_recognised_once(cast: Cast) -> None:
    take(cast, upload(cast, bundle([user("u1", "Ines", ""), user("u2", "Ines", "")], BOTH)))
    found = {name: key for name, key in students(cast).items() if key}
    assert found == {"ines": "u1", "ines2": "u2"}


def test_the_same_person_of_another_class_of_the_teacher_joins_under_the_known_account(cast: Cast) -> None:
    other = SchoolClass.objects.start(cast.teacher, "5 C")
    nora = UserFactory(username="nora", display_name="N.", sourced_id="u1")
    other.add_student(nora)
    take(cast, upload(cast, bundle(TWO, BOTH)))
    assert nora in User.objects.students_of(cast.school_class)
    assert User.objects.filter(sourced_id="u1").count() == 1


def test_an_id_opens_nobody_elses_account(cast: Cast) -> None:
    """Else a teacher could name any account by its id, and then set its password."""
    User.objects.filter(pk=cast.outsiders_student.pk).update(sourced_id="u1")
    take(cast, upload(cast, bundle(TWO, BOTH)))
    assert cast.outsiders_student not in User.objects.students_of(cast.school_class)
    assert students(cast)["nora.marsh"] == "u1"


class TestWhoIsMissing:
    @pytest.fixture
    def nora(self, cast: Cast) -> User:
        take(cast, upload(cast, bundle(TWO, BOTH)))
        return User.objects.get(username="nora.marsh")

    def test_is_proposed_unticked_and_stays_unless_ticked(self, cast: Cast, nora: User) -> None:
        page = upload(cast, bundle(TWO, BOTH[1:]))
        assert f'name="leave" value="{nora.public_id}">' in page
        assert str(cast.student.public_id) not in page
        page = cast.client("teacher").post(url("take_roster", cast), {"rows": ""}, follow=True)
        assert "Nothing was changed." in page.content.decode()
        assert "nora.marsh" in students(cast)

    def test_leaves_the_class_when_ticked_and_keeps_the_account(self, cast: Cast, nora: User) -> None:
        page = take(cast, upload(cast, bundle(TWO, BOTH[1:])), nora)
        assert "1 student left it." in page
        assert "nora.marsh" not in students(cast)
        assert User.objects.filter(pk=nora.pk, is_active=True).exists()

    def test_comes_back_when_it_is_taken_back(self, cast: Cast, nora: User) -> None:
        more = [*TWO, user("u3", "Rita")]
        take(cast, upload(cast, bundle(more, [BOTH[1], enrolment("e3", "u3")])), nora)
        assert set(students(cast)) == {"ines", "bruno", "paul.marsh", "rita.marsh"}
        change = Change.objects.first()
        assert change is not None
        cast.client("teacher").post(reverse("accounts:take_back", args=[change.public_id]))
        assert set(students(cast)) == {"ines", "bruno", "paul.marsh", "nora.marsh"}

    def test_is_not_proposed_by_a_delta_that_says_nothing(self, cast: Cast, nora: User) -> None:
        page = upload(cast, bundle(TWO, BOTH[1:], file_enrollments="delta"))
        assert 'name="leave"' not in page

    def test_is_proposed_by_a_delta_that_says_so(self, cast: Cast, nora: User) -> None:
        gone = [enrolment("e1", "u1", status="tobedeleted")]
        page = upload(cast, bundle([], gone, file_enrollments="delta", file_users="delta"))
        assert f'name="leave" value="{nora.public_id}">' in page

    def test_an_outsiders_student_cannot_be_made_to_leave(self, cast: Cast, nora: User) -> None:
        take(cast, upload(cast, bundle(TWO, BOTH[1:])), nora, cast.outsiders_student)
        assert cast.outsiders_student in User.objects.students_of(cast.outsiders_class)


def test_recognition_is_taken_back_too(cast: Cast) -> None:
    take(cast, upload(cast, bundle([user("u1", "Ines", "")], BOTH[:1])))
    assert students(cast)["ines"] == "u1"
    change = Change.objects.get()
    cast.client("teacher").post(reverse("accounts:take_back", args=[change.public_id]))
    assert students(cast) == {"ines": "", "bruno": ""}


class TestSeveralClasses:
    CLASSES = (school_class("c1", "Chemistry 3 B"), school_class("c2", "Chemistry <4>"))
    LINES = (*BOTH, enrolment("e3", "u2", classSourcedId="c2"))

    def chosen(self, cast: Cast, title: str) -> str:
        file = SimpleUploadedFile("register.zip", bundle(TWO, self.LINES, self.CLASSES))
        page = cast.client("teacher").post(url("roster", cast), {"file": file}).content.decode()
        assert "Which class of the file is 3 B?" in page
        forms = re.findall(
            r'name="class" value="(.*?)"><button class="quiet">(.*?)</button>', page, re.DOTALL
        )
        kept = {html.unescape(shown): html.unescape(text) for text, shown in forms}
        response = cast.client("teacher").post(url("roster_class", cast), {"class": kept[title]})
        return html.unescape(response.content.decode())

    def test_the_teacher_says_which_one_and_is_not_asked_again(self, cast: Cast) -> None:
        take(cast, self.chosen(cast, "Chemistry <4>"))
        assert students(cast) == {"ines": "", "bruno": "", "paul.marsh": "u2"}
        assert SchoolClass.objects.get(pk=cast.school_class.pk).sourced_id == "c2"
        page = upload(cast, bundle(TWO, self.LINES, self.CLASSES))
        assert "One student is in this class already." in page

    def test_nonsense_for_a_class_is_refused(self, cast: Cast) -> None:
        response = cast.client("teacher").post(url("roster_class", cast), {"class": "{}"}, follow=True)
        assert "Choose the file once more." in response.content.decode()


def test_a_bundle_that_cannot_be_used_is_explained_at_its_field(cast: Cast) -> None:
    assert "of OneRoster version “1.1”" in upload(cast, bundle(TWO, BOTH, oneroster_version="1.1"))
    assert "This zip file cannot be opened." in upload(cast, b"PK\x03\x04")
    assert "The file has no class." in upload(cast, bundle(TWO, [], []))
