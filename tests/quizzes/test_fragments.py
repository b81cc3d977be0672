"""The fragments of the run page: escaped, complete in both languages, the same alone and on a page.

What text is escaped to is read back with the standard library's parser, as a browser would read it
(HTML Living Standard, 13.1.2.3 and 13.2.5.72: character references in text and in attributes).
"""

import re
import uuid
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from html.parser import HTMLParser
from types import SimpleNamespace
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.contrib.messages import constants
from django.contrib.messages.storage.base import Message
from django.template import Context, Template
from django.test import override_settings
from django.urls import reverse, set_script_prefix
from django.utils import timezone, translation
from django.utils.safestring import SafeString
from jinja2 import UndefinedError, nodes

from problems.chain import Carried
from quizzes import fragments
from quizzes.models import Question, Ruling, Run, SentIn
from quizzes.practice.keys import Key
from quizzes.practice.shown import shown_question
from tests.conftest import Cast
from tests.quizzes.conftest import NOW, fields, key_of
from tests.quizzes.test_rule_answer import WRONG

LANGUAGES = ("en", "de")
NAMES = sorted(path.stem for path in fragments.FOLDER.rglob("*.html"))
HOSTILE = """<script>alert('1')</script> & "2" <b>&amp; it's"""
HTMX = {"HX-Request": "true"}


