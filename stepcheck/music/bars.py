"""The bars of a song, read with music21 from ABC, MusicXML or MIDI.

Run as a program in a process of its own, with limits of memory and time: the name of the notation is the argument, the
file comes on standard input, the bars go to standard output as JSON. It imports nothing of stepcheck.
"""

import json
import re
import sys
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from typing import Any

MEMORY = 2 << 30
"""Bytes of address space for one song; music21 itself takes a tenth."""
SECONDS = 30
"""Seconds of computing for one song."""
MISSING = 3
"""The exit status where music21 is not installed."""

Bar = dict[str, Any]
"""A bar as JSON. Lengths are in quarter notes, as fractions in text.

`length`, `metre` (two numbers); `begins` and `ends` for repeat signs at its start and end, `plays` how often the repeat
that ends here is played; `endings` the times that it belongs to, empty for all; `edge` for a double bar line at its
end; `label` for a name at its start; `tempos` pairs of a place in the bar and the quarter notes a minute; `free` where
the length need not be that of the metre.
"""
_PLAIN: Bar = dict.fromkeys(("begins", "ends", "edge", "free"), False)
_PLAIN |= {"length": "0", "metre": None, "plays": 2, "endings": [], "label": None, "tempos": []}
JUMPS = re.compile(r"\b(?:D\.\s*[CS]\.|da\s+capo|dal\s+segno|segno|fine|coda)(?!\w)", re.IGNORECASE)


class Unreadable(Exception):
    """The file cannot be read as a song, and why."""


def read(notation: str, data: bytes) -> dict[str, Any]:
    """Return the bars of a song, and what the file says that they leave out.

    Args:
        notation: "abc", "musicxml" or "midi".
        data: the file.

    Raises:
        Unreadable: it holds no bars of one song.
    """
    left_out: list[str] = []
    readers: dict[str, Callable[[bytes, list[str]], list[Bar]]] = {"abc": abc, "musicxml": musicxml, "midi": midi}
    bars = readers[notation](data, left_out)
    if not bars:
        raise Unreadable("there is no note in it")
    if any(bar["metre"] is None for bar in bars):
        raise Unreadable("it has bars without a metre")
    return {"bars": bars, "left_out": left_out}


def abc(data: bytes, left_out: list[str]) -> list[Bar]:
    """Return the bars of one tune in ABC: names from the lines `P:` in it, one voice of several."""
    from music21 import abcFormat

    handler = abcFormat.ABCHandler()
    handler.process(_plain_abc(data.decode("utf-8", "replace"), left_out))
    return _abc_bars(handler.tokens, left_out)


_ENDING = "@ending "
_GO_BACK = "its signs to go back, such as D.C., are not followed"


def _plain_abc(text: str, left_out: list[str]) -> str:
    """Return a tune with endings and inline fields as lines of their own, without comments and written words."""
    text = re.sub(r"%.*", "", text)
    text = re.sub(r"\\\s*\n", " ", text)  # a line that goes on
    if len(re.findall(r"^X:", text, re.MULTILINE)) > 1:
        raise Unreadable("there are several tunes in it; keep the one that is danced to")
    if not re.search(r"^\s*M:|\[M:", text, re.MULTILINE):
        raise Unreadable("it has no metre: a line such as M:2/4")
    if any(JUMPS.search(words) for words in re.findall(r'"[^"\n]*"|![^!\n]*!', text)):
        left_out.append(_GO_BACK)
    lines = []
    for line in text.splitlines():
        if not re.match(r"[A-Za-z]:(?!\|)", line):
            line = re.sub(r'"[^"]*"|![^!]*!', "", line)
            line = re.sub(r"\[([A-Za-z]:[^\]]*)\]", r"\n\1\n", line)
            line = re.sub(r"(?:(?<=\|)\s*\[?|\[)([1-9](?:[,-][1-9])*)(?![0-9/])", rf"\nP:{_ENDING}\1\n", line)
        lines.append(line)
    return "\n".join(lines) + "\n"


