"""Numbers as students type them: decimal comma or point, thousands, fractions, powers of ten.

A mark can be read two ways now and then (1,250 is 1250 or 1.25); then all readings are given, the one
that the rule prefers first. Exact values: nothing passes through binary floating point.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from problems import words

GREATEST_POWER = 99
MOST_DIGITS = 40
"""Of one number: more than any calculator shows, and far inside the range of floats."""
VULGAR = {
    "½": (1, 2), "⅓": (1, 3), "⅔": (2, 3), "¼": (1, 4), "¾": (3, 4), "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5),
    "⅘": (4, 5), "⅙": (1, 6), "⅚": (5, 6), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8),
}  # fmt: skip
FROM_SUPERSCRIPTS = str.maketrans("⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "+-0123456789")

RUN = re.compile(
    r"(?:[0-9]+(?:[.,'’][0-9]+|[ ][0-9]{3}(?![0-9]))*|[.,][0-9]+(?:[ ][0-9]{3}(?![0-9]))*)(?:\.(?![0-9]))?"
)
_VULGAR = re.compile(rf"([0-9]{{0,4}}) ?([{''.join(VULGAR)}])")
_FRACTION = re.compile(r"(?:([0-9]{1,4}) )?([0-9]{1,12}) ?/ ?([0-9]{1,12})(?![0-9.,])")
_E_POWER = re.compile(r"[eE]([+-]?[0-9]+)| [eE]([+-][0-9]+)")
_INTEGER = r"([+-]? ?[0-9]+)"
_RAISED = (
    rf"(?: ?(?:\^|\*\*) ?(?:\{{ ?{_INTEGER} ?\}}|\( ?{_INTEGER} ?\)|{_INTEGER})"
    r"| ?\^?([⁺⁻]?[⁰¹²³⁴-⁹]+))"
)
_TEN_POWER = re.compile(rf"(?: ?(?:[xX×·*]) ?| )10(?:{_RAISED}|([+-][0-9]+)(?![0-9.,]))")
_BARE_TEN = re.compile(rf"10{_RAISED}")
_GROUPED = re.compile(r"[0-9]{1,3}(?:[ '’][0-9]{3})+|[0-9]+")


@dataclass(frozen=True, slots=True)
class Number:
    """One reading of a typed number: its exact value, its digits, the power of ten written behind.

    `figures` are the fewest and the most significant figures it may be meant to have (trailing zeros
    without a point count either way); None where it has none to count, as a fraction or a zero.
    """

    value: Fraction
    digits: str
    power: int | None = None
    figures: tuple[int, int] | None = None

    @property
    def shown(self) -> str:
        """The number in the reader's language: 1250, 2.24 × 10⁻²."""
        mark = words.DECIMAL_SIGN.get(words.current_language(), ".")
        text = self.digits.replace("-", words.MINUS).replace(".", mark)
        if self.power is None:
            return text
        return f"{text} × 10{str(self.power).translate(words.SUPERSCRIPTS)}"

    def times(self, scale: Fraction) -> "Number":
        """The value multiplied, though it was typed so."""
        return Number(self.value * scale, self.digits, self.power, self.figures)

    def negated(self) -> "Number":
        return Number(-self.value, f"-{self.digits}", self.power, self.figures)


def numbers_at(text: str, start: int) -> tuple[list[Number], int]:
    """All readings of the unsigned number that begins at `start`, and where it ends.

    >>> [str(number.value) for number in numbers_at("1,250 s", 0)[0]]
    ['1250', '5/4']
    """
    for reader in (_vulgar_at, _fraction_at, _bare_ten_at, _decimal_at):
        found, end = reader(text, start)
        if found:
            return found, end
    return [], start


