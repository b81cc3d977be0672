"""When answers are alike: the same was asked, and the answer was read the same and judged the same.

What was asked is compared as it stood before the student (cell, texts, key), not by its seed: own numbers
that do not change the question leave answers alike. The verdict is in it because a part that carries
earlier results may judge the same text differently.
"""

import json
from hashlib import sha256

from problems.question import Part
from quizzes.snapshots import Snapshot


def likeness(snapshot: Snapshot, part: int, said: str, verdict: str) -> int:
    """A number that like answers share [63 bits]; `said` is the reading, or what was typed without one."""
    asked = [dict(snapshot.setup), snapshot.lead, _essence(snapshot.parts[part])]
    text = json.dumps([asked, said, verdict], sort_keys=True, default=str)
    return int.from_bytes(sha256(text.encode()).digest()[:8]) >> 1


def _essence(part: Part) -> list[object]:
    options = [(option.key, option.text) for option in part.options]
    return [part.prompt, dict(part.grading), options, part.formula]
