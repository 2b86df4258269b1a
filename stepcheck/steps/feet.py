"""Feet that stand behind the steps that they make, alone, in a row, or in brackets, and in a column beside them; and
words around a step that make none themselves: where its foot comes from, what bears it, who leads."""

import itertools
import re
from collections.abc import Iterable, Iterator, Sequence

from attrs import evolve

from stepcheck.model.dance import EIGHTHS
from stepcheck.steps.outline import Assumptions, Move
from stepcheck.steps.steps import OTHER, SIDE, WEIGHT, Event, Mention, Step, Unread
from stepcheck.steps.vocabulary import Piece, Word, plain
from stepcheck.steps.words import FOOT, NUMBERS

_FEET = re.compile(rf"(?i){FOOT}|[lr]+")


def bare_feet(chunk: list[Piece]) -> str:
    """Return the feet of a chunk that says nothing else, "" if it does."""
    feet = "".join(piece[1] for piece in chunk if piece[0] in ("foot", "feet"))
    return feet if all(piece[0] in ("foot", "feet", "noise") for piece in chunk) else ""


def only_feet(piece: Piece, chunk: list[Piece], later: list[Piece]) -> bool:
    """Say whether a word says only that the feet behind it are those of the figure: `shuffle 1/2 R stepping RLR`."""
    named = piece[:2] == ("verb", "S") and any(other[0] == "figure" for other in chunk)
    return named and piece[3].casefold().endswith("ing") and any(other[0] in ("foot", "feet") for other in later)


def turning_to(chunk: list[Piece], lead: Piece) -> list[Piece]:
    """Return a phrase whose feet are said behind it, `lead` first: a foot in it is the side of its turn, or a way."""
    *rest, (kind, foot, _, text) = chunk
    if kind != "foot":
        return chunk
    if any(piece[0] == "turned" and piece[1].strip() != piece[1] for piece in rest):
        return [(*p[:1], f"{p[1].strip()} {foot}", None, p[3]) if p[0] == "turned" else p for p in rest]
    way = f"to the {SIDE[foot]}"
    bare = [piece for piece in rest if piece[3].casefold() not in ("to", "the", "to the")]
    return bare if lead[1].startswith(foot) else [*bare, ("dir", way, Word("dir", way), text)]


def waiting_for_feet(events: list[Event], start: int, chunk: list[Piece]) -> list[int]:
    """Return the places of the events from `start` on whose feet may stand behind them: several steps, or figures."""
    made = events[start:]
    if len(made) == 1:
        only = made[0]
        bare = isinstance(only, Step) and only.codes == ("S",) and not only.foot
        return [start] if bare or (isinstance(only, Mention) and (only.times > 1 or only.several)) else []
    several = any(piece[0] in ("number", "twice") or piece[3].casefold() in NUMBERS for piece in chunk)
    steps = all(isinstance(each, Step) and len(each.codes) == 1 and not each.foot for each in made)
    steps = steps or all(isinstance(each, Step) and each.codes == ("S",) for each in made)
    return list(range(start, len(events))) if steps and several else []


def footed(events: list[Event], waiting: list[int], feet: str) -> bool:
    """Give feet to the steps, or to the times of a figure, that wait for them; return whether they can have them."""
    first = events[waiting[0]]
    if isinstance(first, Mention):
        heard = first.heard + feet
        many = first.times > 1 and not first.several  # of a plural as many as feet are heard
        if any(one == other for one, other in itertools.pairwise(heard)) or (many and first.times < len(heard)):
            return False
        if not first.heard and first.feet and first.feet[-1:] != feet[:1]:
            heard = first.feet + feet
        times = first.times if first.times > 1 else len(heard)
        events[waiting[0]] = evolve(first, feet=heard[:1], heard=heard, times=len(heard) if first.several else times)
        return True
    if len(waiting) == 1 and isinstance(first, Step) and not first.foot:
        rest = [evolve(first, foot=foot, note=(), turn=None) for foot in feet[1:]]
        events[waiting[0] : waiting[0] + 1] = [evolve(first, foot=feet[0]), *rest]
        waiting.clear()
        return True
    for foot in feet:
        if waiting and isinstance(step := events[waiting[0]], Step) and step.foot in ("", foot):
            events[waiting.pop(0)] = evolve(step, foot=foot)
        else:
            return False
    return True


