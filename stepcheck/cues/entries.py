"""The lines of a cue sheet in plain letters: bullets and rules off, and the beats that stand before or behind each."""

import re

from attrs import evolve, frozen

from stepcheck.cues.cells import Table, on_two_lines, spans, told_in
from stepcheck.cues.codes import is_beats, is_feet, written
from stepcheck.cues.footwork import found_in
from stepcheck.cues.tokens import spelled
from stepcheck.pages.facts import in_counts
from stepcheck.steps.vocabulary import plain, tight
from stepcheck.steps.words import NUMBERS, UNITS

_MEASURES = r"(?:m\b\.?|m(?=\d)|meas(?:ures?)?\b\.?|bars?)"
_RULE = re.compile(r"^\W*$")
_BULLET = re.compile(r"^\s*(?:[-*•·~>#+=_|]{1,4}\s+|[-*_=#~>]{2,}\s*)")
_TITLE = re.compile(r"^\s*([~*=_]{1,3})(?=[A-Za-z])([^~*=_:]{1,24})(?<=\w)\1(?![\w:])")
"""A head between signs, `~Chorus~`."""
_RULED = re.compile(
    r"(?i)^\s*[-*=_~|#]{2,}\s*(?!(?:repeat|rpt|rep|do|again|same|(?:all|both|that|this|the|everything)\b.*\bagain)\b)"
    r"(?P<name>[A-Za-z][\w' ]{0,28}?\*?)(?P<rest>,[^-*=_~|#]*)?\s*[-*=_~|#]{2,}(?P<more>\s*=?[^-*=_~|#]*)$"
)
"""A head between rules, `------ Opener, only once ------`, `|| A || 8 bars`."""
_TAIL = re.compile(r"\s*(?:[-*_=#~<|]{2,}|\|)\s*$")
_SPAN = re.compile(
    rf"(?i)^\s*(?:(?P<unit>{UNITS}|{_MEASURES})\s*(?P<a>\d{{1,3}})(?:\s*(?P<sign>-|to|through|[+/&]|and)\s*(?P<b>\d{{1,3}}))?|"
    rf"\[?(?P<c>\d{{1,3}})\s*(?:-|to)\s*(?P<d>\d{{1,3}})\]?(?=\s*[:.)]|\]|\s{{2,}}))\s*[:.)\]]*\s*"
)
_LABEL = re.compile(r"^\s*(\d{1,2})(?:[.)]\s+(?=\D)|\.\s+(?=\d+ [A-Za-z]))")
_BEHIND = (
    re.compile(
        rf"(?i)(?<!times)(?<!times )\s*[(\[]\s*=?\s*(?P<n>\d{{1,3}})\s*-?\s*{UNITS}?\s*(?:total|in all)?\s*[)\]]\s*\W*$"
    ),
    re.compile(rf"(?i)\s*[(\[]\s*(?P<n>\d{{2}}|8)\s+more(?:\s*{UNITS})?\s*[)\]]\s*\W*$"),
    re.compile(
        rf"(?i)(?:\s*\.{{2,}}|\s*_{{2,}}|\s{{2,}}|\t|\||\s=|(?<=[a-z])\s/\s|(?<!\s\d)(?<!\s\d\d)\s-)\s*(?P<n>\d{{1,3}})\s*{UNITS}?\s*\.?$"
    ),
    re.compile(
        rf"(?i)(?<!wait)(?<!hold)(?<!pause)(?<!first)(?<!last)(?<!next)(?<!takes)(?<!each)(?<!lasts)[\s,;:-]+(?P<n>\d{{1,3}})\s*-?\s*{UNITS}\.?$"
    ),
    re.compile(r"(?<=[A-Za-z)\]]),\s*(?P<n>\d{1,2})\s*$"),
    re.compile(r"(?i)(?:(?<=[\w)]{2}[.!])|(?<=[\s-][LR][.!]))(?<!nos\.)(?<!\b(?:no|ct|pg)\.)\s+(?P<n>[468]|\d\d)\.?$"),
    re.compile(rf"(?i)\s*\.{{3,}}\s*(?P<n>\d{{1,3}})\s*{UNITS}?(?=\s{{3,}}\S)"),
    re.compile(rf"(?i)\s{{2,}}(?P<n>\d{{1,3}})\s*{UNITS}(?=[,;]\s)"),
)
QUOTED = re.compile(r"^\s*\"(\w[\w' -]{1,30})\"(?=\s*(?:$|[\w(:=]))")
"""The name of a figure in quotes, with which a line begins: `"Joey" right foot`."""
_OFTEN = re.compile(r"^\s*\((\d{1,2})\)\s*x\s*(\d{1,2})\s+(?=[A-Za-z])")
"""The beats of one time, and how often: `(2)x7 Basic`."""
_FIELDS = re.compile(r"\s-\s*(\d{1,3})\s*-\s*([LR](?:\s+[LR])*)$")
_BOTH = re.compile(r"\s-\s*(\d{1,2})\s*;\s*([LR])\s*-\s*(\d{1,2})$")
"""How long a line is on the foot that it says, and on the other one."""
_ON = re.compile(
    r"(?i)(?<!repeat)(?<!again)(?<!same)(?<!beats)(?<!counts)(?<!steps)(?<!lines)(?:(?:\s{2,}|\t)\[?\(?|"
    r"\s[\[(])(?P<a>\d{1,3})\s?-\s?(?P<b>\d{1,3})\)?\]?$"
)
"""Beats on which a line stands, in a column behind it."""
_INSIDE = re.compile(rf"(?i)\s*[(\[]\s*(?P<n>\d{{1,3}})\s*-?\s*{UNITS}\s*[)\]]")
_BARRED = re.compile(r"(?i)\(?(\d{1,2})\s*(?:meas(?:ures?)?\b\.?|bars?\b)\)?(?:\s*[:=-]+\s*|\s+)(?=\S)")
"""How many bars a line lasts, in front of it."""
_SPOKEN = re.compile(rf"(?i)\b([a-z]{{3,9}}(?:-[a-z]{{3,5}})?)(?= {UNITS})")  # beats in words
_SUMMED = re.compile(
    rf"(?i)(?:([(\[])\s*(?=[\d+\s]+(?:{UNITS})?\s*[)\]])|(?<=,\s)(?=[\d+\s]+(?:{UNITS}|$)))\d{{1,2}}(?:\s*\+\s*\d{{1,2}})+"
)
_BEATEN = re.compile(r"^([\s&ea\d]+?(?:\.{3} [\s&ea\d]+?)?)(?:\s{2,}|\s*\.{2,}\s*)((?:[^\s&\d.]|\dx\b|\d times\b).*)$")
"""The beats under a row, and the words behind these beats: `&1 &2 & 3    turn 1/4 left`."""
_ASIDE = re.compile(r"^\s*(\S+(?: \S+)*)\s{2,}(\S.*)$")  # `(fwd, back)   L R L RL`
_BARS = re.compile(r"\s*\[(\d{1,2}) measures\]$")
_EARLIER = re.compile(
    rf"(?i)\d\s*{UNITS}(?!\w)(?!\s*(?:each|ea|apiece)\b)|[\w)](?:\s*\(\d{{1,2}}\)\s*[,;+&]|(?:,| -)\s\d{{1,2}}[,;.]\s)"
)
"""Beats of a cue before the last one, whose own are then no others'."""
_STILL = re.compile(rf"(?i)^\W*(?:then\s+)?(?:wait|hold|pause|rest|freeze)\b\W*(?:for\s+)?\d+\s*{UNITS}?\W*$")


