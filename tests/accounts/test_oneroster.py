"""Reading a bundle after the OneRoster 1.2 CSV binding; every fault is named with its table and line."""

import io
import zipfile

import pytest

from accounts import oneroster
from accounts.oneroster import Bundle, BundleClass, class_from_text, read_bundle
from accounts.roster import RosterError
from tests.accounts.bundles import (
    ENROLLMENTS,
    SECRET,
    USERS,
    bundle,
    enrolment,
    manifest,
    role,
    school_class,
    user,
    zipped,
)

TWO = [user("u1", "Ines"), user("u2", "Bruno")]
BOTH = [enrolment("e1", "u1"), enrolment("e2", "u2")]


def only(found: Bundle) -> BundleClass:
    [each] = found.classes
    return each


def names(found: BundleClass) -> list[str]:
    return [row.name for row in found.rows]


def refusal(content: bytes) -> str:
    with pytest.raises(RosterError) as caught:
        read_bundle(content)
    return str(caught.value)


def faults(content: bytes) -> list[tuple[str, int, str]]:
    found = read_bundle(content)
    every = [*found.faults, *(fault for each in found.classes for fault in each.faults)]
    return [(fault.file, fault.line, fault.reason) for fault in every]


class TestWhatIsRead:
    def test_students_by_class_with_ids_and_names(self) -> None:
        classes = [school_class("c1", "Chemistry 3 B"), school_class("c2", "Chemistry 4")]
        found = read_bundle(bundle(TWO, [*BOTH, enrolment("e3", "u1", classSourcedId="c2")], classes))
        assert [(each.sourced_id, each.title, names(each)) for each in found.classes] == [
            ("c1", "Chemistry 3 B", ["Ines Marsh", "Bruno Marsh"]),
            ("c2", "Chemistry 4", ["Ines Marsh"]),
        ]
        assert [(row.line, row.sourced_id, row.username) for row in found.classes[0].rows] == [
            (2, "u1", ""),
            (3, "u2", ""),
        ]

    def test_names_by_which_somebody_is_called(self) -> None:
        called = user("u1", "Inês", "da Silva", preferredGivenName="Nes", preferredFamilyName="Silva")
        assert names(only(read_bundle(bundle([called], BOTH[:1])))) == ["Nes Silva"]

    def test_nothing_private_is_kept(self) -> None:
        faulty = user("", "Zoe")
        assert SECRET not in repr(read_bundle(bundle([*TWO, faulty], BOTH)))

    def test_columns_are_found_by_name(self) -> None:
        tables = {
            "manifest.csv": manifest(),
            "users.csv": "familyName,extra,sourcedId,givenName\nMarsh,x,u1,Ines",
            "classes.csv": "title,sourcedId\nChemistry,c1",
            "enrollments.csv": "role,userSourcedId,classSourcedId,sourcedId\nstudent,u1,c1,e1",
        }
        assert names(only(read_bundle(zipped(tables)))) == ["Ines Marsh"]

    def test_marks_line_ends_quotes_and_other_tables_do_no_harm(self) -> None:
        users = f"{USERS}\r\n{user('u1', 'Ines').replace('Marsh', chr(34) + 'Marsh, Jr' + chr(34))}\r\n\r\n"
        tables = {
            "manifest.csv": "\ufeff" + manifest(),
            "users.csv": ("\ufeff" + users).encode(),
            "classes.csv": "sourcedId,title\nc1,Chemistry",
            "enrollments.csv": f"{ENROLLMENTS}\n{BOTH[0]}",
            "orgs.csv": "nonsense",
            "folder/users.csv": "nonsense",
            "notes.txt": "nonsense",
        }
        assert names(only(read_bundle(zipped(tables)))) == ["Ines Marsh, Jr"]

    def test_teachers_are_passed_over_and_counted(self) -> None:
        found = read_bundle(bundle(TWO, [BOTH[0], enrolment("e2", "u2", role="teacher")]))
        assert (names(only(found)), found.passed_over) == (["Ines Marsh"], 1)

    def test_roles_of_1_2_stand_in_their_own_table(self) -> None:
        roles = [role("r1", "u1", "student"), role("r2", "u2", "teacher"), role("r3", "u2", "parent")]
        content = bundle(TWO, BOTH, roles=roles, file_roles="bulk")
        assert names(only(read_bundle(content))) == ["Ines Marsh"]
        assert faults(content) == [("enrollments.csv", 3, "By roles.csv this user is no student.")]

    def test_a_role_that_is_over_counts_no_more(self) -> None:
        roles = [
            role("r1", "u1", "student", status="tobedeleted"),
            role("r2", "u1", "teacher", status="active"),
        ]
        content = bundle(TWO, BOTH[:1], roles=roles, file_roles="delta")
        assert faults(content) == [("enrollments.csv", 2, "By roles.csv this user is no student.")]


