"""A description in one plain layout: decorations off, counts written one way, wrapped lines joined."""

import re

from attrs import evolve, frozen

from stepcheck.drafts.vocabulary import NUMBER, number, visible

_RULE = re.compile(r"[\s|:+*=_~.\u2013\u2014-]*")
_HASHED = re.compile(r"\s*(?:#{1,6}\s+(.*?)\s*#*|={1,6}\s*(\w.*?)\s*=+|~+\s*(\w.*?)\s*~+)\s*")
_BULLET = re.compile(r"^(\s*)(?:[*\u2022\u00b7+>\u00bb\u2192]|o(?= [A-Z\d])|-{1,3}(?!\S))\s+(?=[\w\[(\"&])|\s+-{2,}\s*$")
_BOLD = re.compile(r"(?<![\w*_])([*_]{1,3})(?=[^\s*_])(.*?[^\s*_])\1(?![\w*_])")
_UNIT = r"(?:counts?|cts?|cnts?|beats?|bts)\b\.?"
_SPAN = re.compile(
    rf"^\W*(?:on\s+)?(?:({_UNIT}|steps?\b)\s+)?{NUMBER}\s*(?:to|-|through|thru|and)\s*{NUMBER}(?!\w|\s*[,&])\s*[:.)-]*\s*",
    re.IGNORECASE,
)
"""`Counts 1 to 4:`, `Counts 17 and 18`, `Nine to sixteen`."""
_SINGLE = re.compile(
    rf"^\s*{_UNIT}\s+(\d{{1,3}}(?:\s?[&,-]\s?\d{{1,3}})*&?)(?![\w&])(?!\s*(?:to|and|thru|through)\s+\d)\s*[:.)-]*\s+(?=\w)",
    re.IGNORECASE,
)
_DOTTED = re.compile(r"(^\s*|; )((?:\d{1,2}|&)(?:\.(?:\d{1,2}|&))+)\.?(?=\s+[A-Za-z\d\u00bc-\u00be])")
_DASHED = re.compile(r"(^\s*|;\s*)(\d{1,2}(?:\s*[-,&]\s*\d{1,2})+&?)\s*[-\u2013=]\s+(?=[A-Za-z\d\u00bc-\u00be])")
_EIGHT = re.compile(
    r"^\W*(?:(?:and|then|so|now|next)\s+)*(?:the\s+)?"
    r"((?:first|second|third|fourth|fifth|sixth|seventh|last|\d(?:st|nd|rd|th))\s+(?:8|eight))"
    r"(?:\s+counts?)?\s*(?:(?:is|are|goes|[:,-])\s+)+(?=\w)",
    re.IGNORECASE,
)
_ALONE = re.compile(
    r"^\W*(?:(?!counts?\b|beats?\b)([A-Za-z]+(?: \w{1,6})?)\W+(?:counts?|beats?)\s*)?(?<![\d/])(\d{1,3})\s*(?:-|to|\u2013)\s*(\d{1,3})\W*$",
    re.IGNORECASE,
)
"""`(1-8)`, `Step 1 - counts 1-8`, and nothing else."""
_FOOT = re.compile(r"\b([rl])\.\s?f\.(?=\W)", re.IGNORECASE)
_FEET = re.compile(r"(?<![\w.-])(?:[rl](?:\.[rl]){2,3}\.?|[rl](?:-?[rl]){2,3}|[RL](?:\.[RL]){2,3}\.?)(?![\w-])")
_STOP = re.compile(r"\b((?i:fwd|bk|bwd|diag|tog|rec|rk|bts|opp|approx))\.(?=\s*[,;)]|\s+[a-z])")
_DOTS = re.compile(r"\s*\.{3,}\s*(\d{1,2})\s*$")
_CLOCK = re.compile(rf"\b{NUMBER}\s+o'?\s?clock\b", re.IGNORECASE)
_SHORT = re.compile(r"\b(?:bts|cnts?)\b\.?", re.IGNORECASE)


@frozen
class Laid:
    """A line in plain layout: its text, the numbers of the lines of the source that it joins, whether it is set as a
    heading, and whether an empty line stands before it."""

    text: str
    numbers: tuple[int, ...]
    headed: bool = False
    gap: bool = False


def laid_out(texts: list[str], tradition: str) -> list[Laid]:
    """Return the lines that say something, in plain layout; rules between lines are left out.

    In clogging, a number behind dots is how many beats a cue lasts.
    """
    out: list[Laid] = []
    gap = False
    for at, raw in enumerate(texts, 1):
        if _RULE.fullmatch(raw):
            rule = raw.strip()
            if len(rule) > 2 and rule[0] in "-=~" and out and not gap and len(out[-1].text) < 70:
                out[-1] = evolve(out[-1], headed=True)
            gap = gap or not rule
            continue
        text, headed = plainly(visible(raw))
        text = _DOTS.sub(r" (\1)", text) if tradition == "clogging" else text
        if out and not gap and not headed and _runs_on(out[-1], text):
            first = re.sub(r"^(\W*\d+)\W*", r"\1&  ", out[-1].text.rstrip())
            out[-1] = evolve(out[-1], text=f"{first}, {text.strip(' &')}", numbers=(*out[-1].numbers, at))
        else:
            out.append(Laid(text, (at,), headed, gap))
        gap = False
    return out


def plainly(text: str) -> tuple[str, bool]:
    """Return a line without its decorations, its counts written one way, and whether it is set as a heading."""
    cells = text.strip().split("|")
    if len(cells) > 3 and not cells[0] and not cells[-1]:
        return "\t".join(cell.strip() for cell in cells[1:-1]), False
    text = _BOLD.sub(r"\2", text)
    headed = _HASHED.fullmatch(text)
    text = next(filter(None, headed.groups()), "") if headed else _BULLET.sub(r"\1", text)
    text = _ALONE.sub(r"[\2-\3] \1", re.sub(r"\{\s*([\d\s&-]+?)\s*\}", r"[\1]", text)).rstrip()
    text = _FEET.sub(lambda found: re.sub(r"\W", "", found[0]).upper(), _FOOT.sub(r"\1f", _STOP.sub(r"\1", text)))
    text = _DOTTED.sub(lambda found: found[1] + found[2].replace(".&.", "&").replace(".", ","), text)
    text = _DASHED.sub(r"\1\2  ", text)
    text = _SHORT.sub(lambda found: {"b": "beats", "c": "counts"}[found[0][0].casefold()], text)
    text = _CLOCK.sub(lambda found: f"{number(found[1])} o'clock", text)
    text = re.sub(r"(?<=[\[( ])(1?\d)[.](00|30)\b", r"\1:\2", text)
    text = _EIGHT.sub(r"\1: ", _SINGLE.sub(r"\1  ", text))
    if (span := _SPAN.match(text)) and (span[1] or not span[2].isdecimal()):
        first, last = number(span[2]), number(span[3])
        rest = text[span.end() :]
        whole = span[1] and span[1].casefold().startswith("step")
        text = f"[{first}-{last}] {rest}".strip() if whole or not re.search(r"\w", rest) else f"{first}-{last}  {rest}"
    return text, headed is not None


def _runs_on(before: Laid, text: str) -> bool:
    """Say whether a line goes on with the one before: a half behind a single count."""
    return bool(re.match(r"\s*&\s+\w", text) and re.match(r"\s*\d{1,3}[\s:.)]+\w", before.text))