_MORE = re.compile(r"\s*(?:a |[LR ]+[.,;] |(?!same|repeat|rpt)[a-z][a-z'-]+(?:[ ,.;:!)]|$)|\"[A-Z]|\()")
"""What goes on with the running text of the line above."""
_STARRED = re.compile(r"(?<=[A-Z)])\s+\*\s+(?=[A-Z]{1,4}[\s(-]|[A-Z]{2,4}$)(?![LR][\s,])")
"""A star between the codes of two beats: `DS * R-S`."""
_FULL = 60  # letters that a line of running text has at least


@frozen
class Entry:
    """A line of the source.

    `text` is what it says, without its bullet, its number in a list (`label`), the beats or measures that it stands on
    (`span`), and the beats that are stated of it (`stated`, 0 if none are). `loose` says that these stand before how
    often it is danced, so that they may be those of one time; `led` that they have a column of their own. `gap` says
    that an empty line stands before it, `section` of which set of a table it is, and where the dancers face behind
    that; `also` are the numbers of the lines that go on with it; `named` is the head that rules stand around,
    `titled` says that its words are the title of what is told under it or behind them, `since` is the line
    from which on it has all danced again.
    """

    number: int
    text: str
    raw: str
    span: tuple[int, int] = (0, 0)
    measured: bool = False
    stated: int = 0
    loose: bool = False
    led: bool = False
    label: int = 0
    indent: int = 0
    gap: bool = False
    section: tuple[str, str] = ("", "")
    also: tuple[int, ...] = ()
    named: str = ""
    titled: bool = False
    since: int = 0
    total: int = 0

    @property
    def quoted(self) -> bool:
        """Whether it begins with a figure in quotes."""
        return QUOTED.match(self.raw) is not None

    @property
    def title(self) -> str:
        """What stands between signs, if the line is that and its beats: `stamp break` for `~stamp break~ (8 beats)`."""
        found = _TITLE.match(self.raw)
        return self.named or (found[2] if found and self.text == f"{found[2]}:" else "")


