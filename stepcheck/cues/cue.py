"""The cues of one line: `2 Triples (DS DS DS RS), turn 1/4 L on each; Push Off L`."""

import itertools
import re
from collections.abc import Mapping

from attrs import evolve

from stepcheck.cues.codes import each_foot, is_feet
from stepcheck.cues.figures import alike, told_once, unnamed
from stepcheck.cues.footwork import joined_rows
from stepcheck.cues.marks import (
    EACH,
    GOES,
    MARKS,
    NTH,
    Cue,
    compound,
    mark,
    names_steps,
    quiet,
    replaced,
    risk,
    unknown_name,
)
from stepcheck.cues.tokens import (
    Tok,
    another,
    called,
    leading,
    mirrors,
    number,
    once_named,
    placed,
    row_of_figures,
    segments,
    spelled,
    toks,
    without_choice,
)
from stepcheck.steps.phrases import events
from stepcheck.steps.steps import OTHER, Aside, Step, begun, turn
from stepcheck.steps.vocabulary import Vocabulary, tight
from stepcheck.steps.words import NTHS, NUMBERS

_EXPLAINS = (":", "=", "-", "--")
"""Signs behind a figure that may say what it is."""
_LISTED = {"", ",", "and", "then"}
"""Signs between the cues of a list."""
_SLOW = re.compile(r"(?i)\W*(slow(?:ly)?)\s*[!:,.]")
"""A word in front of a line with which all of it lasts otherwise."""


