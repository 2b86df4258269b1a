"""Changes to the text of a sheet: what a hint puts in the place of a piece of a line, and what a unified diff says."""

import re
from difflib import SequenceMatcher, unified_diff

from attrs import frozen

from stepcheck.language.syntax import At
from stepcheck.model.findings import Hint, Patch
from stepcheck.model.source import Source, Span
from stepcheck.model.words import visible

MEANT = "did you mean {}?"
_ENDS = re.compile(r"\r\n|\r|\n")
_ENDED = re.compile(r"[^\n]*\n|[^\n]+")
"""A line with its end, as the tools that apply a diff see lines."""
_HUNK = re.compile(r"@@ -(\d+)(?:,(\d+))? \+\d+(?:,\d+)? @@")


@frozen
class Rewrite:
    """A hint that holds text to write, before it is known on which line.

    `text` is put in the place `at` of its line, that of the finding if it is None, and in the places `also`; of several
    lines the later ones begin under the first.  `said` is the sentence, `{}` the text in it; `otherwise` is said where
    the text does not mend the sheet.
    """

    text: str
    at: At | None = None
    said: str = "write {}"
    also: tuple[At, ...] = ()
    otherwise: str = ""

    def hint(self, line: int, margin: str, at: At) -> Hint:
        """Return the hint for line number `line`, indented by `margin`, about a finding at the place `at`."""
        written = self.text.replace("\n", f"\n{margin}")
        places = dict.fromkeys((self.at or at, *self.also))
        spans = (Span(line, len(margin) + start + 1, line, len(margin) + end + 1) for start, end in places)
        about = f"write {' / '.join(map(str.strip, self.text.splitlines()))}" if self.text else "take it away"
        first, _, under = self.text.partition("\n")
        shown = f"{first} above it" if under and first.endswith(":") else self.text.replace("\n", " / ")
        return Hint(
            self.said.replace("{}", shown), Patch(about, tuple((span, written) for span in spans)), self.otherwise
        )


def hints(given: tuple[str | Rewrite, ...], line: int, margin: str, at: At) -> tuple[str, ...]:
    """Return the hints of a finding at the place `at` of a line; as `Rewrite.hint`."""
    return tuple(one.hint(line, margin, at) if isinstance(one, Rewrite) else one for one in given)


def told(given: tuple[str | Rewrite, ...]) -> tuple[str, ...]:
    """Return the sentences of hints, for a text in which they have no place."""
    return tuple(str(one.hint(1, "", (0, 0))) if isinstance(one, Rewrite) else one for one in given)


def difference(source: Source, after: str, how: str = "mended") -> str:
    """Return what changes between a sheet and another text of it, as a unified diff that `patch` and `git apply` take.

    Args:
        source: the sheet; its lines stand in the diff with the ends that its file has.
        after: the other text.
        how: how that came about.
    """
    name = visible(source.path)
    old, new = (_ENDED.findall(text) for text in (source.raw or source.text, restored(source, after)))
    end = "\t" if " " in name else ""  # a tab ends a name that has spaces in it
    rows = unified_diff(old, new, f"{name}{end}", f"{name}{end or ' '}({how})")
    return "".join(row if row.endswith("\n") else f"{row}\n\\ No newline at end of file\n" for row in rows)


def restored(source: Source, text: str) -> str:
    """Return another text of a sheet with the byte-order mark and line ends of its file; new lines end as most do."""
    if not source.raw:
        return text
    mark = "\ufeff" if source.raw.startswith("\ufeff") else ""
    ends = _ENDS.findall(source.raw)
    usual = max(("\n", "\r\n", "\r"), key=ends.count)
    lines = text.split("\n")
    made = [usual] * (len(lines) - 1)
    if len({*ends}) > 1:
        for old, new, size in SequenceMatcher(None, source.lines, lines, autojunk=False).get_matching_blocks():
            for step in range(min(size, len(ends) - old, len(made) - new)):
                made[new + step] = ends[old + step]
    return mark + "".join(line + end for line, end in zip(lines, (*made, ""), strict=True))


def from_diff(about: str, diff: str) -> Patch:
    """Return the change that a unified diff of one sheet describes; its lines of context may be any number."""
    replacements: list[tuple[Span, str]] = []
    given: list[str] = []
    line = taken = 0

    def close() -> None:
        if taken or given:
            text = "".join(f"{one}\n" for one in given)
            replacements.append((Span(line - taken, 1, line, 1), text))

    for row in diff.replace("\r", "").split("\n"):
        head = _HUNK.match(row)
        if head or row[:1] in (" ", ""):
            close()
            taken, given = 0, []
        if head:
            line = int(head[1]) + (head[2] == "0")
        elif row.startswith("-") and line:
            taken, line = taken + 1, line + 1
        elif row.startswith("+") and line:
            given.append(row[1:])
        elif row[:1] == " ":
            line += 1
    close()
    return Patch(about, tuple(replacements))
