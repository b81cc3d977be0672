"""The simulate command: the shape of its JSON, its text, its errors."""

import json
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

MEASURES = {"log_loss", "auc", "ece"}
METHODS = {"ours_start", "ours_cold", "ours_tuned_30", "ours_tuned_300", "elo", "pfa", "bkt", "oracle"}
POLICIES = {"random", "in_turn", "greedy", "ours"}


def run(capsys: pytest.CaptureFixture[str], **options: Any) -> str:
    call_command("simulate", stdout=StringIO(), **{"students": "60", "answers": "30", **options})
    return capsys.readouterr().out


def test_the_shape_of_the_json(capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(run(capsys, json=True))
    assert list(found) == ["students", "answers", "seed", "learners", "cost_us"]
    assert (found["students"], found["answers"], found["seed"]) == (60, 30, 1)
    assert list(found["learners"]) == ["own", "own_band", "stepwise", "misfit"]
    assert set(found["learners"]["own_band"]) == {"learning"}
    for name in ("own", "stepwise", "misfit"):
        parts = found["learners"][name]
        assert set(parts) == {"prediction", "finding", "intervals", "flag", "learning", "class"}
        assert set(parts["prediction"]) == METHODS
        assert all(set(each) == MEASURES for each in parts["prediction"].values())
        assert set(parts["finding"]) == POLICIES
        assert set(parts["intervals"]) == {"10", "20", "50"}
        assert set(parts["flag"]) == {"precision", "recall_20"}
        assert set(parts["learning"]) == POLICIES
        assert set(parts["learning"]["ours"]) == {"exam_mean", "worst_topic", "all_above_06"}
        assert set(parts["class"]) == {"within_003", "coverage"}
    assert set(found["cost_us"]) == {"update", "choose_60", "report", "class_30"}
    assert all(cost > 0 for cost in found["cost_us"].values())


def test_only_the_parts_and_learners_that_were_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(run(capsys, json=True, learners="misfit,own_band", part="class, learning"))
    assert {name: list(parts) for name, parts in found["learners"].items()} == {
        "misfit": ["learning", "class"],
        "own_band": ["learning"],
    }
    assert "cost_us" not in found


def test_the_text_is_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    text = run(capsys, learners="own", part="prediction,intervals,cost")
    assert text.startswith("Students of the world own")
    assert "ours_cold is a class nobody knew, refitted every night" in text
    assert "Cost on this machine" in text


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        ({"students": "many"}, "students must be a whole number, not 'many'."),
        ({"students": "3"}, "students must be from 10 to 100000, not 3."),
        ({"answers": "1e9"}, "answers must be a whole number, not '1e9'."),
        ({"seed": "-4"}, "seed must be 0 or more, not -4."),
        ({"learners": "own,other"}, "learners must be among own, own_band, stepwise, misfit, not 'other'."),
        ({"part": ""}, "part must name a part, not ''."),
    ],
)
def test_nonsense_is_one_sentence_and_status_2(options: dict[str, str], sentence: str) -> None:
    with pytest.raises(CommandError) as caught:
        call_command("simulate", **options)
    assert str(caught.value) == sentence
    assert caught.value.returncode == 2


def test_no_database_is_needed(capsys: pytest.CaptureFixture[str]) -> None:
    """Without the `db` fixture any query would fail."""
    assert run(capsys, learners="own", part="flag")
