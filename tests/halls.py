"""A small catalogue with a sheet of every kind."""

from pathlib import Path

SOUND = "routine: Sound\nbook: clogging\n\npart A: 8 beats, left foot to left foot\n  Triple\n  Push-off\n\ndance:\n  A x2\n"
WRONG = "routine: Wrong\nbook: clogging\n\npart A: 8 beats, left foot to left foot\n  Triple\n  Fancy Double\n\ndance:\n  A\n  A\n"
OPEN = (
    "routine: Open\nbook: clogging\n\npart A: 8 beats, left foot to left foot\n  Triple\n  ? 4 beats\n\ndance:\n  A\n"
)
ILL = "routine: Ill\nbook: clogging\n\npart A: 8 beats\n  Tripel\n\ndance:\n  A\n"
OWN = "routine: Own\nbook: weir.book\n\npart A: 4 beats\n  Weir Turn\n\ndance:\n  A\n"
BOOK = "book: Weir\non top of: clogging\n\nfigures:\n  Weir Turn, 4 beats: DS DS RS RS\n"


def fill(folder: Path, sound: int = 3) -> list[str]:
    """Write the catalogue, with so many sound sheets, and return the paths of its sheets in order."""
    texts = {f"a{number}": SOUND.replace("Sound", f"Sound {number}") for number in range(sound)}
    texts |= {"ill": ILL, "open": OPEN, "wrong": WRONG}
    folder.mkdir(exist_ok=True)
    for name, text in texts.items():
        (folder / f"{name}.routine").write_text(text)
    return [str(folder / f"{name}.routine") for name in texts]
