"""DEVELOPERS.md shows the house as it is."""

import re
import subprocess
from pathlib import Path

from problems.registry import graph

ROOT = Path(__file__).parent.parent
PAGE = (ROOT / "DEVELOPERS.md").read_text()


def test_the_graph_of_skills_is_the_one_in_the_registry() -> None:
    drawn = re.search(r"```mermaid\n(.*?)\n```", PAGE, re.DOTALL)
    assert drawn is not None
    assert drawn[1] == graph().strip()


def test_every_path_it_names_is_there() -> None:
    named = set(re.findall(r"`((?:problems|quizzes|accounts|tests|fixtures)/[\w/.]*\w/?)`", PAGE))
    missing = [path for path in named if not (ROOT / path.rstrip("/")).exists()]
    assert named
    assert missing == []


def test_the_top_level_is_what_it_says() -> None:
    tree = re.search(r"^    README\.md.*?\n\n", PAGE, re.DOTALL | re.MULTILINE)
    assert tree is not None
    named = {line.split()[0].rstrip("/") for line in tree[0].strip().splitlines()}
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    found = {path.split("/")[0] for path in tracked.stdout.split()}
    assert {name for name in found if not name.startswith(".")} == named - {".ci"}