def digits(text: str) -> str:
    """Return a line with beats that are said in eights, in words or as a sum as a number."""
    text = _SUMMED.sub(lambda found: f"{found[1] or ''}{sum(map(int, re.findall('[0-9]+', found[0])))}", text)
    return _SPOKEN.sub(lambda found: str(NUMBERS.get(found[1].casefold(), 0) or found[1]), in_counts(text))


def entries(texts: list[str]) -> list[Entry]:
    """Return the lines that say something; a row of a table as the line of cues that it says, under the head of its
    part."""
    read = _Read()
    for number, raw in enumerate(on_two_lines(texts), 1):
        text = plain(digits(written(raw))).rstrip()
        if not read.runs_on(number, text, raw):
            read.line(number, text, raw)
    return read.out


class _Read:
    """Lines while they are read: `gap` says that an empty one stands before; `spans` and `heads` are the beats over the
    columns of a grid; `aside` is what a bracket says so far that stands beside rows; `last` is the line before, `told`
    the running text that ends with it."""

    def __init__(self) -> None:
        self.out: list[Entry] = []
        self.gap, self.aside, self.table = True, "", Table()
        self.last, self.told = "", ""
        self.heads: list[str] = []
        self.spans: list[tuple[int, int]] = []

    def line(self, number: int, text: str, raw: str) -> None:
        """Read a line, `text` what it says in plain letters."""
        if _RULE.match(text) and not re.search(r"\d", text):
            self.gap = True
            return
        cells = self.table.cells(raw)
        if self.table.begins(cells) or self._grid(number, cells):
            text = raw = self.table.front
        elif self.table.holds(cells, self.gap):
            return self._row(number, cells, raw)
        if (bare := _STARRED.sub(" ", text)) != text and found_in(bare, {}):
            text = bare  # between beats
        for row in found_in(text, {}) if "|" in text else ():  # bar lines
            bars = text[row.start : row.end]
            text = text.replace(bars, re.sub(r"\s*\|\s*", " ", bars))
        if not text or self._beside(number, text):
            return
        if (found := _BEATEN.match(text)) and is_beats(found[1]) and "&" in found[1] and not is_beats(text):
            self._add(_entry(number, found[1], found[1], self.gap))
            text, raw = found[2], found[2].lstrip(" .")
            if re.fullmatch(r"(?i)hold \d{1,2}", raw):
                return  # for how long the last of them lasts
        self._add(_entry(number, text, raw, self.gap))

    def _row(self, number: int, cells: list[str], raw: str) -> None:
        """Take a row of a table, with the one before if it goes on with that."""
        said, more = self.table.said(cells)
        total = said.get("beats", "").startswith("=") or {kind for kind, cell in said.items() if cell} == {"beats"}
        if not more and total:  # `=32`, how long the part is, and what is said of it
            self._add(_entry(number, said["beats"], said["beats"], self.gap))
            said, raw = said | {"beats": ""}, " ".join(filter(None, cells[2:]))
        if part := self.table.heads(said):
            self.out.append(_entry(number, part, raw, self.gap))
        text, begun, also = told_in(said), number, tuple[int, ...]()
        if more:
            before = self.out.pop()
            begun, raw, also = before.number, f"{before.raw} {raw}", (*before.also, number)
        if text:
            self._add(evolve(_entry(begun, text, raw, self.gap), led=bool(said.get("beats")), also=also))

    def runs_on(self, number: int, text: str, raw: str) -> bool:
        """Take a line with which the running text of the line above goes on, if that is full, begins with a capital,
        has no end, or not both state their beats, and this begins with a small letter, a quote or beats, or stands
        behind a comma; return whether it is one."""
        above, self.last = self.last.strip(), re.sub(r"(?<=[a-z)][.!?])  (?=\S)", " ", raw)  # as typewriters have it
        prose = re.search(r"[a-z]{2}[.,;:] [A-Za-z].*[\w,]$", above) and not re.search(r"\s{2}|[\t|=]|\.\.", above)
        begun = _MORE.match(raw) or (above.endswith(",") and re.match(r"\s*[A-Z]", raw))
        quoting = self.told.count('"') % 2 or self.told.count("(") > self.told.count(")")  # `"Low`, and `Water"` below
        joined = (begun or quoting) and not re.search(r"\S\s{2}", self.last) and not is_feet(raw)
        full = len(above) >= _FULL and self.told.lstrip()[:1].isupper()
        both = all(timed(_entry(0, each, each, False)).stated for each in (above, text))
        if self.gap or both or not self.out or not (full and prose and joined):
            self.told = text.strip()
            return False
        before, self.told = self.out[-1], f"{self.told} {text.strip()}"
        made = _entry(before.number, self.told, f"{before.raw} {raw}", before.gap)
        self.out[-1] = evolve(made, also=(*before.also, number))
        return True

    def _add(self, made: Entry) -> None:
        """Add a line, to the one before if it goes on with that."""
        if self.out and not self.gap and _goes_on(self.out[-1], made):
            self.out[-1] = _joined(self.out[-1], made)
        else:
            self.out.append(made)
        self.gap = False

    def _beside(self, number: int, text: str) -> bool:
        """Take a row of feet or beats, and behind it the bracket beside it once that ends; return whether it is one."""
        found = _ASIDE.match(text)
        aside = f"{self.aside} {found[1]}".strip() if found and (is_beats(found[2]) or is_feet(found[2])) else ""
        more = aside.count("(") - aside.count(")")
        whole = not more and aside.endswith(")")
        self.aside = aside * (aside.startswith("(") and (more == 1 or whole))
        if not found or not self.aside:
            return False
        self._add(_entry(number, found[2], found[2], self.gap))
        if whole:
            self._add(_entry(number, aside, aside, False))
        self.aside *= not whole
        return True

    def _grid(self, number: int, cells: list[str]) -> bool:
        """Take the head or a row of a grid, whose columns are beats; return whether cells are one."""
        found = spans(cells) if len(cells) > 2 else []
        if not found and self.spans and len(cells) == len(self.spans):
            self.out += _set(number, cells, self.spans, self.heads, self.out[-1] if self.out else None)
            self.gap = False
            return True
        self.spans = found
        if found:
            self.heads, self.gap = cells, True
        return bool(found)


