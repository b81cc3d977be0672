"""Fragments of the run page: the small pieces of HTML that every answer brings anew.

They are written in Jinja, which compiles a template to Python and renders these several times as fast as
Django's language does; whole pages stay in Django's, and show a fragment by the tag `fragment`. A fragment
is a macro, `part` in `jinja2/practice/part.html`, and what it shows are its arguments: one that is not
given is an error where it is used, and one that it does not take is an error at once. Each language has an
environment of its own, where sentences are put in when a fragment is compiled.
"""

from __future__ import annotations

import gettext
from collections.abc import Callable
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.template.loader import render_to_string
from django.urls import get_script_prefix, reverse
from django.utils.formats import localize
from django.utils.safestring import SafeString
from django.utils.timezone import localtime
from django.utils.translation import get_language
from django.utils.translation.trans_real import translation
from jinja2 import Environment, FileSystemLoader, StrictUndefined, nodes
from jinja2.visitor import NodeTransformer

from quizzes.practice import beside
from quizzes.templatetags import answers

FOLDER = Path(__file__).parent / "jinja2"
ANY = UUID(int=0)


def render(name: str, **given: object) -> SafeString:
    """The fragment in the reader's language, as the macro of this name makes it of what is given."""
    if settings.DEBUG:
        environment.cache_clear()
        _macro.cache_clear()
    return SafeString(_macro(name, get_language() or settings.LANGUAGE_CODE)(**given))


@cache
def _macro(name: str, language: str) -> Callable[..., str]:
    made: Callable[..., str] = getattr(
        environment(language).get_template(f"practice/{name}.html").module, name
    )
    return made


@cache
def environment(language: str) -> Environment:
    """What fragments find in a language: its sentences, and how verdicts, times and chances are written."""
    made = TranslatedEnvironment(
        translation(language),
        loader=FileSystemLoader(FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
    )
    made.globals.update(
        ngettext=made.catalogue.ngettext,
        url=url,
        page_part=page_part,
        sent_in_of=beside.sent_in_of,
        standing_rulings=beside.standing_rulings,
    )
    made.filters.update({each.__name__: each for each in FILTERS})
    return made


class TranslatedEnvironment(Environment):
    """An environment of one language: its templates are compiled with the sentences of a catalogue."""

    def __init__(self, catalogue: gettext.NullTranslations, **options: Any) -> None:
        super().__init__(**options)
        self.catalogue = catalogue

    def _generate(self, source: nodes.Template, *args: Any, **options: Any) -> str:
        """The library's hook between reading a template and making code of it."""
        return super()._generate(Translator(self.catalogue).visit(source), *args, **options)


class Translator(NodeTransformer):
    """Puts sentences of a catalogue in the place of the calls that ask for them.

    They are ours, and safe: `_("...")` is marked so here, a `trans` block does it by itself.
    """

    def __init__(self, catalogue: gettext.NullTranslations) -> None:
        self.catalogue = catalogue

    def visit_Call(self, node: nodes.Call) -> nodes.Node:  # noqa: N802
        name, first = getattr(node.node, "name", ""), node.args[0] if node.args else None
        if name not in ("_", "gettext") or not isinstance(first, nodes.Const):
            return self.generic_visit(node)
        sentence = nodes.Const(self.catalogue.gettext(first.value))
        return nodes.MarkSafe(sentence) if name == "_" else sentence


def url(name: str, public_id: UUID | None = None) -> str:
    """The address of this name; found once, and with the id put in where it has one."""
    if public_id is None:
        return _address(name, False, get_script_prefix())
    return _address(name, True, get_script_prefix()).replace(str(ANY), str(public_id))


@cache
def _address(name: str, has_id: bool, prefix: str) -> str:
    """Addresses begin with the prefix that the site is served under, so each prefix has its own."""
    return reverse(name, args=[ANY] if has_id else [])


def page_part(template: str, **given: object) -> SafeString:
    """A part of a page that is shown seldom, in the language of whole pages."""
    return render_to_string(template, given)


def moment(at: datetime) -> str:
    """A date and time as pages write it, where the reader is."""
    return str(localize(localtime(at)))


FILTERS = (
    answers.box_label,
    answers.interval,
    answers.percent,
    answers.together,
    answers.typing_help,
    answers.verdict_words,
    moment,
)