def footless(events: list[Event], feet: str) -> list[Step]:
    """Return the last steps, as many as feet, with these feet, where some have none and the others these; [] where
    there are not as many."""
    last = [step for step in events[-len(feet) :] if isinstance(step, Step) and not step.inside]
    pairs = [(step, foot) for step, foot in zip(last, feet, strict=False) if step.foot in ("", foot)]
    some = 1 < len(feet) == len(pairs) and not all(step.foot for step, _ in pairs)
    return [evolve(step, foot=foot) for step, foot in pairs] if some else []


def against(chunk: Sequence[Piece]) -> bool:
    """Say whether a figure has a foot, and behind it a row of feet that begins with the other one: `L shuffle RLR`."""
    feet = [(piece[0], piece[1]) for piece in chunk if piece[0] in ("foot", "feet", "figure")]
    at = next((index for index, (kind, _) in enumerate(feet) if kind == "figure"), 0)
    glued = next((index for index, (kind, _) in enumerate(feet) if kind == "feet"), 0)
    first, row = (feet[:at][-1:], feet[at + 1 :]) if at else (feet[1:glued], feet[glued:])
    said = "".join(foot for kind, foot in row if kind != "figure")
    return len(said) > 2 and [("foot", OTHER[said[0]])] == first


def shared_row(events: list[Event], chunk: list[Piece]) -> list[Piece]:
    """Return a crossing with its own foot where the row of feet behind it is that of the steps before it as well, which
    get theirs: `behind, side, cross RLR`; these feet as a word where it may be none of these."""
    row = chunk[-1][1] if chunk[-1][0] == "feet" and len(chunk) == 2 else ""
    if len(row) < 3 or chunk[0][2] is None or chunk[0][2].note != "cross":
        return chunk
    if those := footless(events, row[:-1]):
        events[-len(those) :] = those
    return [chunk[0], ("foot", row[-1], None, chunk[-1][3]) if those else ("word", "", None, chunk[-1][3])]


def halved(before: list[Event], event: Event) -> Event:
    """Return what stands behind an `&`: on the half, or behind the step on the half, which is added, by which the
    weight goes from one foot that touches to the other, `R heel & L heel`, and then `& R fwd`."""
    last = before[-1] if before else None
    if not isinstance(event, Step):
        return event
    foot = last.foot if isinstance(last, Step) else ""
    steps = event.codes[-1] in WEIGHT and not any(isinstance(each, Step) and each.text == "&" for each in before)
    apart = event.foot == OTHER[foot] if foot else isinstance(last, Step) and not event.foot
    if not apart or steps or not (step := together(last)):
        return evolve(event, half=True)
    before.append(step)
    return event


def together(last: Event | None) -> Step | None:
    """Return the step on the half by which a foot that touches takes weight, `R heel &`; None behind what is none."""
    if not isinstance(last, Step) or last.codes[-1] in {*WEIGHT, "HOLD", "CLAP"}:
        return None
    return Step(("S",), last.foot, ("together",), text="&", half=True)


def closed(events: list[Event], text: str) -> list[Event]:
    """Return events with the step on the half that an `&` at the end of their text is behind a touch."""
    step = together(events[-1]) if events and re.search(r"\w\s*&\W*$", text) else None
    return [*events, step] if step else events


def feet_behind(events: list[Event]) -> tuple[Event, ...]:
    """Return events of which feet alone in brackets are those of the step before them, and no steps but those that a
    row of feet adds to one that begins it; else that step and the bracket are unread."""
    out: list[Event] = []
    for inside, run in itertools.groupby(events, lambda event: getattr(event, "inside", False)):
        said, before = list(run), out[-1] if out else None
        feet = [e for e in said if inside and isinstance(e, Step) and e.bare and _FEET.fullmatch(e.text)]
        if not feet or any(isinstance(event, Mention) for event in out):
            out += said
        elif (
            len(feet) < len(said)
            or not isinstance(before, Step)
            or before.foot not in ("", feet[0].foot)
            or (len(feet) > 1 and before.codes != ("S",))
        ):
            out[-1:] = [Unread(", ".join(event.text for event in (*out[-1:], *said) if hasattr(event, "text")))]
        else:
            out[-1] = evolve(before, foot=feet[0].foot)
            out += [evolve(before, foot=foot.foot, note=(), turn=None) for foot in feet[1:]]
    return tuple(out)


_TRAVELS = re.compile(r"(?i)\b(?:walk|runn|march|travel|mov|go)ing\b")