def _goes_on(before: Entry, entry: Entry) -> bool:
    """Say whether a line goes on with the one above, which has a number and neither an end nor its beats."""
    begun = before.label and not (before.stated or before.span[0]) and not re.search(r"[.:!?)\]]$", before.text)
    bare = not (entry.label or entry.span[0] or is_beats(entry.raw) or is_feet(entry.raw))
    bare = bare and not re.match(r"(?i)(?:do|repeat|rpt|again|same)\b|x\s?\d", entry.text)
    return bool(begun and bare and entry.indent > before.indent and re.match(r"[a-z]", entry.text))


def _joined(before: Entry, entry: Entry) -> Entry:
    """Return two lines as one."""
    text, raw = f"{before.text} {entry.text}", f"{before.raw} {entry.raw}"
    return evolve(before, text=text, raw=raw, stated=entry.stated, also=(*before.also, entry.number))


_GOES_ON = re.compile(r"(?i)\W*(?:cont|continue[sd]?|continued)\W*")


def _set(
    number: int, cells: list[str], spans: list[tuple[int, int]], heads: list[str], before: Entry | None
) -> list[Entry]:
    """Return the cells of a row as lines on their beats, under the head of their part, A for a set A1."""
    name = cells[0].rstrip(" .:")
    part = re.sub(r"(?<=^[A-H])\d$", "", name)
    faced = [cell for cell, head in zip(cells, heads, strict=True) if re.match(r"(?i)fac|wall|end", head)]
    faced = [cell.casefold() for cell in faced if re.fullmatch(r"(?i)front|back|\d{1,2}:00", cell)]
    loose = [cell for cell, span in zip(cells[1:], spans[1:], strict=True) if not span[0]]
    beside = [cell for cell in loose if cell.casefold() not in faced]
    out: list[Entry] = []
    for cell, (first, last) in zip(cells, spans, strict=True):
        if first and out and _GOES_ON.fullmatch(cell):
            out[-1] = evolve(out[-1], span=(out[-1].span[0], last), stated=last - out[-1].span[0] + 1)
        elif first and cell:
            made = timed(Entry(number, cell, cell))
            out.append(
                evolve(made, span=(first, last), stated=last - first + 1, led=True, section=(name, "".join(faced[:1])))
            )
    if out and beside:
        out[-1] = evolve(out[-1], text=f"{out[-1].text}   {'   '.join(beside)}")
    same = before is not None and re.sub(r"(?<=^[A-H])\d$", "", before.section[0]) == part
    return out if same else [Entry(number, f"{part}:", part), *out]


