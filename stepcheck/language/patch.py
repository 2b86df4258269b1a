"""Changes to the text of a sheet: what a hint puts in the place of a piece of a line, and what a unified diff says."""

import re
from difflib import unified_diff

from attrs import frozen

from stepcheck.language.syntax import At
from stepcheck.model.findings import Hint, Patch
from stepcheck.model.source import Span
from stepcheck.model.words import visible

MEANT = "did you mean {}?"
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


def hints(given: tuple[str | Rewrite, ...], line: int, margin: str, at: At) -> tuple[Hint, ...]:
    """Return the hints of a finding at the place `at` of a line; as `Rewrite.hint`."""
    made = (one.hint(line, margin, at) if isinstance(one, Rewrite) else one for one in given)
    return tuple(one if isinstance(one, Hint) else Hint(one) for one in made)


def told(given: tuple[str | Rewrite, ...]) -> tuple[str, ...]:
    """Return the sentences of hints, for a text in which they have no place."""
    return tuple(str(one.hint(1, "", (0, 0))) if isinstance(one, Rewrite) else one for one in given)


def difference(path: str, before: str, after: str, how: str = "mended") -> str:
    """Return what changes between two texts of a sheet, as a unified diff; `how` it came about stands behind its
    name."""
    name = visible(path)
    lines = unified_diff(before.split("\n"), after.split("\n"), name, f"{name} ({how})", lineterm="")
    return "".join(f"{line}\n" for line in lines)


def from_diff(about: str, diff: str) -> Patch:
    """Return the change that a unified diff of one sheet describes; its lines of context may be any number."""
    replacements: list[tuple[Span, str]] = []
    given: list[str] = []
    line = taken = 0

    def close() -> None:
        if taken or given:
            text = "".join(f"{one}\n" for one in given)
            replacements.append((Span(line - taken, 1, line, 1), text))

    for row in diff.splitlines():
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
        elif row[:1] in (" ", ""):
            line += 1
    close()
    return Patch(about, tuple(replacements))