def _abc_bars(tokens: list[Any], left_out: list[str]) -> list[Bar]:
    from music21 import abcFormat

    bars: list[Bar] = []
    bar, metre = dict(_PLAIN, tempos=[]), None
    endings: list[int] = []
    voices: list[str] = []
    for token in [*tokens, abcFormat.ABCBar("|]")]:
        if isinstance(token, abcFormat.ABCMetadata):
            metre, endings = _abc_field(token, bar, metre, endings, voices, left_out)
        elif len(set(voices)) > 1 and voices[-1] != voices[0]:
            continue
        elif isinstance(token, abcFormat.ABCNote) and not token.inGrace:
            share = token.activeTuplet.tupletMultiplier() if token.activeTuplet else 1
            length = Fraction(token.quarterLength).limit_denominator(1 << 12) * Fraction(share)
            bar |= {"length": str(Fraction(bar["length"]) + length), "metre": metre, "endings": endings}
        elif isinstance(token, abcFormat.ABCBar):
            if bar["length"] != "0":
                bars.append(bar)
                bar = dict(_PLAIN, tempos=[])
            ends, begins = token.repeatForm == "end", token.repeatForm == "start"
            strong = token.barStyle not in ("", "regular")
            if bars and strong:
                bars[-1] |= {"ends": ends or bars[-1]["ends"], "edge": (not begins and not ends) or bars[-1]["edge"]}
            bar["begins"] |= begins
            endings = [] if strong else endings
    return bars


def _abc_field(
    token: Any, bar: Bar, metre: list[int] | None, endings: list[int], voices: list[str], left_out: list[str]
) -> tuple[list[int] | None, list[int]]:
    """Note a field of a tune at the place of `bar`; return the metre and the endings from there on."""
    match token.tag:
        case "M":
            found = token.getTimeSignatureParameters()
            metre = [found[0], found[1]] if found else None
        case "Q" if (mark := token.getMetronomeMarkObject()) is not None and mark.getQuarterBPM():
            bar["tempos"] = [*bar["tempos"], [bar["length"], _speed(mark)]]
        case "P" if token.data.startswith(_ENDING):
            endings = _numbers(token.data.removeprefix(_ENDING))
        case "P" if metre is None or re.search(r"[A-Z0-9.()]{2}", token.data):
            left_out.append(f"its order of parts, {token.data.strip()}, is not followed")
        case "P":
            bar["label"] = token.data.strip()
        case "V":
            voices.append(token.data.split()[0] if token.data.split() else "")
    return metre, endings


def _speed(mark: Any) -> str:
    return str(Fraction(mark.getQuarterBPM()).limit_denominator(1000))


def _numbers(text: str) -> list[int]:
    """Return the numbers of an ending: `1,2` and `1-3` stand for several."""
    found: list[int] = []
    for piece in text.split(","):
        first, _, last = piece.partition("-")
        found += range(int(first), int(last or first) + 1)
    return found