class Reading:
    """Reads the cues of lines with the words of a vocabulary and the abbreviations that the sheet explains."""

    def __init__(self, vocabulary: Vocabulary, legend: Mapping[str, tuple[str, ...]]) -> None:
        self.vocabulary, self.legend = vocabulary, legend

    def cues(self, text: str) -> list[Cue]:
        """Return the cues of a line, none if it says none."""
        out, places, apart = list[Cue](), list[str](), False
        ahead: list[Tok] = []  # marks in front of the first cue
        choices: list[tuple[int, str]] = []  # what may be danced instead of which cue
        cells = [*segments(toks(placed(spelled(each_foot(text)), places), self.vocabulary, self.legend))]
        if _row_around_a_figure(cells):
            return [Cue(text, name=text, unknown=True)]
        for sep, held in cells:
            held, choice = without_choice(held)
            choices.append((len(out) - (not held), choice))
            if held:
                apart = self._piece(held, sep, out, ahead, apart)
        if ahead and out:
            out[-1].doubt = out[-1].doubt or risk(ahead)
        for at, choice in choices:
            if choice and out:
                out[min(max(at, 0), len(out) - 1)].choice = choice
        out = told_once(out)
        _of_each(out)
        slow = _SLOW.match(text)
        for cue in out:
            cue.doubt = cue.doubt or (slow[1] if slow else "")
            replaced(cue, places)
        if not out and ahead and (name := unknown_name(ahead)):
            cue = Cue(text, name=name, unknown=True)
            mark(cue, [tok for tok in ahead if tok.text not in name.split()], out)
            return [cue]
        return out

    def _piece(self, held: list[Tok], sep: str, out: list[Cue], ahead: list[Tok], apart: bool) -> bool:
        """Read a piece of a line as a cue, or as marks of those before it, or of the first; return whether it is a full
        turn alone, `apart` whether the piece before is one."""
        last = out[-1] if out else None
        said = tight(" ".join(tok.text for tok in held if tok.text != "¦"))
        if last and len(last.feet) == 1 and mirrors(sep, held):  # `Triple L, then on the other foot`
            if len(out) > 1 and {"same", "again", "repeat"} & {tok.low for tok in held}:  # the last, or all?
                last.doubt = last.doubt or said
            else:
                out.append(evolve(last, text=said, feet=OTHER[last.feet], turns=[*last.turns], notes=[*last.notes]))
            return apart
        if last and last.name and (onto := _onto(held, out) or another(held, last.name, last.number)):
            held = onto  # `…, 1/4 L on the second basic`; `… and one to the right`
        if last and last.name and _lasting(last, held, sep):
            return apart
        made = self._asked(held, sep, out)
        if made and last and self._joins(made[0], sep, out):
            return apart
        if made is not None:
            if last and made:  # `Push Off L, 360 L, Push Off R`: the cue's turn, or a step of its own
                last.unknown |= apart
            _led(made, ahead, out)
        elif out:
            self._behind(held, out, sep)
            plain = {tok.kind if not tok.depth else "word" for tok in held}
            if plain & {"part", "codes"} and plain <= {"part", "codes", "foot", "feet", "noise", "verb"}:
                out[-1].doubt = out[-1].doubt or said  # `Basic, heel`
            out[-1].text = f"{out[-1].text}, {said}".strip(", ")
        else:
            ahead += held
        return made is None and [tok.kind for tok in held] == ["turned"] and turn(held[0].value).eighths == 8

    def _joins(self, cue: Cue, sep: str, out: list[Cue]) -> bool:
        """Take a cue that only says the one before it once more, names it or spells it; return whether it does."""
        last = out[-1]
        if sep == "¦" and alike(last, cue):  # `Stomp   STO   R`
            feet = cue.feet or "".join(step.foot for step in last.steps) + last.feet
            out[-1] = evolve(cue, feet=feet, number=last.number, notes=last.notes + cue.notes)
            return True
        return self._named(cue, last, sep) or _spelled(cue, last, sep)

    def _named(self, cue: Cue, row: Cue, sep: str) -> bool:
        """Say whether a cue is no more than the name of the row before it: `DS DS RS RS   fancy double`."""
        if sep == "¦" and row.row and not row.steps and names_steps(cue, row.row):
            row.notes.append(cue.text)  # `DS BR UP DS RS   Brush up`
            return True
        known = cue.name and (not cue.unknown or (sep == "¦" and cue.text.istitle()))  # or a name that no book has
        plain = known and not (cue.row or cue.feet[1:] or cue.doubt or (cue.number and (row.number or cue.times)))
        if cue.turns or cue.times:
            plain = plain and sep == "¦" and not (row.turns or row.times or cue.on or cue.shared)
        if not plain or row.row is None or row.name or sep not in ("¦", "=", "-", "--", ""):
            return False
        row.name = cue.name.removesuffix("s") if cue.unknown and len(row.feet) > 1 else cue.name  # `Donkeys`
        row.aside, row.feet = cue.name if cue.turns or cue.times else cue.text, row.feet or cue.feet
        row.number, row.times = row.number or cue.number * (cue.number != row.times), row.times or cue.times
        row.turns, row.each, row.place = row.turns + cue.turns, row.each or cue.each, row.place or cue.place
        row.notes += cue.notes
        return True

    def marks(self, cue: Cue, text: str) -> None:
        """Give a cue the marks that a text says."""
        places: list[str] = []
        self._behind(without_choice(toks(placed(spelled(text), places), self.vocabulary, self.legend))[0], [cue])
        replaced(cue, places)

    def _asked(self, held: list[Tok], sep: str, before: list[Cue]) -> list[Cue] | None:
        """Return the cue that a piece of a line names, in doubt if a bracket says something of one of its steps."""
        held, about = _about_a_step(held, before)
        made = self._headed(held, sep, before) if held else []
        for cue in made or before[-1:]:
            cue.doubt = cue.doubt or about
        for cue in (made or ())[:1]:
            cue.sep = sep
        return made

    def _headed(self, held: list[Tok], sep: str, before: list[Cue]) -> list[Cue] | None:
        """Return the cue that a piece of a line names, with its marks; None if it names none."""
        said = tight(" ".join(tok.text for tok in held))
        held = once_named(held)
        figures = [at for at, tok in enumerate(held) if tok.kind == "figure" and not tok.depth]
        rows = [at for at, tok in enumerate(held) if tok.row]
        if len(figures) > 1 and row_of_figures(held):
            return [Cue(tok.text, name=tok.value) for tok in held]
        if len(figures) > 1:
            return [Cue(said, name=said, unknown=True, doubt=held[figures[1]].text)]
        if figures:
            at = figures[0]
            cue = Cue(said, name=held[at].value, row=joined_rows([tok.row for tok in held if tok.row]))
            cue.number = leading(held[:at])
            behind = number(held[at + 1]) if rows[:1] == [at + 2] and not cue.number else 0
            if behind and cue.row and cue.row.once(behind) != cue.row:  # `Run 4 (DS DS DS DS)`
                cue.number, held = behind, [*held[: at + 1], *held[at + 2 :]]
            cue.row = cue.row and cue.row.once(cue.number)
            between = {tok.kind for tok in held[at + 1 : rows[0]]} if rows[:1] > [at] else {""}
            cue.runs_on = between <= {"foot", "feet", "dir"} and not held[rows[0]].depth
            cue.several = held[at].low.endswith("s") and not held[at].value.endswith("s")
            if compound(held, at):
                named = [tok for tok in held[: rows[0] if rows else None] if tok.kind not in MARKS]
                cue.name, cue.unknown = called(named), True
                mark(cue, [tok for tok in held if tok.kind in MARKS and not number(tok)], before)
                return [cue]
            mark(cue, held[:at], before, front=True)
            mark(cue, held[at + 1 :], before)
            return [cue]
        return self._rowed(held, said, sep, before) if rows else self._stepped(held, said, before)

    def _rowed(self, held: list[Tok], said: str, sep: str, before: list[Cue]) -> list[Cue]:
        """Return the cue that a row in a piece is, none if it is the footwork of the cue before."""
        rows = [at for at, tok in enumerate(held) if tok.row]
        named = [
            tok
            for tok in held[: rows[0]]
            if not tok.depth and tok.low not in EACH and tok.kind in ("word", "verb", "part", "codes")
            if not (before and held[rows[0]].depth and tok.low.endswith("ing"))
        ]  # `2 Triples, moving forward (DS DS DS RS)`
        words, number = called(held[: rows[0]]) if named else "", leading(held[: rows[0]])
        cue = Cue(said, words, joined_rows([tok.row for tok in held if tok.row]), (), number, unknown=bool(words))
        cue.row = cue.row and cue.row.once(cue.number)
        so = not words and before and "so" in [tok.low for tok in held[: rows[0]]][-1:]
        if so and len(before) > 1:
            for each in before:  # `DS DS RS + a Basic... so DS DS RS DS RS`: all of it once more
                each.doubt, each.unknown = each.doubt or said, True
            return []
        if not words and sep == "¦" and before and before[-1].name and before[-1].row and not cue.number:
            before[-1].row = joined_rows([row for row in (before[-1].row, cue.row) if row])
            mark(before[-1], [tok for tok in held if not tok.row], before)
            return []
        if not words and before and before[-1].row is None and (so or held[rows[0]].depth or sep in (*_EXPLAINS, "¦")):
            last = before[-1]  # `4 Brushes, 1/4 L each (DS BR/SL)`, `4 Stomps L R L R   STO STO STO STO`
            told = [code for step in last.steps for code in step.codes]
            own = [each for codes in cue.row.codes for each in codes] if cue.row else []
            whole, alike = own == told, len({*told}) == 1 and {*told} <= {*own}
            many = len(last.steps) * (alike and not (whole or last.number))
            last.feet, last.times = "".join(step.foot for step in last.steps) + last.feet, last.times or many
            last.row, last.steps = cue.row and cue.row.once(last.number, 2 if whole else 3), ()
            mark(before[-1], [tok for tok in held if not tok.row], before)
            return []
        mark(cue, [] if words else held[: rows[0]], before, front=True)
        mark(cue, held[rows[0] + 1 :], before)
        return [cue]

    def _stepped(self, held: list[Tok], said: str, before: list[Cue]) -> list[Cue] | None:
        """Return single steps that a piece says in words, or a figure that no book has."""
        outside = [tok for tok in held if not tok.depth]
        moving = [tok for tok in outside if tok.kind in ("verb", "codes", "part")]
        if (
            before
            and all(tok.low.endswith("ing") or tok.low in GOES for tok in moving)
            and not any(tok.kind in ("foot", "feet", "twice", "turned") or number(tok) for tok in outside)
        ):
            moving = []
        claps = EACH if {tok.value for tok in moving} == {"CLAP"} else ()  # `clap on each`, and `clap on the rock`
        moving *= not (before and any(tok.kind == "nth" or tok.text[0] == "@" or tok.low in claps for tok in held))
        if outside and (still := _still(outside)):
            return [Cue(said, steps=(Step(("HOLD",)),) * still)]
        if moving and (cue := self._in_words(held, said, moving)):
            return [cue]
        inside = [tok for tok in held if tok.depth]
        beside = before and before[-1].steps and not moving and not risk(outside)
        if beside and [tok.value for tok in outside] in (["together"], ["behind"]):  # `step, together, step, touch`
            return [Cue(said, steps=(Step(("S",), "", (outside[0].value,)),))]
        if beside and any(tok.kind == "verb" for tok in inside):
            return self._stepped([evolve(tok, depth=0) for tok in inside], said, [])  # `shut the hatch (clap overhead)`
        if not (name := unknown_name(held)):
            return None
        at = next(at for at, tok in enumerate(held) if tok.text in name.split())
        cue = Cue(said, name=name, unknown=True, number=leading(held[:at]))
        mark(cue, held[:at], before, front=True)
        mark(cue, [tok for tok in held[at:] if tok.text not in name.split()], before)
        return [cue]

    def _in_words(self, held: list[Tok], said: str, moving: list[Tok]) -> Cue | None:
        """Return the steps that words say, `moving` those that move, None if they say anything else; one that the steps
        don't have is a doubt."""
        outside = [tok for tok in held if not tok.depth]
        pairs = outside[:1] * (number(outside[0]) > 1 and moving[-1].low[-1:] == "s" != moving[0].low[-1:])
        often = [*pairs, *(tok for tok in outside if tok.kind == "twice")] if len(moving) > 1 else []
        words = " ".join(tok.text for tok in outside if tok.low not in {*EACH, ","} and tok not in often)
        found = [each for each in events(words, self.vocabulary) if not (isinstance(each, Aside) and each.inside)]
        if not found or not all(isinstance(each, Step) for each in found):
            return None
        steps = begun(tuple(each for each in found if isinstance(each, Step)))
        cue = Cue(said, steps=steps, number=leading(outside))
        inside = [tok for tok in held if tok.depth]
        feet = " ".join(tok.value if tok.kind == "foot" else tok.text for tok in inside if tok.kind != "sep")
        if is_feet(feet) and re.search("[LR]", feet):
            cue.feet = "".join(re.findall("[LR]", feet))
        single = [tok for tok in moving if tok.kind in ("verb", "codes") and re.fullmatch("[A-Z]+", tok.value)]
        gone = [tok.text for tok in single if all(tok.value not in step.codes for step in steps)]
        lost = gone * (len(steps) < len(single))  # `Slur Brush L`
        cue.doubt = risk([tok for tok in outside if tok.kind == "word" and tok.low not in NUMBERS]) or "".join(lost[:1])
        cue.doubt = cue.doubt or "each" * (any(step.turn for step in steps) and any(tok.low in EACH for tok in outside))
        cue.unknown = bool(lost)
        if held[0].depth and [tok.kind for tok in moving] == ["codes"]:
            cue.times = number(held[0])  # `(4) DS forward`
        for tok in often:  # `step touch 4x`, `4 step touches`
            cue.times, cue.doubt = number(tok) or int(tok.value), cue.doubt or tok.text * (cue.times > 0)
        return cue

    def _behind(self, held: list[Tok], out: list[Cue], sep: str = "") -> None:
        """Give the marks of a piece that names no cue to the cues before it; of cues that another sign than a comma
        parts, a comma's piece is the last one's."""
        own = sep == "," and not _LISTED & {cue.sep for cue in out[1:]}
        turned, several = any(tok.kind == "turned" for tok in held), len(out) > 1 and not own
        if several and [tok.kind for tok in held] == ["twice"]:  # `Basic, Triple, twice`: both, or the last
            for cue in out:
                cue.unknown = True
            return
        each = any(tok.low in EACH or tok.low in NTH for tok in held)
        round_ = out[-1].each and any(tok.value.startswith("8") for tok in held if tok.kind == "turned")
        if turned and several and not (each or round_):  # else `1/4 L on each, all the way round`
            for cue in out:
                cue.doubt = cue.doubt or next(tok.text for tok in held if tok.kind == "turned")
        else:
            mark(out[-1], held, out)