class TestBulkAndDelta:
    def test_bulk_is_whole_and_delta_is_not(self) -> None:
        assert only(read_bundle(bundle(TWO, BOTH))).is_whole
        assert not only(read_bundle(bundle(TWO, BOTH, file_enrollments="delta"))).is_whole

    def test_a_delta_says_who_left(self) -> None:
        gone = [enrolment("e1", "u1", status="tobedeleted"), enrolment("e2", "u2", status="active")]
        found = only(read_bundle(bundle(TWO, gone, file_enrollments="delta")))
        assert (names(found), found.left) == (["Bruno Marsh"], {"u1"})

    def test_a_deleted_user_has_left_every_class(self) -> None:
        users = [user("u1", "Ines", status="tobedeleted"), user("u2", "Bruno", status="active")]
        content = bundle(users, BOTH, file_users="delta", file_enrollments="delta")
        assert only(read_bundle(content)).left == {"u1"}
        assert faults(content) == [("enrollments.csv", 2, "This user is to be deleted by users.csv.")]

    def test_a_delta_may_speak_of_users_told_of_before(self) -> None:
        found = only(read_bundle(bundle([], BOTH[:1], file_users="delta", file_enrollments="delta")))
        assert [(row.name, row.sourced_id) for row in found.rows] == [("", "u1")]

    def test_a_student_in_a_faulty_row_has_not_left(self) -> None:
        found = only(read_bundle(bundle([TWO[0], user("u2", "")], BOTH)))
        assert names(found) == ["Ines Marsh", "Marsh"]
        switched = only(read_bundle(bundle([TWO[0], user("u2", "Bruno", enabledUser="false")], BOTH)))
        assert switched.mentioned == {"u1", "u2"}


@pytest.mark.parametrize(
    ("users", "enrolments", "fault"),
    [
        ([user("", "Ines")], [], ("users.csv", 2, "The sourcedId is missing.")),
        ([user("u" * 256, "Ines")], [], ("users.csv", 2, "The sourcedId is longer than 255 signs.")),
        ([TWO[0], TWO[0]], [], ("users.csv", 3, "The sourcedId u1 stands in line 2 already.")),
        ([user("u1", "", "")], [], ("users.csv", 2, "The name is missing.")),
        ([user("u1", "I" * 61)], [], ("users.csv", 2, "at most 60 characters")),
        ([user("u1", "Ines", status="gone")], [], ("users.csv", 2, "The status “gone” is none of")),
        (TWO, [enrolment("e1", "u9")], ("enrollments.csv", 2, "No user in users.csv has this id.")),
        (TWO, [enrolment("e1", "")], ("enrollments.csv", 2, "No user in users.csv has this id.")),
        (TWO, [enrolment("e1", "u1", classSourcedId="c9")], ("enrollments.csv", 2, "No class in")),
        (TWO, [BOTH[0], BOTH[0]], ("enrollments.csv", 3, "The sourcedId e1 stands in line 2 already.")),
        (TWO, [BOTH[0], enrolment("e2", "u1")], ("enrollments.csv", 3, "stands in line 2 already")),
        ([user("u1", "I", enabledUser="false")], BOTH[:1], ("enrollments.csv", 2, "is switched off")),
    ],
)  # fmt: skip
def test_every_fault_is_named(users: list[str], enrolments: list[str], fault: tuple[str, int, str]) -> None:
    file, line, reason = faults(bundle(users, enrolments))[0]
    assert (file, line) == fault[:2]
    assert fault[2] in reason


