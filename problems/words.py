"""The language of every sentence and number that `problems` writes.

The language is a context variable, set by whoever serves a reader; keys, codes and machine output
never pass through here. Sentences are marked with `_` and filled with `.format`, so that a
translator sees whole sentences: `_("{element} does not balance").format(element="Cu")`.
"""

import gettext
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from math import floor, isfinite, log10
from pathlib import Path

from problems import conventions

LOCALE_DIR = Path(__file__).parent / "locale"
DECIMAL_SIGN = {"en": ".", "de": ",", "es": ","}
MINUS = "\N{MINUS SIGN}"
SUPERSCRIPTS = str.maketrans("+-0123456789", "⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹")

_language: ContextVar[str] = ContextVar("language", default="en")


@contextmanager
def language(code: str) -> Iterator[None]:
    """Write sentences in `code` ("en", ...) inside the block."""
    token = _language.set(code)
    try:
        yield
    finally:
        _language.reset(token)


def current_language() -> str:
    return _language.get()


@lru_cache(maxsize=16)
def _catalogue(code: str) -> gettext.NullTranslations:
    return gettext.translation("problems", LOCALE_DIR, [code], fallback=True)


def _(sentence: str) -> str:
    """The sentence in the reader's language."""
    return conventions.sentence(_catalogue(_language.get()).gettext(sentence))


def mark(sentence: str) -> str:
    """The sentence as it is: it stands in a table, is collected there for translators, and goes through
    `_` where it is shown."""
    return sentence


def ngettext(singular: str, plural: str, count: int) -> str:
    """The sentence for `count` things in the reader's language."""
    return conventions.sentence(_catalogue(_language.get()).ngettext(singular, plural, count))


def number(value: float, figures: int = 3) -> str:
    """`value` to `figures` significant figures as a reader expects it: 0.0224, 1250, 6.02 × 10²³.

    Trailing zeros that count are kept (`number(0.1, 2)` is "0.10"); powers of ten are used where
    plain digits would be long or would hide which figures count.
    """
    if not isfinite(value):
        raise ValueError(f"{value} is not a number to show")
    if value == 0:
        return "0"
    rounded = float(f"{value:.{figures - 1}e}")
    exponent = floor(log10(abs(rounded)))
    if -4 <= exponent < max(figures, 4):
        text = f"{rounded:.{max(figures - 1 - exponent, 0)}f}"
    else:
        mantissa, power = f"{rounded:.{figures - 1}e}".split("e")
        text = f"{mantissa} × 10{str(int(power)).translate(SUPERSCRIPTS)}"
    return _localised(text)


def decimals(value: float, places: int = 1) -> str:
    """`value` with a fixed number of decimals, as for a pH or a temperature."""
    return _localised(f"{value:.{places}f}")


def _localised(text: str) -> str:
    sign = conventions.current().decimal or DECIMAL_SIGN.get(_language.get(), ".")
    return text.replace("-", MINUS).replace(".", sign)