def _entry(number: int, text: str, raw: str, gap: bool) -> Entry:
    indent = len(text) - len(text.lstrip())
    label, named = 0, ""
    if ruled := _RULED.match(text):
        named = ruled["name"].strip()
        text = f"{named}: {ruled['rest'] or ''}{ruled['more']}".replace(": ,", ":")
    text = _TAIL.sub("", text)
    text = _TITLE.sub(r"\2: ", _BULLET.sub("", text))
    if listed := _LABEL.match(text):
        label, text = int(listed[1]), text[listed.end() :]
    text = _OFTEN.sub(lambda at: f"[{int(at[1]) * int(at[2])}] {at[2]} ", QUOTED.sub(r"\1", text))
    return timed(Entry(number, text.strip(), tight(raw), label=label, indent=indent, gap=gap, named=named))


def _barred(text: str) -> tuple[str, int]:
    """Return a line without the bars that stand in front of it or behind, and how many these are, 0 if none."""
    if found := _BARRED.match(text):
        return text[found.end() :], int(found[1])
    found = _BARS.search(text)
    return (text[: found.start()], int(found[1])) if found else (text, 0)


def timed(entry: Entry) -> Entry:
    """Return a line with the beats before and behind it taken off; those under a row are all that it is."""
    if "&" in entry.text and is_beats(entry.text):
        return entry
    text, bars = _barred(entry.text)
    span, measured = entry.span, entry.measured or bars > 0
    if found := _SPAN.match(text):
        first = int(found["a"] or found["c"])
        last = int(found["b"] or found["d"] or (first if found["a"] else 0))
        bare = not found["unit"] and not found["c"]
        alone = found["unit"] and not found["b"] and not re.match(_MEASURES, found["unit"], re.IGNORECASE)
        two = found["sign"] in ("+", "/", "&", "and")
        apart = two and (last != first + 1 or not re.match(_MEASURES, found["unit"], re.IGNORECASE))
        if first <= last and not bare and not alone and not apart:
            span, text = (first, last), text[found.end() :]
            measured = bool(found["unit"] and re.match(_MEASURES, found["unit"], re.IGNORECASE))
    stated, loose, total = bars or entry.stated, False, entry.total
    if led := re.match(r"\s*\[(\d{1,2})\]\s*(?=\S)", text):
        stated, text = int(led[1]), text[led.end() :]
    text = _FIELDS.sub(r"   \2 [\1]", text)
    if (found := _ON.search(text)) and not span[0] and int(found["a"]) < int(found["b"]):
        span, text = (int(found["a"]), int(found["b"])), text[: found.start()]
    if both := _BOTH.search(text):
        stated, text = int(both[1]) + int(both[3]), f"{text[: both.start()]}; {both[2]}"
    elif not _STILL.match(text):
        if said := _said_behind(text):
            stated, total, text = said
        else:
            inside = _INSIDE.findall(text)
            behind = _INSIDE.search(text)
            more = re.findall(r"[A-Za-z]{3,}", text[behind.end() :]) if behind else []
            if len(inside) == 1 and behind and len(more) < 3 and not re.match(r"\s*[,;]", text[behind.end() :]):
                stated, loose = int(behind["n"]), True
                text = text[: behind.start()] + " " + text[behind.end() :]
    return evolve(entry, text=text.strip(), span=span, measured=measured, stated=stated, loose=loose, total=total)