def turning_over(events: tuple[Event, ...]) -> tuple[Event, ...]:
    """Return events in which a turn before a row of feet, `full turn L on left, right, left`, is that of all of them:
    they are steps of one phrase. Less than a full one that goes somewhere is on the first, unless they travel."""
    out = list(events)
    for at, first in enumerate(events):
        if not isinstance(first, Step) or not first.turn or first.turned or first.codes != ("S",):
            continue
        if first.note and first.turn.eighths < EIGHTHS and not _TRAVELS.search(first.text):
            continue
        foot = first.foot
        for index, step in enumerate(events[at + 1 :], at + 1):
            bare = isinstance(step, Step) and step.bare and not (step.turn or step.note) and _FEET.fullmatch(step.text)
            if not isinstance(step, Step) or not bare or step.foot != OTHER.get(foot):
                break
            foot, out[index] = step.foot, evolve(step, text=first.text)
    return tuple(out)


def with_feet(events: Sequence[Event], column: str) -> list[Event]:
    """Return events with the feet of their column; a foot in brackets takes no weight and is that of its step as
    well."""
    feet = re.findall(r"[LR]", plain(column).upper())
    out: list[Event] = []
    steps = [
        event
        for event in events
        if isinstance(event, Step) and event.codes[-1] not in ("HOLD", "CLAP", "BUMP", "SPL", "SWIVEL")
    ]
    names = [event for event in events if isinstance(event, Mention)]
    first = next((event for event in events if isinstance(event, Step | Mention | Unread)), None)
    if len(steps) == 1 < len(feet) and not names and steps[0].codes == ("S",) and not steps[0].foot:
        at = next(index for index, event in enumerate(events) if event is steps[0])
        return [
            *events[:at],
            *(evolve(steps[0], foot=foot, turn=None if n else steps[0].turn) for n, foot in enumerate(feet)),
            *events[at + 1 :],
        ]
    if len(names) == 1 and feet and (len(steps) != len(feet) or (len(feet) == 1 and isinstance(first, Mention))):
        joined, named = "".join(feet), names[0]
        begun = evolve(named, feet=named.feet or joined[0] if steps and named is not first else joined)
        return [begun if event is named else event for event in events]
    if len(feet) == 1 and isinstance(first, Unread):
        return [*events]  # it is that of the words that aren't understood
    if len(feet) == 1:  # the foot of a row is that of its first step; then it is the one that is free
        for step in steps[:-1]:
            turning = "PV" in step.codes
            feet.append("" if turning or not feet[-1] else OTHER[feet[-1]] if step.codes[-1] in WEIGHT else feet[-1])
    given = iter(feet if len(feet) == len(steps) else [])
    for event in events:
        if any(event is step for step in steps):
            foot = next(given, "")
            event = evolve(event, foot=foot or event.foot) if isinstance(event, Step) else event
        out.append(event)
    return out


_APART = re.compile(r"[,;]|\s{2,}|\t")
_BARE = re.compile(r"(?i)(?:\W|\b(?:left|right|[lr][ft]?|foot|and)\b)*|\w*")  # feet, or a word


_PUT = r"(?:side|behind|across|over|cross|together|forward|fwd|back|in front)"
_STROKES = re.compile(rf"(?i)(?<=\w):? (?={_PUT}(?:\s?/\s?{_PUT}){{2,}}(?![\w/]))")
"""Before places between strokes, `weave R side/behind/side/cross`: how a figure goes."""


def parted(text: str) -> str:
    """Return a text with a comma for each gap between two phrases of several words, `R beside L   L hitch`, and a
    colon before places between strokes."""

    def sign(gap: re.Match[str]) -> str:
        sides = (_APART.split(text[: gap.start()])[-1], _APART.split(text[gap.end() :])[0])
        return gap[0] if any(_BARE.fullmatch(side.strip()) for side in sides) else ", "

    return _STROKES.sub(": ", re.sub(r"(?<=[A-Za-z)])(?:\s{2,}|\t)(?=[A-Za-z]+:? \(?[A-Za-z])", sign, text))


def _goes_into(later: list[Piece]) -> bool:
    """Say whether `into` leads from one step into the next, `step R back into L side`, and not to a place."""
    behind = [other[0] for other in _up_to_sign(later)]
    bare = [kind for kind in behind if kind not in ("noise", "talk")]
    placed = bare[:2] == ["dir", "foot"] and all(other[3].casefold() != "of" for other in later[:3])  # `into side L`
    return (
        placed
        or bare[:1] in (["verb"], ["figure"])
        or (bare[:1] == ["foot"] and bool({"dir", "part", "verb"} & {*bare[1:]}))
    )


