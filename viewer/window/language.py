"""Which language the window speaks: what was asked for, was chosen in it, or the computer's own."""

from __future__ import annotations

from qtpy.QtCore import QDateTime, QLibraryInfo, QLocale, QTranslator
from qtpy.QtWidgets import QApplication

from ..core.saying import (
    ENGLISH,
    kept_language,
    speak,
    spoken_words,
    window_languages,
    window_words,
)


def speak_as_asked(asked: str | None = None) -> None:
    """Speak a language; the one chosen in the window, or the computer's, if none is asked for.

    Raises
    ------
    InputError : for a language that isn't there
    """
    known = window_languages()
    own = (name[:2].lower() for name in QLocale.system().uiLanguages())
    speak(window_words(asked or kept_language() or next(filter(known.__contains__, own), ENGLISH)))


def teach_qt() -> None:
    """Let Qt's own boxes, as those that ask for a file, speak the same language."""
    app, language = QApplication.instance(), spoken_words().language
    if app is None or language == ENGLISH:
        return
    translator = QTranslator(app)
    if translator.load(f"qtbase_{language}", QLibraryInfo.path(_TRANSLATIONS)):
        app.installTranslator(translator)


_TRANSLATIONS = QLibraryInfo.LibraryPath.TranslationsPath


def when_words(seconds: float) -> str:
    """Day and time of a moment [s since 1970], as "26 Nov 2026, 09:54"."""
    moment = QDateTime.fromSecsSinceEpoch(int(seconds))
    return QLocale(spoken_words().language).toString(moment, "dd MMM yyyy, HH:mm")
