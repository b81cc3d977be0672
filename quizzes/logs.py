"""One JSON object a line, with nothing in it that a person typed and no one's name or address."""

import json
import logging
from datetime import UTC, datetime


class LineFormatter(logging.Formatter):
    """Level, logger, time and message; for an error its type and the places it passed through.

    The text of an exception is left out: it may quote an answer.
    """

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, object] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "message": record.getMessage(),
        }
        if record.exc_info and record.exc_info[0]:
            line["error"] = record.exc_info[0].__name__
            line["trace"] = _places(record)
        status = getattr(record, "status_code", None)
        if status:
            line["status"] = status
        return json.dumps(line, ensure_ascii=False)


def _places(record: logging.LogRecord) -> list[str]:
    places = []
    step = record.exc_info[2] if record.exc_info else None
    while step:
        code = step.tb_frame.f_code
        places.append(f"{code.co_filename}:{step.tb_lineno} {code.co_name}")
        step = step.tb_next
    return places
