"""One case of the grading rules in, one verdict out; and the same for a stream of JSON Lines.

A case is a mapping with `kind`, `answer`, `expected` and the fields of its kind. The key is read once
(`prepare`) and then judges as many answers as wanted.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any, BinaryIO

from problems.errors import ProblemError
from problems.grading import fields
from problems.grading.choices import ChoiceKey, grade_choice
from problems.grading.equations import EquationKey, grade_equation
from problems.grading.expressions import ExpressionKey, grade_expression
from problems.grading.fields import Case, CaseError
from problems.grading.formulas import FormulaKey, grade_formula
from problems.grading.oxidation_numbers import OxidationKey, grade_oxidation_number
from problems.grading.quantities import QuantityKey, grade_quantity
from problems.grading.ratios import RatioKey, grade_ratio
from problems.grading.verdict import Verdict
from problems.words import _

LONGEST_LINE = 1_000_000
"""Of a stream [bytes]: far more than any case needs, so that one line cannot fill the memory."""
MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"
"""The byte-order mark."""


@dataclass(frozen=True, slots=True)
class KindOfAnswer:
    """How one kind of answer is prepared and judged."""

    read_key: Callable[[Case], Any]
    judge: Callable[[Any, Any], Verdict]
    read_answer: Callable[[Case, str], Any] = fields.text


@dataclass(frozen=True, slots=True)
class Prepared:
    """A key read once; `grade` judges one answer after the other."""

    kind: str
    key: Any

    def grade(self, answer: str | list[str]) -> Verdict:
        """The verdict on an answer; raises CaseError where it is of the wrong type."""
        kind = KINDS[self.kind]
        return kind.judge(kind.read_answer({"answer": answer}, "answer"), self.key)


KINDS: Mapping[str, KindOfAnswer] = {
    "equation": KindOfAnswer(EquationKey.from_case, grade_equation),
    "formula": KindOfAnswer(FormulaKey.from_case, grade_formula),
    "quantity": KindOfAnswer(QuantityKey.from_case, grade_quantity),
    "expression": KindOfAnswer(ExpressionKey.from_case, grade_expression),
    "ratio": KindOfAnswer(RatioKey.from_case, grade_ratio),
    "oxidation_number": KindOfAnswer(OxidationKey.from_case, grade_oxidation_number),
    "choice": KindOfAnswer(ChoiceKey.from_case, grade_choice, fields.texts),
}


def prepare(case: Case) -> Prepared:
    """Read the key of a case; raises CaseError, one plain sentence, where it cannot be read."""
    kind = fields.one_of(case, "kind", tuple(KINDS))
    try:
        return Prepared(kind, KINDS[kind].read_key(case))
    except CaseError:
        raise
    except ProblemError as error:
        raise CaseError(_("The key does not read: {reason}").format(reason=error)) from error


def grade(case: Case) -> Verdict:
    """Judge one case.

    >>> grade({"kind": "quantity", "answer": "22,4 mL", "expected": "0.0224 L"}).verdict
    'correct'

    Raises CaseError for a field that is absent or of a wrong type, an unknown kind or role, or a key
    that does not read.
    """
    if "answer" not in case:
        raise CaseError(_("The field “{name}” is missing.").format(name="answer"))
    return prepare(case).grade(case["answer"])


def grade_lines(lines: Iterable[bytes]) -> Iterator[dict[str, Any]]:
    """Judge JSON Lines one by one: each line gives a verdict, or what is amiss with that line.

    One line in, one mapping out, in order, and nothing of earlier lines is kept.
    """
    for line in lines:
        identity: str | None = None
        try:
            case = _case_of(line)
            identity = _identity(case)
            verdict = grade({**case, "id": fields.text(case, "id")})
        except CaseError as error:
            yield {"id": identity, "error": str(error)}
        else:
            yield {"id": identity, **as_mapping(verdict)}


def lines_of(stream: BinaryIO) -> Iterator[bytes]:
    """The lines of a stream; of one that is too long only the beginning, which is still too long."""
    while line := stream.readline(LONGEST_LINE + 1):
        rest = line
        while len(rest) > LONGEST_LINE and not rest.endswith(b"\n"):
            rest = stream.readline(LONGEST_LINE + 1)
        yield line


def as_mapping(verdict: Verdict) -> dict[str, Any]:
    """A verdict as the output of the grading rules has it, less `id`."""
    found = asdict(verdict)
    score = {"verdict": found.pop("verdict"), "score": verdict.score}
    return {**score, **found, "codes": list(verdict.codes)}


def _identity(case: Case) -> str | None:
    found = case.get("id")
    return found if isinstance(found, str) else None


def _case_of(line: bytes) -> Case:
    if len(line) > LONGEST_LINE:
        raise CaseError(_("The line is longer than {limit} bytes.").format(limit=LONGEST_LINE))
    try:
        text = line.decode("utf-8").removeprefix(MARK).strip()
        if not text:
            raise CaseError(_("The line is empty."))
        case = json.loads(text, parse_constant=_refuse_constant)
    except UnicodeDecodeError:
        raise CaseError(_("The line is not valid UTF-8.")) from None
    except (json.JSONDecodeError, RecursionError):
        raise CaseError(_("The line is not valid JSON.")) from None
    except CaseError:
        raise
    except ValueError:
        raise CaseError(_("The line holds a number that cannot be read.")) from None
    if not isinstance(case, dict):
        raise CaseError(_("The line is not a JSON object."))
    return case


def _refuse_constant(name: str) -> float:
    raise json.JSONDecodeError(f"{name} is not JSON", name, 0)
