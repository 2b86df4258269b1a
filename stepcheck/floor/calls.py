"""The calls of a dance in time with its music: as captions, and as a track of clicks."""

from fractions import Fraction
from html import escape
from itertools import pairwise
from struct import pack

from attrs import frozen

from stepcheck.floor.stretches import MOST, danced, is_line, of_group, program_of, told
from stepcheck.model import words
from stepcheck.model.source import StepcheckError
from stepcheck.program.routine import Routine
from stepcheck.walk.tracks import timeline, walls_of

AHEAD = 2
"""How many beats a call comes before its figure:
sheilajospencer.com/blog/2015/11/16/cloggers-dictionary-call-it-verb."""
COUNT_IN = 8
"""How many beats are clicked before the first step where the sheet says no wait (common practice)."""
SLOWEST = 10  # beats a minute; a beat of a Standard MIDI File lasts less than 17 seconds
PULSES = 480  # of a MIDI file in a beat
_LOW, _HIGH = 77, 76  # wood blocks of General MIDI


@frozen
class Call:
    """What is called, and when.

    Attributes:
        at: when it is called, in seconds from the start of the track.
        starts: when its figure begins, in seconds from the start of the track.
        words: what is called: the figure, at the start of a part with the part and the free foot.
        line: the line that dances it, from 1.
        count: the beat on which the figure begins, as dancers count it from the start of the part.
    """

    at: Fraction
    starts: Fraction
    words: str
    line: int
    count: str


@frozen
class Calls:
    """The calls of a dance.

    Attributes:
        calls: in their order.
        tempo: the beats a minute.
        lead_in: the beats before the first step.
        beats: how long the track is, the lead-in included.
        accents: the beats of the track, from 0, on which parts begin.
        put_right: the lines of claims that do not hold; the dance is called as if they did.
    """

    calls: tuple[Call, ...]
    tempo: Fraction
    lead_in: int
    beats: Fraction
    accents: tuple[int, ...] = ()
    put_right: tuple[int, ...] = ()

    @property
    def webvtt(self) -> str:
        """The calls as captions in WebVTT, each shown until the next."""
        ends = [*(call.at for call in self.calls[1:]), self.beats * 60 / self.tempo]
        cues = (
            f"{_clock(call.at)} --> {_clock(end)}\n{escape(words.visible(call.words), quote=False)}\n"
            for call, end in zip(self.calls, ends, strict=True)
        )
        return "\n".join(("WEBVTT\n", *cues))

    @property
    def midi(self) -> bytes:
        """A Standard MIDI File: a click on every beat, a higher one where a part begins, and the calls as lyrics."""
        events = [(0, b"\xff\x51\x03" + round(60_000_000 / self.tempo).to_bytes(3, "big"))]
        for call in self.calls:
            text = words.visible(call.words).encode()
            events.append((round(call.at * self.tempo / 60 * PULSES), b"\xff\x05" + _varying(len(text)) + text))
        for beat in range(-(-self.beats // 1)):
            note = _HIGH if beat in self.accents else _LOW
            events += [(beat * PULSES, bytes((0x99, note, 100))), (beat * PULSES + PULSES // 4, bytes((0x89, note, 0)))]
        events.sort(key=lambda event: event[0])
        gaps = (after[0] - before[0] for before, after in pairwise(((0, b""), *events)))
        track = b"".join(_varying(gap) + event for gap, (_, event) in zip(gaps, events, strict=True))
        track += b"\x00\xff\x2f\x00"
        return b"MThd" + pack(">IHHH", 6, 0, 1, PULSES) + b"MTrk" + pack(">I", len(track)) + track


def calls(routine: Routine, *, rounds: int | None = None, group: str | None = None) -> Calls:
    """Return the calls of a dance, each `AHEAD` beats before its figure; claims that fail are taken as put right.

    A figure danced some times in a row from one line, without a turn, has one call.

    Args:
        routine: as `load` returns it.
        rounds: how many times it goes through what goes on until the music ends; until it comes round to the wall where
            it began if left out.
        group: whose steps are called where the floor is split; those of the first group if left out.

    Raises:
        IllFormed: it is not understood as written.
        StepcheckError: it has no tempo, is too slow or too long to be called, or has no such group.
    """
    routine = of_group(routine, group)
    program = program_of(routine)
    tempo = routine.facts.tempo
    if tempo is None or tempo < SLOWEST:
        raise StepcheckError(
            f"{routine.path} {'says no tempo' if tempo is None else 'is too slow'}, so no call has its time; "
            "write the beats a minute in the header, such as `tempo: 120`"
        )
    if rounds is None:
        rounds = len(walls_of(program, timeline(program).endless)) or 1
    found = timeline(program, MOST, rounds)
    if not found.whole:
        raise StepcheckError(f"{routine.path}: the dance is too long: it has more than {MOST:,} calls")
    steps = tuple(told(danced(found), is_line(routine)))
    wait = routine.facts.wait or 0
    lead_in = wait if wait >= AHEAD else COUNT_IN
    made, part = [], ("", 0)
    for one in steps:
        starts = (lead_in + one.starts) * 60 / tempo
        foot = {"none": "both feet", "?": "either foot"}.get(one.free, f"{one.free} foot")
        said = one.words if part == (one.part, one.time) or not one.part else f"{one.part}, {foot}: {one.words}"
        made.append(Call(starts - AHEAD * 60 / tempo, starts, said, one.line, one.count))
        part = one.part, one.time
    first = {(one.part, one.time): lead_in + one.starts for one in reversed(steps)}
    return Calls(
        tuple(made),
        tempo,
        lead_in,
        lead_in + max((one.starts + one.beats for one in steps), default=Fraction()),
        tuple(sorted({int(beat) for beat in first.values() if beat.denominator == 1})),
        tuple(dict.fromkeys(one.line for one in found.moments if one.put_right)),
    )


def _clock(seconds: Fraction) -> str:
    """Return a time as WebVTT has it."""
    rest, thousandths = divmod(round(seconds * 1000), 1000)
    return f"{rest // 3600:02}:{rest // 60 % 60:02}:{rest % 60:02}.{thousandths:03}"


def _varying(number: int) -> bytes:
    """Return a number as a MIDI file has it: seven bits a byte, all but the last with the eighth bit set."""
    groups = [number & 0x7F]
    while number := number >> 7:
        groups.append(number & 0x7F | 0x80)
    return bytes(reversed(groups))
