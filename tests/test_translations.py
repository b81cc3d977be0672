"""The German of the pages: complete, with every field kept, and compiled as it stands.

What has to be in the catalogue is found by the same tools that collect it for translators: the pages go
through the framework's own extractor, fragments through that of Jinja, the code is read as Python.
"""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_file
from babel.messages.mofile import read_mo
from babel.messages.pofile import read_po
from django.conf import settings
from django.utils.translation.template import templatize

APPS = ("accounts", "quizzes")
MARKS = {"_", "gettext", "gettext_lazy", "ngettext", "ngettext_lazy"}
FIELD = re.compile(r"%\(\w+\)[sd]|\{\w+\}|%%|</?\w+>")


@cache
def catalogue(app: str) -> Catalog:
    with (folder(app) / "django.po").open("rb") as source:
        return read_po(source, locale="de")


def folder(app: str) -> Path:
    return Path(settings.BASE_DIR) / app / "locale" / "de" / "LC_MESSAGES"


def texts(message: Any) -> tuple[str, ...]:
    return (message,) if isinstance(message, str) else tuple(message)


def marked(source: str) -> Iterator[str]:
    """The first text of every call that marks a sentence."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in MARKS and node.args:
            first = node.args[0]
            if isinstance(first, ast.Constant) and isinstance(first.value, str):
                yield first.value


def calls_in(template: str) -> Iterator[str]:
    """The sentences of a template, which the framework rewrites as calls for extractors."""
    for found in re.finditer(
        r"""n?gettext\((u?(?P<quoted>'(?:[^'\\]|\\.)*'|"(?:[^"\\]|\\.)*"))""", templatize(template)
    ):
        yield ast.literal_eval(found["quoted"])


def of_fragments(app: str) -> set[tuple[str, ...]]:
    """The sentences of the fragments, each with its plural where it has one."""
    paths = (Path(settings.BASE_DIR) / app).glob("jinja2/**/*.html")
    keywords = {"_": None, "gettext": None, "ngettext": (1, 2)}
    found = [
        extract_from_file("jinja2.ext:babel_extract", path, keywords, options={"silent": "no"})
        for path in paths
    ]
    return {texts(message) for lines in found for _, message, _, _ in lines}


def of_app(app: str) -> set[str]:
    root = Path(settings.BASE_DIR) / app
    found = {text for path in root.rglob("*.py") for text in marked(path.read_text(encoding="utf-8"))}
    templates = [*root.glob("templates/**/*.html"), *root.glob("templates/**/*.svg")]
    pages = [path.read_text(encoding="utf-8") for path in templates]
    found |= {text for page in pages for text in calls_in(page)}
    return found | {message[0] for message in of_fragments(app)}


@pytest.mark.parametrize("app", APPS)
def test_every_sentence_stands_in_the_catalogue(app: str) -> None:
    # The extractor of Python code leaves an escaped space as it is spelled.
    known = {texts(message.id)[0].replace("\\u00a0", "\u00a0") for message in catalogue(app)}
    sentences = of_app(app)
    assert len(sentences) > 100
    assert sentences - known == set()


def test_the_fragments_are_among_them_with_their_plurals() -> None:
    known = {texts(message.id) for message in catalogue("quizzes")}
    sentences = of_fragments("quizzes")
    assert {len(each) for each in sentences} == {1, 2}
    assert len(sentences) > 40
    assert sentences - known == set()


@pytest.mark.parametrize("app", APPS)
def test_nothing_is_left_untranslated_and_every_field_is_kept(app: str) -> None:
    for message in catalogue(app):
        if message.id:
            assert all(texts(message.string)), message.id
            assert not message.fuzzy, message.id
            fields = set(FIELD.findall(" ".join(texts(message.id))))
            assert set(FIELD.findall(" ".join(texts(message.string)))) == fields, message.id


@pytest.mark.parametrize("app", APPS)
def test_the_compiled_catalogue_is_that_of_the_readable_one(app: str) -> None:
    with (folder(app) / "django.mo").open("rb") as source:
        compiled = {texts(message.id): texts(message.string) for message in read_mo(source) if message.id}
    written = {texts(message.id): texts(message.string) for message in catalogue(app) if message.id}
    assert compiled == written


def test_plural_forms_of_german() -> None:
    """One form for one, another for none and many: as the plural rules of the Unicode CLDR have it."""
    for app in APPS:
        assert catalogue(app).num_plurals == 2
        assert catalogue(app).plural_expr.strip("()") == "n != 1"