def musicxml(data: bytes, left_out: list[str]) -> list[Bar]:
    """Return the bars of the first part of a score in MusicXML: names from its rehearsal marks."""
    _without_entities(data)
    from music21 import bar as lines
    from music21 import converter, expressions, repeat, spanner, stream, tempo

    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8"
    score = converter.parseData(data.decode(encoding), format="musicxml")
    part = score.parts.first() if isinstance(score, stream.Score) else score
    endings: dict[int, list[int]] = {}
    for bracket in score.recurse().getElementsByClass(spanner.RepeatBracket):
        for measure in bracket.getSpannedElements():
            endings.setdefault(id(measure), []).extend(bracket.numberRange)
    metre, bars = None, []
    for measure in part.getElementsByClass(stream.Measure):
        if measure.timeSignature is not None:
            metre = [measure.timeSignature.numerator, measure.timeSignature.denominator]
        left, right = measure.leftBarline, measure.rightBarline
        ends = isinstance(right, lines.Repeat)
        marks = measure.getElementsByClass(expressions.RehearsalMark)
        speeds = [one for one in measure.recurse().getElementsByClass(tempo.MetronomeMark) if one.getQuarterBPM()]
        made = {
            "length": str(Fraction(measure.highestTime or measure.barDuration.quarterLength)),
            "metre": metre,
            "begins": isinstance(left, lines.Repeat),
            "ends": ends,
            "plays": (right.times or 2) if ends else 2,
            "endings": endings.get(id(measure), []),
            "edge": right is not None and not ends and right.type not in ("regular", "none", "dotted", "dashed"),
            "label": str(marks[0].content) if marks else None,
            "tempos": [[str(Fraction(each.getOffsetInHierarchy(measure))), _speed(each)] for each in speeds],
        }
        bars.append(_PLAIN | made)
        if measure.getElementsByClass(repeat.RepeatExpression) and not left_out:
            left_out.append(_GO_BACK)
    return bars


def _without_entities(data: bytes) -> None:
    """Refuse XML that declares anything of its own; a document type that only names one declares nothing."""
    from xml.parsers import expat

    def refuse(*found: Any) -> None:
        raise Unreadable("it declares entities of its own, which a song doesn't need")

    def doctype(name: str, system: str | None, public: str | None, inside: bool) -> None:
        if inside:
            refuse()

    parser = expat.ParserCreate()
    parser.StartDoctypeDeclHandler = doctype
    parser.EntityDeclHandler = refuse
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise Unreadable(f"it is no XML: {error}") from error


def midi(data: bytes, left_out: list[str]) -> list[Bar]:
    """Return the stretches between the markers of a Standard MIDI File and its changes of metre, as bars."""
    from music21.midi import ChannelVoiceMessages, DeltaTime, MetaEvents, MidiFile

    file = MidiFile()
    file.readstr(data)
    labels: dict[int, str] = {}
    metres: dict[int, list[int]] = {0: [4, 4]}
    tempos: dict[int, Fraction] = {}
    end = 0
    for track in file.tracks:
        now = 0
        for event in track.events:
            if isinstance(event, DeltaTime):
                now += event.time
            elif event.type in (ChannelVoiceMessages.NOTE_ON, ChannelVoiceMessages.NOTE_OFF):
                end = max(end, now)
            elif event.type == MetaEvents.MARKER:
                labels[now] = event.data.decode("utf-8", "replace")
            elif event.type == MetaEvents.TIME_SIGNATURE:
                metres[now] = [event.data[0], 1 << event.data[1]]
            elif event.type == MetaEvents.SET_TEMPO:
                tempos[now] = Fraction(60_000_000, int.from_bytes(event.data, "big") or 1)
    cuts = sorted(at for at in {0, end, *labels, *metres} if at <= end)
    bars, metre = [], metres[0]
    for start, stop in pairwise(cuts):
        metre = metres.get(start, metre)
        inner = [(at, tempo) for at, tempo in sorted(tempos.items()) if start <= at < stop]
        speeds = [[str(Fraction(at - start, file.ticksPerQuarterNote)), str(tempo)] for at, tempo in inner]
        length = str(Fraction(stop - start, file.ticksPerQuarterNote))
        about = {"length": length, "metre": metre, "label": labels.get(start), "tempos": speeds, "free": True}
        bars.append(_PLAIN | about)
    return bars


def _limit() -> None:
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))


if __name__ == "__main__":
    _limit()
    try:
        json.dump(read(sys.argv[1], sys.stdin.buffer.read()), sys.stdout)
    except ModuleNotFoundError:
        sys.exit(MISSING)
    except MemoryError:
        sys.exit("it takes too much memory")
    except Exception as error:
        sys.exit(str(error).strip().partition("\n")[0] or type(error).__name__)
