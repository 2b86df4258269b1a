"""The cue sheet of a clogging routine."""

from stepcheck.drafts.lines import Reader
from stepcheck.drafts.outline import Outline


def cue_sheet(reader: Reader) -> Outline:
    """Return the outline of a clogging routine."""
    return Outline((), "clogging")
