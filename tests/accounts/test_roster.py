"""Reading a roster: what spreadsheets save, and every fault named with its line."""

import codecs

import pytest

from accounts.roster import MOST_BYTES, MOST_ROWS, Roster, RosterError, Row, as_text, read_roster

GOOD = "name,sign-in name\nInes M.,ines.m\nBruno,bruno3\n"
ROWS = (Row(2, "Ines M.", "ines.m"), Row(3, "Bruno", "bruno3"))


def read(text: str) -> Roster:
    return read_roster(text.encode())


def fault(row: str, heading: str = "name,sign-in name") -> str:
    """The reason why a row is refused, after one that is not."""
    found = read(f"{heading}\nInes,ines\n{row}\n")
    [only] = found.faults
    assert only.line == 3
    assert only.text == row
    assert [each.username for each in found.rows] == ["ines"]
    return only.reason


class TestFilesOfSpreadsheets:
    """Common practice: what the usual spreadsheets write under “CSV”, “CSV UTF-8” and “Unicode text”."""

    @pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
    @pytest.mark.parametrize("delimiter", [",", ";", "\t"])
    def test_line_ends_and_delimiters(self, end: str, delimiter: str) -> None:
        assert read(GOOD.replace(",", delimiter).replace("\n", end)).rows == ROWS

    def test_the_mark_of_utf_8(self) -> None:
        assert read_roster(codecs.BOM_UTF8 + GOOD.encode()).rows == ROWS

    @pytest.mark.parametrize(
        ("mark", "name"), [(codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be")]
    )
    def test_utf_16_with_its_mark(self, mark: bytes, name: str) -> None:
        assert read_roster(mark + GOOD.encode(name)).rows == ROWS

    def test_letters_of_other_scripts(self) -> None:
        found = read("name,sign-in name\nZoë Łęcka,zoë\nАнна,анна\n")
        assert [row.name for row in found.rows] == ["Zoë Łęcka", "Анна"]

    def test_quotes_commas_in_quotes_and_needless_columns(self) -> None:
        found = read('No,"Name",Sign_in_name,Room\n1,"Lee, Ines",ines,7\n2,"He said ""hi""",bruno,8\n')
        assert [row.name for row in found.rows] == ["Lee, Ines", 'He said "hi"']

    @pytest.mark.parametrize("heading", ["Student;Login", "FULL NAME;User name", "display_name;USERNAME"])
    def test_headings_by_other_words(self, heading: str) -> None:
        assert read(f"{heading}\nInes;ines\n").rows == (Row(2, "Ines", "ines"),)

    def test_columns_in_the_other_order(self) -> None:
        assert read("username,name\nines,Ines\n").rows == (Row(2, "Ines", "ines"),)

    def test_empty_lines_are_passed_over_and_lines_keep_their_numbers(self) -> None:
        assert read("\nname,sign-in name\n\n,\nInes,ines\n\n").rows == (Row(5, "Ines", "ines"),)

    def test_spaces_and_case_are_put_in_order(self) -> None:
        assert read("name,username\n  Ines   M. , INES.M \n").rows == (Row(2, "Ines M.", "ines.m"),)

    def test_what_is_written_again_reads_the_same(self) -> None:
        rows = read('name,username\n"Lee, Ines",ines\nBruno,bruno\n').rows
        assert read(as_text(rows)).rows == rows


class TestFaults:
    @pytest.mark.parametrize(
        ("row", "reason"),
        [
            (",bruno", "The name is missing."),
            ("Bruno,", "The sign-in name is missing."),
            ("Bruno", "Columns are missing."),
            ("Lee, Bruno,bruno", "It has more columns than the first line"),
            ("Bruno,bru no", "Use letters, digits"),
            ("Bruno,.bruno", "Use letters, digits"),
            ("Bruno," + "b" * 41, "at most 40 characters"),
            ("B" * 61 + ",bruno", "at most 60 characters"),
            ('"Bruno,bruno', "A quotation mark is left open"),
            ('Bruno,"bruno"x', "A quotation mark is left open"),
            ("Br\x07uno,bruno", "signs that are no letters"),
            ("Another,INES", "The sign-in name ines stands in line 2 already."),
        ],
    )
    def test_each_is_named_with_its_line_and_the_others_are_read(self, row: str, reason: str) -> None:
        assert reason in fault(row)

    def test_letters_in_another_encoding_spoil_their_own_row_only(self) -> None:
        content = "name;username\nZoë;zoë\n".encode() + "Jörg;joerg\n".encode("cp1252") + b"Ines;ines\n"
        found = read_roster(content)
        assert [row.username for row in found.rows] == ["zoë", "ines"]
        assert [(each.line, each.text) for each in found.faults] == [(3, "J\ufffdrg;joerg")]
        assert "CSV UTF-8" in found.faults[0].reason

    def test_an_open_quote_swallows_no_other_row(self) -> None:
        found = read('name,username\n"Ines,ines\nBruno,bruno\n')
        assert [row.username for row in found.rows] == ["bruno"]
        assert [each.line for each in found.faults] == [2]


class TestFilesOfNoUse:
    @pytest.mark.parametrize(
        ("content", "reason"),
        [
            (b"", "The file is empty."),
            (b"\n ,\n", "The file is empty."),
            (b"name,username\n", "no students"),
            (b"Ines,ines\nBruno,bruno\n", "Not found: name, sign-in name."),
            (b"name,room\nInes,7\n", "Not found: sign-in name."),
            (b'"name,username\nInes,ines\n', "A quotation mark"),
            (b"PK\x03\x04\x00\x00\x08\x00", "This is no CSV file."),
            (b"x" * (MOST_BYTES + 1), "too large"),
            (b"name,username\n" + b"Ines,ines\n" * (MOST_ROWS + 2), "more than 1000 lines"),
        ],
    )
    def test_one_sentence_says_why(self, content: bytes, reason: str) -> None:
        with pytest.raises(RosterError, match=reason):
            read_roster(content)
