"""Random sheets in which every claim holds, and random books in which nothing is wrong, as text."""

from stepcheck.strategies.pieces import BOOK, Pick, listed


def sound_sheet(pick: Pick) -> str:
    """Return the text of a plain sheet in which every claim holds, with claims about lengths and facings."""
    book = pick(("line", "clogging"))
    unit = "counts" if book == "line" else "beats"
    parts: list[str] = []
    names = "ABC"[: pick((1, 2, 3))]
    for name in names:
        body, beats, eighths = [], 0, 0
        for _ in range(pick((1, 2, 3))):
            (figure, length), times = pick(BOOK[book]), pick((1, 2, 3))
            side = pick((0, 0, 1, -1))
            body.append(f"  {figure} x{times}, {('no turn', 'turn 1/4 right', 'turn 1/4 left')[side]}")
            beats, eighths = beats + length * times, eighths + 2 * side * times
        wall = ("front", "right wall", "back", "left wall")[eighths // 2 % 4]
        parts += [f"part {name}: {beats} {unit}, front to {wall}", *body, ""]
    dance = [f"  {pick(names)} x{pick((1, 2))}" for _ in range(pick((1, 2, 3)))]
    unused = [f"  {name}" for name in names if not any(row.startswith(f"  {name} ") for row in dance)]
    return "\n".join([f"book: {book}", "", *parts, "dance:", *dance, *unused]) + "\n"


MOVES = {
    "step": ("S", "free foot, takes weight"),
    "touch": ("TCH", "free foot, no weight"),
    "hop": ("HOP", "supporting foot, takes weight"),
    "jump": ("JUMP", "both feet, takes weight"),
}
"""Movements that can follow one another in any order, each with its form and who makes it."""
NAMES = listed("Ford; Lock; Weir; Pier; Swing; Gate; Wharf; Eddy; Buoy; Mole; Barge; Quay; Tarn; Sill")


def random_book(pick: Pick) -> str:
    """Return the text of a book in which nothing is wrong.  Its figures can be danced from either foot."""
    below = pick(("", "line", "clogging"))
    lines = [f"book: {pick(('Weir Hall', 'Ferry', 'Old Lock'))}"]
    lines += [f"on top of: {below}"] if below else [f"tradition: {pick(('line', 'clogging'))}"]
    lines += ["", "sources:", "  hall: a sheet on the board (invented)", "", "levels:", "  hall: easy, hard", ""]
    lines += ["movements:"]
    for name, (form, who) in MOVES.items():
        lines += [f"  {name}: {form}", f"    {who}", "      from: hall"]
    lines += ["  clunk: CLK", "    with weight (usual): free foot, takes weight", "    bare: free foot, no weight"]
    lines += ["", "figures:"]
    forms = (*(form for form, _ in MOVES.values()), "CLK")
    for name in dict.fromkeys(pick(NAMES) for _ in range(pick((1, 2, 3, 5)))):
        turn = pick(("", ", turn 1/4 left", ", turn 1/2 right"))
        rows = [[pick(forms) for _ in range(pick((1, 2, 4, 6)))] for _ in range(pick((1, 1, 2)))]
        if len(rows) == 1:
            lines.append(f"  {name}{turn}: {' '.join(rows[0])}")
        else:
            labels = ("as danced here (usual)", "as it was")
            lines += [f"  {name}{turn}"]
            lines += (f"    {label}: {' '.join(row)}" for label, row in zip(labels, rows, strict=True))
        lines += [f"    also: Old {name}"] * pick((0, 1))
        lines += [f"    level: {pick(('easy', 'hard'))} in hall"] * pick((0, 1))
    return "\n".join(lines) + "\n"
