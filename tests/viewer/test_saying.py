"""The window's words: every key in every language, with the same fill-ins, and none idle."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.materials.words import Words, form_of
from glaze.planning.rough.doubt import Unsure
from viewer.core.saying import (
    FOLDER,
    keep_language,
    kept_language,
    problems,
    say,
    speak,
    translated,
    window_languages,
    window_words,
)

VIEWER = Path(__file__).parents[2] / "viewer"
OTHERS = [language for language in window_languages() if language != "en"]


def texts(told: dict, at: str = "") -> Iterator[tuple[str, str]]:
    """Every text of a table with its key; of a plural each form."""
    for key, text in told.items():
        if isinstance(text, dict):
            yield from texts(text, f"{at}{key}.")
        else:
            yield f"{at}{key}", text


def table(language: str) -> dict[str, str]:
    return dict(texts(tomllib.loads((FOLDER / f"{language}.toml").read_text("utf-8"))))


@pytest.fixture
def german():
    speak(window_words("de"))
    yield
    speak(window_words("en"))


@pytest.mark.parametrize("language", OTHERS)
def test_every_language_says_all_that_english_does(language: str) -> None:
    english, other = table("en"), table(language)
    assert english.keys() == other.keys()
    for key, text in english.items():
        holes = re.findall(r"\{\w*\}", text)
        found = re.findall(r"\{\w*\}", other[key])
        # a sentence of the model's is filled in order, a text of the window's by name
        same = found == holes if key.startswith("sentences.") else sorted(found) == sorted(holes)
        assert same, (key, other[key])
        assert text.count("\n") == other[key].count("\n"), key


def test_what_the_code_says_is_there_and_what_is_there_is_said() -> None:
    keys, said, sections = table("en"), set(), set()
    for file in VIEWER.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                said.add(node.value)
            if isinstance(node, ast.JoinedStr) and isinstance(node.values[0], ast.Constant):
                sections.add(str(node.values[0].value).partition(".")[0])
            # a line of a menu is named without its section
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "_order":
                sections.add("menu")
    known = {key.removesuffix(".one").removesuffix(".other") for key in keys}
    asked = {text for text in said - {"versions.json"} if re.fullmatch(r"[a-z_]+\.[a-z_]+", text)}
    spoken = {key.partition(".")[0] for key in known}
    assert {key for key in asked if key.partition(".")[0] in spoken} <= known
    idle = known - said - {"own_name", "english"}
    assert {key for key in idle if key.partition(".")[0] not in {*sections, "sentences"}} == set()


def test_plurals_follow_each_language() -> None:
    # Unicode CLDR, cardinal plural rules: French counts none in the singular, the others don't
    told = {
        lg: [window_words(lg)("deed.fill", n=n) for n in (0, 1, 2)] for lg in window_languages()
    }
    assert [text.split()[-1] for text in told["en"]] == ["areas", "area", "areas"]
    assert told["fr"][0] == told["fr"][1] == "remplir une zone close"
    assert told["de"] == ["0 Flächen füllen", "eine Fläche füllen", "2 Flächen füllen"]
    assert told["es"][1] == "rellenar una zona cerrada"


def test_the_models_sentences_are_told_and_what_is_not_known_is_marked(german) -> None:
    assert translated("value 5.2 (3.9 to 6.8, assumed)") == (
        "Helligkeit 5.2 (3.9 bis 6.8, angenommen)"
    )
    assert translated("1 part + 8 parts water") == "1 Teil + 8 Teile Wasser"
    assert translated("dark olive") == "dunkeloliv"
    assert translated("Nobody wrote this down.") == "Nobody wrote this down. [englisch]"
    # the window's own words are no English ones
    assert (
        problems(InputError(say("refused.corners"))) == "Eine Kante braucht mindestens drei Ecken."
    )


def test_forms_of_the_models_sentences_are_forms() -> None:
    for language in window_languages():
        for english in window_words(language).told["sentences"]:
            filled = english.replace("{n}", "1").replace("{}", '"a"')
            assert form_of(filled)[0] == english


def test_a_deed_is_known_by_its_key_in_every_language() -> None:
    for language in window_languages():
        words = window_words(language)
        name = words("deed.dilution", name="sky (a+b)")
        assert words.is_told("deed.dilution", name)
        assert not words.is_told("deed.dilution", words("deed.out", name="sky"))


def test_a_language_is_kept_and_an_unknown_one_refused(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr("viewer.core.saying.user_config_path", lambda name: tmp_path / name)
    assert kept_language() is None
    keep_language("fr")
    assert kept_language() == "fr"
    (tmp_path / "glaze" / "language").write_text("latin", encoding="utf-8")
    assert kept_language() is None
    with pytest.raises(InputError, match='No language of the window is called "it"'):
        window_words("it")
    (tmp_path / "glaze" / "language").unlink()
    (tmp_path / "glaze" / "language").mkdir()
    with pytest.raises(InputError, match="can't be written down"):
        keep_language("de")


def test_the_caution_comes_with_every_language() -> None:
    for language in window_languages():
        words = window_words(language)
        assert isinstance(words, Words)
        assert len(words.caution) == len(window_words("en").caution)
        assert words.caution_line


@pytest.mark.parametrize("language", ["de", "fr", "es"])
def test_how_sure_a_rough_is_comes_in_every_language(language):
    sure = Unsure(0.4, 1.2, np.zeros((2, 2)), ("Black",), 0.5)
    told, spoken = window_words(language).sentence(sure.how_sure)
    assert spoken == language
    assert "40 %" in told