def _said_behind(text: str) -> tuple[int, int, str] | None:
    """Return the beats of a line behind it, those of all lines so far if they stand in brackets or behind `=` after its
    own, `Joey left, Joey right. 8   (32)`, else 0, and the line without them; None if none are stated."""
    text = re.sub(r"(?<=\d)\s+=\s?(\d{1,3})$", r"   (\1)", text)
    for pattern in _BEHIND:
        found = pattern.search(text)
        whole = found and re.search("(?i)total|in all", found[0])
        if found and (whole or not _EARLIER.search(text[: found.start()])):
            size, text = int(found["n"]), text[: found.start()] + text[found.end() :]
            inner = [each for one in _BEHIND[2:6] if pattern is _BEHIND[0] and (each := one.search(text))][:1]
            if inner and 3 < int(inner[0]["n"]) <= size:
                return int(inner[0]["n"]), size, text[: inner[0].start()]
            return size, 0, text
    return None


_ROW = re.compile(r"\(?(?:DS|STO|S|BA|[A-Z]{2,3})(?=[\s(-])")
"""A row of codes, which goes on with what its name says: `Charleston.   DS(L) TCH(f)`."""


_STOPS = re.compile(
    r"[()\[\]]|(?<=[a-z\d)]{2})[.!]+\s+(?=[A-Z(])|(?<= [LR])[.!]+\s+(?=[A-Z][a-z]+ [a-z])|"
    r"(?<=[A-Z]{2})[.!]+\s+(?=[A-Z][a-z']+ [a-z])"
)
"""Brackets, and the stops of sentences."""


def _spells(text: str) -> bool:
    """Say whether a text begins with a row in brackets, or is one, in words: `(Double step, rock step.)`."""
    said = spelled(text if text.startswith("(") else re.split(r"[.!]", text)[0])
    rows = found_in(said, {})
    whole = bool(rows) and not rows[0].start and not re.search(r"\w", said[rows[0].end :])
    return whole or (said.startswith("(") and bool(rows) and rows[0].start == 1)


def sentences(text: str) -> list[str]:
    """Return a line cut at full stops behind which a sentence begins, outside brackets."""
    out, depth, start = [], 0, 0
    for found in _STOPS.finditer(text):
        if found[0] in "([":
            depth += 1
        elif found[0] in ")]":
            depth = max(0, depth - 1)
        elif not depth and not _ROW.match(text, found.end()) and not _spells(text[found.end() :]):
            out.append(text[start : found.start()])
            start = found.end()
    return [each for each in (*out, text[start:]) if re.search(r"\w", each)]