class TestWhatCannotBeUsed:
    def test_no_zip_file(self) -> None:
        assert refusal(b"PK\x03\x04 nonsense") == "This zip file cannot be opened."
        assert refusal(bundle(TWO, BOTH)[:-40]) == "This zip file cannot be opened."

    def test_a_zip_file_of_something_else(self) -> None:
        assert "no manifest.csv" in refusal(zipped({"letter.csv": "hello"}))

    @pytest.mark.parametrize(
        ("said", "sentence"),
        [
            ({"oneroster_version": "1.1"}, "of OneRoster version “1.1”"),
            ({"oneroster_version": ""}, "of OneRoster version “”"),
            ({"file_users": "absent"}, "The manifest says “absent” of users.csv"),
            ({"file_enrollments": "weekly"}, "The manifest says “weekly” of enrollments.csv"),
            ({"file_roles": "bulk"}, "roles.csv is not in the zip file."),
        ],
    )
    def test_a_manifest_that_does_not_fit(self, said: dict[str, str], sentence: str) -> None:
        assert sentence in refusal(bundle(TWO, BOTH, **said))

    @pytest.mark.parametrize(
        ("table", "text", "sentence"),
        [
            ("users.csv", "sourcedId,givenName\nu1,Ines", "users.csv has no column familyName."),
            ("users.csv", "", "users.csv has no column sourcedId"),
            (
                "users.csv",
                f"{USERS}\n".encode() + b"u1,,,,,,Bj\xf6rn",
                "letters in line 2 that cannot be read",
            ),
            ("users.csv", f"{USERS}\nu\0", "users.csv is no CSV file."),
            ("classes.csv", 'sourcedId,title\nc1,"Chem', "classes.csv cannot be read from line 2 on"),
        ],
    )
    def test_a_table_that_cannot_be_read(self, table: str, text: str | bytes, sentence: str) -> None:
        tables: dict[str, str | bytes] = {
            "manifest.csv": manifest(),
            "users.csv": USERS,
            "classes.csv": "sourcedId,title",
            "enrollments.csv": ENROLLMENTS,
        }
        assert sentence in refusal(zipped({**tables, table: text}))

    def test_a_table_twice(self) -> None:
        content = io.BytesIO(bundle(TWO, BOTH))
        with zipfile.ZipFile(content, "a") as more:
            more.writestr("Users.csv", USERS)
        assert refusal(content.getvalue()) == "users.csv is in the zip file twice."

    def test_a_bomb_is_never_unpacked(self) -> None:
        """40 MB of nothing pack into 40 kB."""
        content = zipped({"manifest.csv": manifest(), "users.csv": b"0" * 40_000_000})
        assert len(content) < 100_000
        assert refusal(content) == "users.csv is too large."

    def test_too_much(self, monkeypatch: pytest.MonkeyPatch) -> None:
        assert refusal(b"PK\x03\x04" + b"0" * oneroster.MOST_ZIPPED) == "The file is too large for a roster."
        many = [user(f"u{place}", "Ines") for place in range(oneroster.MOST_ROWS + 1)]
        assert refusal(bundle(many)) == "users.csv has more than 10000 rows."

    def test_a_class_of_too_many(self) -> None:
        users = [user(f"u{place}", "Ines") for place in range(1001)]
        lines = [enrolment(f"e{place}", f"u{place}") for place in range(1001)]
        assert "has more than 1000 students" in refusal(bundle(users, lines))


def test_a_class_survives_the_page_that_asks_which_it_is() -> None:
    content = bundle([*TWO, user("u3", "Zoë 'Z' <b>")], [*BOTH, enrolment("e3", "u3"), enrolment("e4", "u9")])
    found = only(read_bundle(content))
    assert class_from_text(found.as_text()) == found


@pytest.mark.parametrize("text", ["", "[]", "{}", "null", '{"rows": 3}', "[" * 100_000])
def test_nonsense_in_its_place_is_refused(text: str) -> None:
    with pytest.raises(RosterError):
        class_from_text(text)