def _up_to_sign(pieces: Iterable[Piece]) -> list[Piece]:
    """Return the pieces before the first sign."""
    return [*itertools.takewhile(lambda piece: piece[0] != "sep", pieces)]


def open_ways(pieces: list[Piece]) -> list[Piece]:
    """Return pieces without the brackets around where a step goes, or what of the foot makes it, `kick R (forward)`,
    `hitch (L knee)`, and with a comma for a word that leads into the next step."""
    out = list(pieces)
    for at in (at for at, piece in enumerate(pieces) if piece[3].casefold() == "into"):
        if _goes_into(pieces[at + 1 :]):
            out[at] = ("sep", ",", None, pieces[at][3])
    opened = [at for at, piece in enumerate(out) if piece[:2] == ("sep", "(")]
    for at in reversed(opened):
        inner, before = _up_to_sign(out[at + 1 :]), _up_to_sign(reversed(out[:at]))
        kinds = {piece[0] for piece in inner}
        closes = out[at + len(inner) + 1 :][:1]
        way = kinds & {"dir", "part"} and kinds <= {"dir", "part", "noise", "foot"}
        said = {piece[0] for piece in before}
        if way and closes and closes[0][1] == ")" and said & {"verb", "part"}:
            del out[at + len(inner) + 1], out[at]
    return out


_SUPPORT = re.compile(
    r"(?i)\b(?:pivot(?:ing)? (?=\d/\d |half |quarter |full ))?((?:\S+ )?(?:turn(?:ing)?|left|right|[lr])) on "
    r"(?:the )?(?:balls? of )?(?:the )?(?:([lr])(?:f|eft|ight)?(?: foot)?"
    r"(?=(?:,|,? and)? (?:(?:step|clos|bring|plac)\w* (?:the )?(?!\2)[lr](?:f|eft|ight)?\b|"
    r"(?!\2)[lr](?:f|eft|ight)?(?: foot)? (?:step|clos|bring|plac)))|"
    r"(?:balls of (?:(?:both|the|your) )*feet|both (?:the )?balls(?: of (?:(?:the|your) )*feet)?)\b)"
)
"""The foot that a turn is made on, before a step of the other, `1/2 right on L stepping R beside`, or the balls of
both."""
_SPLIT = re.compile(
    r"(?i)\b(?:split|open|push) (?:(?:both|your|the) )*(heels|toes)(?: (?:out|apart|open))?"
    r"((?:,|,? and|,? then|,? &)+ (?:bring|close|push|pull|take|put|return) (?:them|(?:(?:both|your|the) )*\1)"
    r"(?: back)?(?: (?:in|together|to cent(?:er|re)))?)?(?=\W*$|\s*[,;.(])"
)
"""What heels do that part and come back: `split both heels out, bring them in`."""
_CARRIED = re.compile(
    rf"(?i)\b(?:bring|lift|pick|pull|raise) (?:up )?((?:the |your )?{FOOT}(?: foot)?)(?: (?:up|in|back))? (?:and|&|\+) "
    r"(?:(cross|hook|kick|place|step|tap|touch) (?:it|that foot)\b(?! on\b)|"
    r"(cross|hook)(?= (?:over|across|behind|in front)\b))"
)
"""How a foot comes where its step is made: `lift R and hook it over`."""
_LEG = rf"(?:the |your )?{FOOT} (?:leg|shin|knee|ankle|calf)\b"
_CROSSED = re.compile(
    rf"(?i)\b(?:cross (?={FOOT}(?: heel| foot)? (?:over|across|in front of) {_LEG})|"
    rf"(hook {FOOT}(?: heel| foot)?) (?:x|cross) (?={_LEG}))"
)
"""What a foot that is crossed over the other leg does: it hooks, since no foot steps there."""
_WEIGHED = re.compile(
    rf"(?i)\b(?:bring|place|put) ((?:the |your )?({FOOT})(?: foot)?\b(?! (?:toe|heel|ball))[^,;.()]*?)"
    r"(?: and step (?:on|onto) it\b|,? (?:and )?(?:taking|take) (?:the |your )?(?:weight|wt)\b(?! off)|"
    r",? \((?:weight|wt) on(?:to)? (?:the )?\2(?: foot)?\))"
)
"""A foot that is put where it then has the weight: a step."""
_ROCKED = re.compile(
    r"(?i)(\brock\b[^,;()]*,\s*(?:(?:and|then) )*)(?:rock |step |weight )?(?:forwards?|fwd|back)(?: again)? "
    r"(?:on ?to|on)\b"
)
"""How a rock comes back: `rock back on R, forward onto L`."""
_ON_BALL = re.compile(
    rf"(?i)\bon (?:the )?balls? of (?:the |your )?{FOOT}(?: foot)?,? "
    r"(?=(?:pivot |turn|make an? |\d/\d |half |quarter ))"
)
"""The foot that bears a turn, and makes no step: `on ball of L turn 1/2 R`."""
_LEADING = re.compile(rf"(?i)^([^,;()]+),\s*(?:your )?({FOOT})(?: foot)? (?:lead(?:s|ing)?|first|kicking)(?=\W*$)")
_TWICE_EACH = re.compile(
    rf"(?i)^((?:[a-z]+ )+?)({FOOT})( twice| x ?2)((?:,| then| and)+ )({FOOT})( twice| x ?2)(?=\W*$)"
)
"""A movement of one side and then of the other: `bump hips right twice, left twice`."""
_PART = rf"((?:the |your )?{FOOT} (?:heel|toe)s?\b)"
_TOES = re.compile(rf"(?i)\b((?:point|touch|tap) (?:the |your )?{FOOT} )toes (?=out (?:to|in front|forward|side)\b)")