def _lasting(last: Cue, held: list[Tok], sep: str) -> bool:
    """Take the beats of a cue behind it, `Charleston, 4, then 2 Basics, 4`, or the sign that it is explained; return
    whether a piece is beats."""
    last.explained |= not (last.row or last.steps) and sep in (":", "=")
    free = not (last.beats or last.unknown) and (sep in (",", "-", ".") or (sep == "¦" and last.row is None))
    size = number(held[0]) if len(held) == 1 and free else 0
    last.beats = size if size > 1 else last.beats
    return size > 1


def _about_a_step(held: list[Tok], before: list[Cue]) -> tuple[list[Tok], str]:
    """Return a piece without the bracket behind its row, or that of the cue before, that says something of one of the
    steps, `(last DS RS turns 1/2)`, and what that says."""
    inner = [tok for tok in held if tok.depth]
    told = any(tok.row for tok in inner) and any(tok.kind in ("nth", "turned") or tok.low in NTH for tok in inner)
    outer = [tok for tok in held if not tok.depth]
    rowed = any(tok.row for tok in outer) if outer else bool(before and before[-1].row)
    return (outer, tight(" ".join(tok.text for tok in inner))) if told and rowed else (held, "")


def _row_around_a_figure(cells: list[tuple[str, list[Tok]]]) -> bool:
    """Say whether columns are codes with a figure among them, which is then no code: `DS  Dbl-Up  DS RS`."""
    first = [held[0].kind if held else "" for sep, held in cells if sep in ("", "¦")]
    inside = first[1:-1] if len(first) == len(cells) > 2 else []
    return "figure" in inside and first[0] in ("codes", "row") and first[-1] in ("codes", "row")