def run_readings(run: str) -> list[str]:
    """The readings of digits with marks between, as plain decimal texts, the preferred one first.

    >>> run_readings("1.250,5"), run_readings("1,250"), run_readings("0,250")
    (['1250.5'], ['1250', '1.250'], ['0.250'])
    """
    points, commas = run.count("."), run.count(",")
    if points and commas:
        return _two_marks(run)
    mark = "." if points else ","
    if points + commas > 1:
        return _thousands(run, mark)
    readings = _decimal(run, mark)
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", run):
        readings.insert(0, run.replace(",", ""))
    return readings


def significant(digits: str) -> tuple[int, int] | None:
    """Fewest and most significant figures of a plain decimal text.

    >>> significant("0.0224"), significant("1200"), significant("0")
    ((3, 3), (2, 4), None)
    """
    bare = digits.replace(".", "").lstrip("0")
    if not bare:
        return None
    return (len(bare) if "." in digits else len(bare.rstrip("0"))), len(bare)


def _vulgar_at(text: str, start: int) -> tuple[list[Number], int]:
    match = _VULGAR.match(text, start)
    if not match:
        return [], start
    value = int(match[1] or 0) + Fraction(*VULGAR[match[2]])
    return [Number(value, match[1] + match[2])], match.end()


def _fraction_at(text: str, start: int) -> tuple[list[Number], int]:
    match = _FRACTION.match(text, start)
    if not match or not int(match[3]):
        return [], start
    value = int(match[1] or 0) + Fraction(int(match[2]), int(match[3]))
    return [Number(value, match.group())], match.end()


def _bare_ten_at(text: str, start: int) -> tuple[list[Number], int]:
    match = _BARE_TEN.match(text, start)
    power = _power(match) if match else None
    if match is None or power is None:
        return [], start
    return [Number(Fraction(10) ** power, "1", power, (1, 1))], match.end()


def _decimal_at(text: str, start: int) -> tuple[list[Number], int]:
    run = RUN.match(text, start)
    if not run or len(run.group()) > MOST_DIGITS:
        return [], start
    match = _E_POWER.match(text, run.end()) or _TEN_POWER.match(text, run.end())
    power = _power(match) if match else 0
    if power is None:
        return [], start
    end = match.end() if match else run.end()
    return list(_decimals(run.group(), power, match is not None)), end


def _decimals(run: str, power: int, shown: bool) -> Iterator[Number]:
    for digits in run_readings(run):
        whole, _, rest = digits.partition(".")
        value = _powered(int(whole + rest), power - len(rest))
        yield Number(value, digits.rstrip("."), power if shown else None, significant(digits))


def _powered(value: int, power: int) -> Fraction:
    """The value times that power of ten."""
    return Fraction(value * 10**power) if power >= 0 else Fraction(value, 10**-power)


def _power(match: re.Match[str]) -> int | None:
    """The exponent that matched, or None where it is beyond all sense."""
    digits = next(group for group in match.groups() if group)
    digits = digits.translate(FROM_SUPERSCRIPTS).replace(" ", "")
    if len(digits.lstrip("+-0")) > 2:
        return None
    return int(digits)


def _two_marks(run: str) -> list[str]:
    mark = max(".,", key=run.rindex)
    other = "," if mark == "." else "."
    whole, _, rest = run.partition(mark)
    groups = _thousands(whole, other)
    return [f"{groups[0]}.{rest}"] if groups and mark not in rest and other not in rest else []


def _thousands(run: str, mark: str) -> list[str]:
    """The run with `mark` between groups of three digits."""
    well_formed = re.fullmatch(rf"[0-9]{{1,3}}(?:{re.escape(mark)}[0-9]{{3}})+", run)
    return [run.replace(mark, "")] if well_formed else []


def _decimal(run: str, mark: str) -> list[str]:
    """The run with `mark`, if it is there, before the decimals; spaces part groups of three."""
    whole, found, rest = run.partition(mark)
    if whole and not _GROUPED.fullmatch(whole):
        return []
    if rest and not re.fullmatch(r"(?:[0-9]{3} )*[0-9]+", rest):
        return []
    whole = re.sub(r"[ '’]", "", whole)
    return [f"{whole or '0'}{'.' if found else ''}{rest.replace(' ', '')}"]