def brought(text: str) -> str:
    """Return a text in which words around a step are said as its own: the foot that a turn is made on is left out, how
    a foot comes where it steps is the step, a rock that comes back recovers, and who leads stands in front."""
    text = re.sub(rf"(?i)\b(?:place|put) {_PART}", r"touch \1", text)
    text = _TWICE_EACH.sub(r"\1\2\3\4\1\5\6", _LEADING.sub(r"\2 \1", _ON_BALL.sub("", text)))
    text = _SPLIT.sub(lambda found: f"{found[1]} out{f', {found[1]} in' if found[2] else ''}", text)
    text = _ROCKED.sub(r"\1recover onto", text)
    text = _CARRIED.sub(lambda found: f"{found[2] or found[3]} {found[1]}", _SUPPORT.sub(r"\1", text))
    text = _CROSSED.sub(lambda found: f"{found[1]} across " if found[1] else "hook ", text)
    return _TOES.sub(r"\1toe ", _WEIGHED.sub(r"step \1", text))


def alternate(feet: Sequence[str]) -> bool:
    """Say whether no foot steps twice in a row."""
    return all(one != other for one, other in itertools.pairwise(feet))


def makes(feet: str, moves: Sequence[Move]) -> bool:
    """Say whether feet are those that make the movements of a figure, one after another."""
    free, made = feet[:1], ""
    for move in moves:
        made += free * (move.code != "PV")
        free = OTHER[free] if move.code in WEIGHT else free
    return feet == made


def pivots(events: Sequence[Event]) -> int:
    """Return how many steps of a row turn apart and may be pivots: 0 if the foot that one would end on moves next."""
    moved = [event for event in events if isinstance(event, Step | Mention)]
    for step, behind in itertools.pairwise(moved):
        foot = behind.foot if isinstance(behind, Step) else behind.feet[:1]
        if isinstance(step, Step) and step.turned and foot == OTHER.get(step.foot):
            return 0
    return sum(isinstance(event, Step) and event.turned for event in moved)


def pivoted(events: Sequence[Event], assumed: Assumptions) -> Iterator[Event]:
    """Yield the events, a turn that is said apart from its step as a pivot on a count of its own."""
    for event in events:
        if isinstance(event, Step) and event.turned:
            away = event.turn is not None and event.turn.side[:1].upper() == OTHER.get(event.foot) and not event.note
            ahead = away or "forward" in event.note or re.match(r"(?i)step\W+\d", event.text)
            small = event.turn is not None and event.turn.eighths < 4 and not ahead
            assumed.add(f"a turn with a count of its own is a {'step' if small else 'pivot'}")
            yield evolve(event, turn=None, turned=False)
            yield Step(("S",) if small else ("PV", "S"), "", (), event.turn, event.text)
        else:
            yield event