def _still(outside: list[Tok]) -> int:
    """Return for how many beats a piece says to stand, `pause 4 beats`, 0 if it says anything else."""
    holds = (outside[0].value == "HOLD" or outside[0].low == "wait") and all(
        tok.kind in ("number", "noise", "word") for tok in outside[1:]
    )
    beats = [number(tok) for tok in outside[1:] if number(tok)]
    words = {tok.low for tok in outside[1:] if tok.kind == "word" and not number(tok)}
    return beats[0] if holds and len(beats) == 1 and words <= {"beats", "beat", "counts", "count", "more"} else 0


def _of_each(cues: list[Cue]) -> None:
    """Give the cues of a list the turn that its last makes on each, if that is danced once: each cue's."""
    once = [max(cue.number, cue.times, len(cue.feet), len(cue.steps)) < 2 for cue in cues]
    for at, cue in enumerate(cues):
        listed = sum(1 for _ in itertools.takewhile(lambda one: one.sep in _LISTED, cues[at:0:-1])) or at
        for place in range(at - listed, at) if cue.each and cue.turns and once[at] else ():
            cue.doubt = cue.doubt or "each" * (bool(cues[place].turns) or not once[place])
            cues[place].turns = cues[place].turns or [*cue.turns]


def _onto(held: list[Tok], out: list[Cue]) -> list[Tok]:
    """Return the marks of a piece that names the last figure once more to say which of its times it means, `1/4 L on
    the second Basic`, `2nd Basic turns 1/4 L`, else nothing; of its last time where each is a cue of its own."""
    name, many = out[-1].name, max(out[-1].number, out[-1].times, len(out[-1].feet))
    at = next((at for at, tok in enumerate(held) if tok.kind == "figure"), 0)
    nth = held[at - 1].low if at and held[at].value == name else ""
    marked = any(tok.kind == "turned" for tok in held) and not any(tok.kind == "figure" for tok in held[at + 1 :])
    if at > 1 and nth in {*NTH, *EACH} and any(tok.low == "on" for tok in held[:at]) and marked:
        return [tok for tok in held if tok is not held[at]]
    run = [*itertools.takewhile(lambda cue: cue.name == name, reversed(out))]
    last = nth == "last" or NTH.get(nth, "") == NTHS[min(len(run), len(NTHS)) - 1]
    opens = nth in NTH and marked and all(tok.kind == "noise" for tok in held[: at - 1])
    if not opens or (many < 2 and not (last and len(run) > 1)):
        return []
    return [tok for tok in held if tok is not held[at] and (many > 1 or tok is not held[at - 1])]


