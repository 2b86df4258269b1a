"""Changes to the text of a sheet that a finding's own hints spell out to the letter."""

import re
from collections.abc import Iterator

from attrs import frozen

from stepcheck.model.findings import Diagnostic
from stepcheck.model.source import Source, Span

_HUNK = re.compile(r"@@ -(\d+)(?:,(\d+))? \+\d+(?:,\d+)? @@")
_MEANT = re.compile(r"(?:or )?did you mean (.+?)\?$")
_WRITTEN = re.compile(r"(?:or )?write `([^`]+)`(?: here| on line (\d+))?$")


@frozen
class Patch:
    """A change to one sheet: what it is about, and the stretches of text that give way to others.

    **Invariant:** the stretches do not overlap.
    """

    about: str
    replacements: tuple[tuple[Span, str], ...]

    def applied(self, source: Source) -> str:
        """Return the text of `source` after the change."""
        text, end = source.text, len(source.text)
        starts = [0]
        for line in source.lines:
            starts.append(starts[-1] + len(line) + 1)
        out: list[str] = []
        for span, said in sorted(self.replacements, reverse=True):
            first, last = starts[span.line - 1] + span.column - 1, starts[span.end_line - 1] + span.end_column - 1
            out += [text[last:end], said]
            end = first
        return "".join([text[:end], *reversed(out)])


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


def patches(source: Source, finding: Diagnostic, claim: str = "") -> tuple[Patch, ...]:
    """Return the changes that the hints of a finding spell out, in their order.

    A name that was meant stands in the place of the finding; what is to be written stands in the place of the claim.
    Whether a change mends the sheet is seen by checking the sheet again.

    Args:
        source: the sheet that the finding is about.
        finding: a finding.
        claim: the text of the claim that the finding is about, as the sheet has it.
    """
    return tuple(_spelled_out(source, finding, claim))


def _spelled_out(source: Source, finding: Diagnostic, claim: str) -> Iterator[Patch]:
    for hint in finding.hints:
        meant, written = _MEANT.match(hint), _WRITTEN.match(hint)
        if meant and finding.span.line == finding.span.end_line:
            yield Patch(f"write {meant[1]}", ((finding.span, meant[1]),))
        elif written and claim:
            line = int(written[2] or finding.span.line)
            column = source.line(line).find(claim) + 1
            if column:
                span = Span(line, column, line, column + len(claim))
                said = f"to {written[1]}" if claim.startswith("to ") else written[1]
                yield Patch(f"write {said} in the place of {claim}", ((span, said),))
