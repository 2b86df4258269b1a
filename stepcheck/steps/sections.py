"""The sections of a vocabulary: the words of step descriptions as a text file has them."""

from collections.abc import Iterator
from functools import lru_cache
from importlib.resources import files

from stepcheck.model.source import SourceError

SECTIONS = (
    "movements",
    "movements of line",
    "movements of clogging",
    "with a side",
    "parts of the foot",
    "on a part of the foot",
    "directions",
    "directions of line",
    "places",
    "small words",
    "facing talk",
    "turning words",
    "sizes",
    "twice",
    "figures of line",
    "figures of clogging",
    "codes of clogging",
)
CUES = (
    "words of a row",
    "small codes",
    "places of a row",
    "otherwise",
    "manner",
    "addressed",
    "talk",
    "toward",
    "body",
    "repeat",
    "short names",
    "columns of line",
    "columns of clogging",
    "closing names",
    "ordinals",
)
"""Sections that only the shipped vocabulary has; `words_of` gives their words."""
LISTS = (
    "with a side",
    "parts of the foot",
    "places",
    "small words",
    "facing talk",
    "turning words",
    *(each for each in CUES if each not in ("words of a row", "short names", "columns of line", "columns of clogging")),
)
"""Sections that list words, and give them no meaning."""


def entries(text: str, path: str, sections: tuple[str, ...] = SECTIONS) -> Iterator[tuple[str, str, str]]:
    """Yield the section, meaning and phrase of each word of a vocabulary that has some of these sections."""
    section = ""
    for at, raw in enumerate(text.splitlines(), 1):
        line = raw.split("#")[0].rstrip()
        if not line:
            continue
        if not line[0].isspace():
            section = line.removesuffix(":").strip()
            if section not in sections or not line.endswith(":"):
                raise SourceError(f"{path}:{at}: {line} is no section of a vocabulary: {', '.join(sections)}")
            continue
        meaning, mark, rest = line.strip().partition(":")
        if section in LISTS:
            meaning, rest = "", line
        elif not mark or not section:
            raise SourceError(f"{path}:{at}: an entry is a meaning, a colon and words: {line.strip()}")
        for phrase in rest.split(","):
            if phrase.strip():
                yield section, meaning.strip(), phrase.strip().casefold()


@lru_cache(maxsize=1)
def shipped() -> tuple[tuple[str, str, str], ...]:
    """Return the section, meaning and phrase of each word of the shipped vocabulary."""
    text = files("stepcheck.steps").joinpath("vocabulary.txt").read_text(encoding="utf-8")
    return tuple(entries(text, "vocabulary", SECTIONS + CUES))


def words_of(section: str) -> dict[str, str]:
    """Return the phrases of a section of the shipped vocabulary, with what each means, "" in a mere list."""
    return {phrase: meaning for of, meaning, phrase in shipped() if of == section}