def _led(made: list[Cue], ahead: list[Tok], out: list[Cue]) -> None:
    """Add cues, the first with the marks ahead of it; words that are none are a cue of their own before a figure."""
    plain, said = [tok for tok in ahead if not tok.depth], tight(" ".join(tok.text for tok in ahead if not tok.depth))
    words = [tok.text for tok in ahead if tok.kind in ("word", "part") and not quiet(tok)]
    if words and made and made[0].sep == "," and made[0].name and not (made[0].unknown or risk(plain)):
        out.append(Cue(said, name=said, unknown=True))  # `Flea flicker, 2 Basics`
        mark(out[-1], [tok for tok in ahead if tok.depth], out)
        ahead.clear()
    for cue in made:
        if ahead and words:
            cue.doubt, cue.text = cue.doubt or words[0], f"{said}, {cue.text}"
        cue.number = cue.number or leading(ahead)
        mark(cue, [*ahead], out, front=True)
        ahead.clear()
        out.append(cue)


def _spelled(cue: Cue, figure: Cue, sep: str) -> bool:
    """Take steps behind a figure that say what it is, `Joey: touch, step, step`; return whether they do."""
    steps = unnamed(cue)
    spelled_out = figure.explained or figure.spelling or (sep in _EXPLAINS and not figure.row)
    if not figure.name or not steps or not spelled_out or (cue.row is not None and not figure.explained):
        return False
    figure.spelling += steps
    figure.doubt = figure.doubt or cue.doubt
    return True
