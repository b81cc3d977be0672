"""Log lines: readable by machine, and nothing in them that a person typed."""

import json
import logging

from quizzes.logs import LineFormatter


def line(record: logging.LogRecord) -> dict[str, object]:
    text = LineFormatter().format(record)
    assert "\n" not in text
    return json.loads(text)


def test_a_line_is_one_json_object() -> None:
    record = logging.LogRecord(
        "django.request", logging.WARNING, "f.py", 1, "Not Found: %s", ("/a\nb",), None
    )
    record.status_code = 404
    found = line(record)
    assert found.pop("at")
    assert found == {
        "level": "WARNING",
        "logger": "django.request",
        "message": "Not Found: /a\nb",
        "status": 404,
    }


def test_an_error_tells_its_kind_and_place_but_not_its_words() -> None:
    try:
        int("what Ines typed")
    except ValueError as error:
        info = (ValueError, error, error.__traceback__)
    record = logging.LogRecord("django.request", logging.ERROR, "f.py", 1, "Internal Server Error", (), info)
    found = line(record)
    assert found["error"] == "ValueError"
    assert "test_an_error_tells" in str(found["trace"])
    assert "Ines" not in json.dumps(found)
