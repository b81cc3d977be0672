"""`manage.py grade`: a stream in, a stream out, exit status, and what goes wrong around it.

Source: the grading rules (fields, one for one, exit status 1, ASCII) and the list of commands.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

ROOT = Path(__file__).parents[2]
GRADE = [sys.executable, "manage.py", "grade"]
RIGHT = {"id": "1", "kind": "quantity", "answer": "2.24×10⁻² L", "expected": "22.4 mL"}


def run(*arguments: str, given: bytes = b"") -> "subprocess.CompletedProcess[bytes]":
    return subprocess.run(
        [*GRADE, *arguments], cwd=ROOT, input=given, capture_output=True, timeout=60, check=False
    )


def lines(*cases: object) -> bytes:
    return b"".join(json.dumps(case).encode() + b"\n" for case in cases)


def test_standard_input_is_graded_line_by_line_in_ascii() -> None:
    done = run(given=lines(RIGHT, RIGHT | {"id": "2", "answer": "3 L"}))
    assert (done.returncode, done.stderr) == (0, b"")
    first, second = (json.loads(line) for line in done.stdout.decode("ascii").splitlines())
    assert (first["id"], first["verdict"], first["reading"]) == ("1", "correct", "2.24 × 10⁻² L")
    assert (second["id"], second["verdict"]) == ("2", "wrong")


def test_a_file_is_graded_too(tmp_path: Path) -> None:
    file = tmp_path / "cases.jsonl"
    file.write_bytes(lines(RIGHT))
    done = run(str(file))
    assert done.returncode == 0
    assert json.loads(done.stdout)["score"] == 1


def test_one_bad_line_gives_status_1_and_the_others_are_graded() -> None:
    done = run(
        given=b"\xef\xbb\xbf" + lines(RIGHT)[:-1] + b"\r\n\n\xff\n{\n" + lines(RIGHT | {"kind": "x"}, RIGHT)
    )
    results = [json.loads(line) for line in done.stdout.splitlines()]
    assert done.returncode == 1
    assert ["error" in result for result in results] == [False, True, True, True, True, False]
    assert done.stderr == b""


def test_nothing_in_nothing_out() -> None:
    done = run()
    assert (done.returncode, done.stdout, done.stderr) == (0, b"", b"")


def test_half_a_surrogate_pair_comes_through() -> None:
    done = run(given=b'{"id": "\\ud800", "kind": "choice", "answer": ["\\udfff"], "expected": ["a"]}\n')
    assert json.loads(done.stdout)["id"] == "\ud800"


@pytest.mark.parametrize("name", ["missing.jsonl", "."])
def test_a_file_that_cannot_be_read_is_one_sentence_and_status_2(tmp_path: Path, name: str) -> None:
    done = run(str(tmp_path / name))
    assert (done.returncode, done.stdout) == (2, b"")
    assert done.stderr.count(b"\n") == 1
    assert b"Traceback" not in done.stderr


def test_a_reader_that_goes_away_is_no_traceback(tmp_path: Path) -> None:
    file = tmp_path / "cases.jsonl"
    file.write_bytes(lines(RIGHT) * 3000)
    done = subprocess.run(
        f"{sys.executable} manage.py grade {file} | head -n 1",
        shell=True, cwd=ROOT, capture_output=True, timeout=120, check=False,
    )  # fmt: skip
    assert json.loads(done.stdout)["id"] == "1"
    assert done.stderr == b""


def test_results_come_while_the_input_is_still_open() -> None:
    with subprocess.Popen(GRADE, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write(lines(RIGHT))
        process.stdin.flush()
        assert json.loads(process.stdout.readline())["verdict"] == "correct"
        process.stdin.close()
        assert process.wait(timeout=60) == 0


def test_no_database_is_touched(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Without the `db` fixture any query would fail."""
    file = tmp_path / "cases.jsonl"
    file.write_bytes(lines(RIGHT))
    call_command("grade", str(file))
    assert json.loads(capsys.readouterr().out)["verdict"] == "correct"
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("grade", str(tmp_path / "missing.jsonl"))


def test_help_names_what_goes_in() -> None:
    done = run("--help")
    assert done.returncode == 0
    assert b"JSON Lines" in done.stdout