class Read(HTMLParser):
    """A fragment as a browser reads it: its elements with their attributes, and the text in each."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[str, str]] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in ("input", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.texts.append((self.open[-1] if self.open else "", data))

    def inside(self, *tags: str) -> str:
        return "".join(text for place, text in self.texts if place in tags)

    def attributes(self, tag: str, name: str) -> list[str | None]:
        return [attrs[name] for each, attrs in self.elements if each == tag and name in attrs]

    def tags(self) -> set[str]:
        return {tag for tag, _ in self.elements}


def shown_part(question: Question) -> Any:
    return shown_question(question, NOW).parts[0]


def answered(cast: Cast, question: Question, typed: str, language: str = "en") -> str:
    cast.student.language = language
    cast.student.save()
    url = reverse("answer", args=[question.public_id])
    return cast.client("student").post(url, fields(typed), headers=HTMX).content.decode()


class TestEscaping:
    def test_what_was_typed_is_text_in_the_box_and_in_the_feedback(
        self, cast: Cast, question: Question
    ) -> None:
        page = Read(answered(cast, question, HOSTILE))
        [box] = [attrs for _, attrs in page.elements if attrs.get("name") == "answer"]
        assert box["value"] == HOSTILE
        assert page.inside("code", "mark") == HOSTILE
        assert not {"script", "b"} & page.tags()

    def test_the_two_pieces_beside_a_fault_and_the_fault_are_text(
        self, cast: Cast, question: Question
    ) -> None:
        page = answered(cast, question, "2 H2O + 2 e^- -> H2 + <b>")
        assert "<mark>" in page
        assert "<b>" not in page
        assert Read(page).inside("code", "mark") == "2 H2O + 2 e^- -> H2 + <b>"

    def test_a_note_of_a_teacher_is_text(self, cast: Cast, question: Question) -> None:
        answered(cast, question, WRONG)
        cast.teacher.display_name = "<i>Vera</i> & 'co'"
        cast.teacher.save()
        answer = question.answers.get()
        Ruling.objects.give(answer, "right", HOSTILE, cast.teacher, NOW)
        shown = shown_part(question)
        read = Read(fragments.render("feedback", shown=shown, answer=answer, ruled=shown.is_ruled))
        assert not {"script", "b", "i"} & read.tags()
        assert f"Your teacher <i>Vera</i> & 'co' decided on “{WRONG}”:" in read.inside("p")
        assert HOSTILE in read.inside("p")

    def test_a_reply_is_text(self, cast: Cast) -> None:
        cast.teacher.display_name = HOSTILE
        sent = SentIn(at=NOW, closed_at=NOW, closed_by=cast.teacher, reply=HOSTILE)
        read = Read(fragments.render("sent_in", sent=sent))
        assert read.inside("q") == HOSTILE
        assert f"{HOSTILE} looked at it on" in " ".join(read.inside("").split())
        assert read.tags() == {"q"}

    def test_a_message_is_text_but_one_that_is_marked_safe_is_not(self, run: Run) -> None:
        said = [Message(constants.INFO, HOSTILE), Message(constants.ERROR, SafeString("<b>safe</b>"))]
        read = Read(fragments.render("question", run=run, csrf_token="t", messages=said))
        assert HOSTILE in read.inside("p")
        assert read.inside("b") == "safe"
        assert {"notice info", "notice error"} <= {*read.attributes("p", "class")}

    @pytest.mark.parametrize("turns", ["", HOSTILE])
    def test_attributes_are_closed_by_nothing_in_them(self, turns: str) -> None:
        key = Key(HOSTILE, HOSTILE, HOSTILE, turns)
        read = Read(fragments.render("keys", keys=[key], box=HOSTILE))
        assert read.attributes("button", "aria-label") == [HOSTILE]
        assert read.attributes("button", "data-turns" if turns else "data-inserts") == [HOSTILE]
        assert read.attributes("div", "aria-controls") == [f"answer-{HOSTILE}"]
        assert read.inside("button") == HOSTILE

    @pytest.mark.parametrize("language", LANGUAGES)
    def test_it_is_on_in_every_environment_and_nowhere_turned_off(self, language: str) -> None:
        made = fragments.environment(language)
        assert made.autoescape is True
        assert made.from_string("{{ it }}").render(it="<") == "&lt;"
        for name in NAMES:
            tree = made.parse(source(name))
            assert not [*tree.find_all((nodes.EvalContextModifier, nodes.MarkSafe))]
            assert not {each.name for each in tree.find_all(nodes.Filter)} & {
                "safe",
                "forceescape",
                "xmlattr",
            }


def source(name: str) -> str:
    return (fragments.FOLDER / "practice" / f"{name}.html").read_text(encoding="utf-8")


class TestSentences:
    @pytest.mark.parametrize("name", NAMES)
    def test_every_word_goes_through_the_catalogue(self, name: str) -> None:
        tree = fragments.environment("en").parse(source(name))
        written = "".join(data.data for data in tree.find_all(nodes.TemplateData))
        assert not re.search(r"[A-Za-z]{2}", re.sub(r"<[^>]*>", "", written))

    @pytest.mark.parametrize("name", NAMES)
    def test_what_is_marked_is_a_text_that_can_be_collected(self, name: str) -> None:
        for call in marked(name):
            assert isinstance(call.args[0], nodes.Const)
            assert isinstance(call.args[0].value, str)

    def test_they_are_put_in_when_a_fragment_is_compiled(self) -> None:
        german = fragments.environment("de")
        made = german.compile(source("leave"), raw=True)
        assert "Jetzt abgeben" in made
        assert "Hand in now" not in made
        assert "Hand in now" in fragments.environment("en").compile(source("leave"), raw=True)

    def test_one_that_has_no_translation_stays_as_it_is(self) -> None:
        made = fragments.environment("de").from_string("{{ _('Nobody wrote <b>this</b>') }}")
        assert made.render() == "Nobody wrote <b>this</b>"

    def test_a_field_is_escaped_in_a_sentence_that_is_not(self) -> None:
        text = "{% trans topic=it %}{{ topic }}: chance of getting the next one right{% endtrans %}"
        made = fragments.environment("de").from_string(text).render(it="<i>")
        assert made == "&lt;i&gt; – Chance, dass die nächste Frage gelingt:"

    @pytest.mark.parametrize(
        ("language", "length", "said"),
        [
            ("en", 1, "One question on this setup."),
            ("en", 8, "8 questions on this one setup, each chosen from what you answered before."),
            ("de", 1, "Eine Frage zu diesem Aufbau."),
            ("de", 8, "8 Fragen zu diesem einen Aufbau"),
        ],
    )
    def test_one_and_many(self, run: Run, language: str, length: int, said: str) -> None:
        run.length = length
        with translation.override(language):
            assert said in fragments.render("question", run=run, csrf_token="t")

    def test_each_reader_gets_the_fragment_in_the_own_language(self, cast: Cast, question: Question) -> None:
        assert "Not right" in answered(cast, question, WRONG)
        german = answered(cast, question, "(", "de")
        assert "Geschrieben" in german
        assert "You typed" not in german

    def test_a_time_is_written_as_on_pages_and_where_the_reader_is(self) -> None:
        at = datetime(2026, 5, 4, 22, 30, tzinfo=UTC)
        for language in LANGUAGES:
            with translation.override(language), timezone.override(ZoneInfo("Europe/Madrid")):
                page = Template("{{ at }}").render(Context({"at": at}))
                assert fragments.moment(at) == page
                assert "5" in page


def marked(name: str) -> Iterator[nodes.Call]:
    for call in fragments.environment("en").parse(source(name)).find_all(nodes.Call):
        if isinstance(call.node, nodes.Name) and call.node.name in ("_", "gettext", "ngettext"):
            yield call


class TestArguments:
    @pytest.mark.parametrize("language", LANGUAGES)
    @pytest.mark.parametrize("name", NAMES)
    def test_each_file_has_its_fragment(self, name: str, language: str) -> None:
        module = fragments.environment(language).get_template(f"practice/{name}.html").module
        assert callable(getattr(module, name))

    def test_one_that_is_missing_is_an_error(self, run: Run) -> None:
        with pytest.raises(UndefinedError, match="csrf_token"):
            fragments.render("leave", run=run)

    def test_one_that_it_does_not_take_is_an_error(self, run: Run) -> None:
        with pytest.raises(TypeError, match="surplus"):
            fragments.render("leave", run=run, csrf_token="t", surplus=1)

    def test_a_field_that_is_not_there_is_an_error(self) -> None:
        with pytest.raises(UndefinedError, match="is_open"):
            fragments.render("sent_in", sent=SimpleNamespace())

    def test_the_tag_shows_the_same_on_a_page(self, question: Question) -> None:
        shown = shown_part(question)
        given = {"shown": shown, "question": question, "csrf_token": "t"}
        tag = "{% load fragments %}{% fragment 'part' shown=shown question=question csrf_token=csrf_token %}"
        assert Template(tag).render(Context(given)) == fragments.render("part", **given)

    @override_settings(DEBUG=True)
    def test_an_edited_fragment_is_read_anew_while_developing(
        self, run: Run, tmp_path: Any, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        (tmp_path / "practice").mkdir()
        path = tmp_path / "practice" / "leave.html"
        monkeypatch.setattr(fragments, "FOLDER", tmp_path)
        for text in ("one", "two"):
            path.write_text(f"{{% macro leave() %}}{text}{{% endmacro %}}", encoding="utf-8")
            assert fragments.render("leave") == text
        monkeypatch.undo()
        fragments.environment.cache_clear()
        fragments._macro.cache_clear()


class TestAddresses:
    @pytest.mark.parametrize(
        "name", ["answer", "reading", "hint", "show_answer", "send_in", "next_question", "end_run"]
    )
    def test_one_with_an_id(self, name: str) -> None:
        for public_id in (uuid.uuid4(), uuid.uuid4(), fragments.ANY):
            assert fragments.url(name, public_id) == reverse(name, args=[public_id])

    def test_one_without(self) -> None:
        assert fragments.url("help") == reverse("help")

    def test_it_begins_with_what_the_site_is_served_under(self) -> None:
        public_id = uuid.uuid4()
        plain = fragments.url("hint", public_id)
        set_script_prefix("/practice/")
        try:
            assert (
                fragments.url("hint", public_id) == f"/practice{plain}" == reverse("hint", args=[public_id])
            )
        finally:
            set_script_prefix("/")
        assert fragments.url("hint", public_id) == plain


def test_what_is_carried_into_a_part_says_which_of_it_is_not_the_students_own(question: Question) -> None:
    shown = replace(shown_part(question), carried=[Carried(0, "2 mol", True), Carried(1, "1 < 2", False)])
    html = fragments.render("part", shown=shown, question=question, csrf_token="t")
    said = re.search(r'<p class="carried">.*?</p>', html, re.DOTALL)
    assert said
    read = Read(said[0])
    assert read.inside("span") == "2\u00a0mol1 < 2(the right one)"
    assert read.inside("p").startswith("From your earlier parts: ;  . An answer that follows from these")


class TestForms:
    def test_every_form_carries_the_token_and_goes_where_htmx_sends_it(
        self, cast: Cast, question: Question
    ) -> None:
        page = answered(cast, question, WRONG)
        forms = re.findall(r"<form\b.*?</form>", page, re.DOTALL)
        assert len(forms) == 5
        for form in map(Read, forms):
            [token] = [
                attrs["value"] for _, attrs in form.elements if attrs.get("name") == "csrfmiddlewaretoken"
            ]
            assert re.fullmatch(r"\w{64}", token or "")
            assert form.attributes("form", "method") == ["post"]
            assert form.attributes("form", "hx-post") in ([], form.attributes("form", "action"))

    def test_the_token_is_one_that_is_taken(self, cast: Cast, question: Question) -> None:
        client = cast.client("student")
        client.handler.enforce_csrf_checks = True
        page = client.get(reverse("run", args=[question.run.public_id])).content.decode()
        form = re.search(r'<form class="answer".*?</form>', page, re.DOTALL)
        assert form
        names = [attrs for _, attrs in Read(form[0]).elements if attrs.get("type") == "hidden"]
        hidden = {attrs["name"]: attrs["value"] for attrs in names}
        url = reverse("answer", args=[question.public_id])
        response = client.post(url, {**hidden, "answer": key_of(question)}, headers=HTMX)
        assert "Right." in response.content.decode()
        assert client.post(url, {**hidden, "csrfmiddlewaretoken": "x" * 64}).status_code == 403

    def test_several_chosen_options_stand_apart_where_several_may_be_right(self) -> None:
        part = SimpleNamespace(several=True)
        option = SimpleNamespace(option=SimpleNamespace(text="one"), chosen=True)
        shown = SimpleNamespace(index=0, options=[option], part=part, is_open=False)
        answer = SimpleNamespace(verdict="correct", typed="a b", message="", codes=[])
        html = fragments.render("feedback", shown=shown, answer=answer)
        assert Read(html).attributes("p", "class")[1:] == ["several"]
        part.several = False
        html = fragments.render("feedback", shown=shown, answer=answer)
        assert Read(html).attributes("p", "class")[1:] == []
