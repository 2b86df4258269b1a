"""What a whole cue sheet explains: its abbreviations, how long a measure is, and its figures."""

import itertools
import re
from collections.abc import Collection, Sequence

from attrs import evolve

from stepcheck.books.placing import place
from stepcheck.cues.codes import beats_under, forms_beats, is_beats, is_feet
from stepcheck.cues.entries import QUOTED, Entry
from stepcheck.cues.figures import Figures, split_foot
from stepcheck.cues.footwork import Footwork, found_in, is_broken
from stepcheck.cues.marks import Cue, risk
from stepcheck.cues.titles import head
from stepcheck.cues.tokens import Tok, spelled, toks
from stepcheck.language.grammar import COUNTED
from stepcheck.language.parser import parse_forms
from stepcheck.model.dance import TICKS, key
from stepcheck.routines.listed import TERMS, heads, is_title, terms
from stepcheck.routines.spelling import ENDS, Spelling
from stepcheck.steps.outline import row_text, turn_text
from stepcheck.steps.steps import Turn, turn
from stepcheck.steps.vocabulary import code, pieces
from stepcheck.steps.words import METER, SPOKEN_FEET, meter, number

_DEFINED = re.compile(
    r"^\s*(?:[Aa]n?\s+)?(?P<name>[A-Za-z][A-Za-z' -]{1,30}?)\s*(?:=|:|\bis\b|\s-\s|\s{2,})\s*(?P<row>.+)$"
)
LEGEND = re.compile(
    r"(?<![\w-])\"?([A-Za-z]{1,5})\"?\s*(?:=|\bmeans\b|"
    r"\bis\b(?= \"?[a-z]))\s*\"?([A-Za-z][A-Za-z ]{1,24}?)\"?(?=\s*(?:[,;./()]|$|\bof\b)|\s{2,})"
)
_SAID = re.compile(
    r";|(?<=RS),(?=[^,;]*?(?:=|:|\bis\b|\s-\s|\s{2}))|(?<=[a-z]{2})\.\s|\s{2,}(?=[A-Za-z][\w' -]{1,30}?\s*=)"
)
"""What stands between the figures of one line."""
_MANY = re.compile(r"(?i)\b(one|two|three|four|five|six|seven|eight|[2-8]) (DS|RS)\b")
_SIGN = r"(?:[=:]|\s-+\s|\s{2,}|\t)"
_ROWED = r"(?:\t|\s{2,})(?:[LR]\s+)?"


class Key(Spelling):
    """The key of a sheet: `pairs`, its abbreviations by their lines, `terms`, those of them in lines of nothing else,
    `legend`, the codes of these, `measure`, the beats of a measure (0 if unknown), and the figures that it spells out,
    which `cues` keeps; lines `apart` just do that."""

    def __init__(self, entries: list[Entry], cues: Figures, apart: Collection[int] = ()) -> None:
        self.entries, self.cues = entries, cues
        self.terms = self._terms()
        self.pairs = self._pairs() | self.terms
        self.legend = self._legend()
        self.entries = self._written()
        self._quoted()
        self.measure = self._measure()
        self.explained: set[int] = set()
        self.glossary = self._glossary() | dict.fromkeys(apart, True)
        self._learn()
        self._unread()
        self.entries = self.guessed([evolve(entry, text=self._cased(entry.text)) for entry in self.entries])

    def _terms(self) -> dict[int, list[tuple[str, str]]]:
        """Return by their numbers the lines that are a list of abbreviations with their words, `DS double step, STO
        stomp`, and a line with one that goes on with such a list."""
        out: dict[int, list[tuple[str, str]]] = {}
        told = [terms(entry.text, True) for entry in self.entries]
        for above, entry, goes_on, below in zip(
            [None, *self.entries], self.entries, told, [*told[1:], []], strict=False
        ):
            under = above is not None and not entry.gap  # of what stands above
            titled = above if above and under and _is_title(above) else None
            listed = under and above and (above.number in out or titled)
            pairs = goes_on if listed else terms(entry.text)
            if pairs and ((under and above and above.number in out) or pairs[1:] or (below and (titled or entry.gap))):
                out |= {titled.number: []} if titled else {}
                out[entry.number] = pairs
        return out

    def _pairs(self) -> dict[int, list[tuple[str, str]]]:
        """Return by their numbers the lines that say what abbreviations mean, with these and their words: several of
        them in a line, or lines with one each, one below the other."""
        several = {entry.number: LEGEND.findall(entry.text) for entry in self.entries}
        out = {number: pairs for number, pairs in several.items() if len(pairs) > 1}
        alone = [LEGEND.match(entry.text) for entry in self.entries]
        said = [found if found and "=" in found[0] and not found_in(found[2], {}) else None for found in alone]
        for (one, found), (other, below) in itertools.pairwise(zip(self.entries, said, strict=True)):
            if found and below:
                out = {each.number: [(at[1], at[2])] for each, at in ((one, found), (other, below))} | out
        return out

    def _legend(self) -> dict[str, tuple[str, ...]]:
        """Return the codes that the sheet's own abbreviations stand for."""
        out: dict[str, tuple[str, ...]] = {}
        for entry in self.entries:
            least = 2 if entry.number in self.terms else 1  # `R rock` is the rock of RS
            for short, words in (each for each in self.pairs.get(entry.number, []) if len(each[0]) >= least):
                if step := self._step(words):
                    out[short.casefold()] = code(step, "clogging") or (step,)
        return {each: codes for each, codes in out.items() if codes}

    def _step(self, words: str) -> str:
        """Return the code of the step that words name, "" if they name none."""
        word = self.cues.vocabulary.phrases.get(tuple(words.casefold().split()))
        coded = word is not None and word.kind in ("verb", "codes") and not words.endswith("ing")
        return word.value if word and coded and " " not in word.value else ""

    def _written(self) -> list[Entry]:
        """Return the lines with the words for which the sheet has abbreviations: `2 RKG CHRS`; one letter is one beside
        a number or a foot only."""
        words = {short: said for pairs in self.pairs.values() for short, said in pairs if self._shortens(short, said)}
        if not words:
            return self.entries
        long = "|".join(re.escape(each) for each in words if len(each) > 1) or "(?!)"
        letter = "|".join(re.escape(each) for each in words if len(each) == 1) or "(?!)"
        alone = "|".join(each for each in words if len(each) == 1 and each not in "ABCDEFGH") or "(?!)"
        short = re.compile(
            rf"(?<![\w-])(?:{long})(?![\w-])|(?<=\d )(?:{letter})(?!\w)|(?<!\w)(?:{letter})(?= \(?[LR]\b)|"
            rf"(?:(?<=^)|(?<=[,;] ))(?:{alone})(?=\W*$|[,;])"
        )
        return [
            entry
            if entry.number in self.pairs
            else evolve(entry, text=short.sub(lambda at: words[at[0]].strip(), entry.text))
            for entry in self.entries
        ]

    def _quoted(self) -> None:
        """Learn the names in quotes under which a row stands."""
        for entry, below in itertools.pairwise(self.entries):
            found, rows = QUOTED.match(entry.raw), found_in(below.text, self.legend)
            if found and rows and not rows[0].start:
                self.cues.learn(found[1])

    def _shortens(self, short: str, said: str) -> bool:
        """Say whether an abbreviation of the sheet stands for words that are no step: in capitals before a sign, or for
        a figure."""
        signed = any(re.search(rf"(?<!\w){short}\"?\s*=", entry.text) for entry in self.entries)
        word = self.cues.vocabulary.phrases.get(tuple(said.casefold().split()))
        figure = word is not None and word.kind == "figure"
        return (
            (figure or (signed and short.isupper()))
            and short.casefold() not in {*self.legend, *SPOKEN_FEET}
            and not (len(short) > 1 and head(short, 0))
            and not self._step(said)
        )

    def _measure(self) -> int:
        """Return the beats of a measure: as the sheet says, or as all lines have them that state measures and are one
        row."""
        for entry in self.entries:
            if beats := meter(entry.raw):
                return beats
        sizes = set[float]()
        for entry in self.entries:
            rows = found_in(entry.text, self.legend) if entry.measured else []
            many = entry.span[1] - entry.span[0] + 1 if entry.span[0] else entry.stated
            if len(rows) == 1 and not rows[0].start and many:
                sizes.add(rows[0].lasts(self.cues.book) / many)
        return int(size) if len(sizes) == 1 and (size := sizes.pop()).is_integer() else 0

    def means(self, entry: Entry) -> bool:
        """Say whether a line only says what abbreviations mean, or how long a measure is."""
        bare = re.sub(r"(?i)^\W*(?:each|every|all|a|one|1)\b|\W+$", "", entry.raw).strip()
        pairs = self.pairs.get(entry.number, [])
        signed = "=" in entry.raw or any(short.casefold() in self.legend for short, _ in pairs)
        signed |= entry.number in self.terms
        return bool(pairs and signed) or METER.fullmatch(bare) is not None

    def _glossary(self) -> dict[int, bool]:
        """Return the numbers of the lines that say what figures are: `Triple = DS DS DS RS`, and in a paragraph behind
        the head of the last part a name from above with its row, what stands under it, and the others if most lines are
        such, or names and rows without a sign; and whether all of such a line is read."""
        out = {
            entry.number: True
            for entry in self.entries
            if self._spelling(entry.raw, r"(?:=|\bis\b)") and not head(entry.text, 0)
        }
        last = max((at for at, entry in enumerate(self.entries) if heads(entry)), default=len(self.entries))
        behind = self.entries[last + 1 :]
        for first, end in itertools.pairwise([*(at for at, each in enumerate(behind) if each.gap), len(behind)]):
            under = [each for each in behind[first:end] if is_feet(each.text) or is_beats(each.text)]
            lines = [each for each in behind[first:end] if not (each in under or head(each.text, 0))]
            above = " ".join(each.text for each in self.entries[: last + 1 + first]).casefold()
            told = [each for each in lines if (name := self._named(each)) and name in above]
            explains = [each for each in lines if each in told or self._spelling(each.text, _SIGN)]
            rows = [each for each in lines if self._spelling(re.sub(r"^\d+\s+", "", each.text), _ROWED)]
            if 2 * len(explains if told else rows) >= len(lines) > 0 and (told or not explains):
                told = lines  # danced, or only explained
            out |= {each.number: each in explains or each is lines[0] for each in told}
            for over, each in itertools.pairwise(behind[first:end] if explains else ()):
                if each in under and over.number in out:
                    out[each.number] = True
                    self.explained.add(each.number)
        for one, two, each in zip(self.entries, self.entries[1:], self.entries[2:], strict=False):
            named = re.match(r"[A-Z][A-Za-z' -]{1,24}?\s*[:=]\s+[a-z]", each.raw) and not head(each.text, 0)
            if named and not each.stated and {one.number, two.number} <= {*out}:
                out.setdefault(each.number, False)  # `STOMP: the whole foot`
        return out

    def _named(self, entry: Entry) -> str:
        """Return the name, as it may stand above, that a line explains by its row or with an equality sign, "" if it
        explains none."""
        equals = None if entry.number in self.pairs else re.match(r"\W*([A-Za-z][\w' -]{1,30}?)\s*=", entry.text)
        name = self._spelling(entry.text, _SIGN) or (equals[1] if equals else "")
        return re.sub(r"^\W*(?:an? )?|s?\W+$", "", name.casefold())

    def _spelling(self, text: str, sign: str) -> str:
        """Return the name in a line that is this, a sign and its row, in codes or in words, "" if it says something
        else, or in words what a code is."""
        words = re.findall(r"[A-Za-z]+(?=\W*=)", text)
        coded = any(code(each.upper(), "clogging") or each.casefold() in self.legend for each in words)
        for said in (text,) if coded else (text, _coded(text)):
            found = re.match(rf"^\W*(?:an? )?[A-Za-z][\w.' -]{{1,30}}?\s*(?:\(\d[^()]*\)\s*)?{sign}\s*", said)
            rows = found_in(said, self.legend) if found else []
            if name := next((said[: each.start] for each in rows if found and 0 < each.start <= found.end()), ""):
                return re.sub(r"\s*\(\d[^()]*\)\W*$", "", name)
        return ""

    def _learn(self) -> None:
        """Learn the figures that the sheet spells out, wherever it does, with the beats that stand below a row."""
        for at, entry in enumerate(self.entries):
            below = [each.raw for each in self.entries[at + 1 : at + 2]]
            listed = entry.number in self.pairs
            for _, name in self.terms.get(entry.number, []):  # `RC rocking chair (DS BR SL DS RS)`, `Ch chain = DS RS`
                told = re.search(rf"{re.escape(name)} (?:\(|= )([^).]*)", entry.text)
                for row in found_in(told[1], self.legend)[:1] if told else ():
                    self.define(name, row)
            if is_broken(entry.text, self.legend):
                continue
            if listed or re.search(
                r"(?i)\b(?:instead|except|but|etc)\b|(?<!\.)\.{2,3}$", entry.text
            ):  # one time's, or not all
                continue
            entry = evolve(entry, text=self._whole(entry.text))
            footed = bool(below) and is_feet(below[0])
            under = self.under(entry)
            self._defined(entry, under)
            self._beside(entry, under, footed)

    def _unread(self) -> None:
        """Learn what figures are called that the sheet explains by steps that are not read, where their names would
        else be those of movements: `Brush - double step, brush the other foot and slide`."""
        for entry in self.entries:
            found = re.match(rf"\W*([A-Za-z]{{3,}}(?: [A-Za-z]+)*)\s*{_SIGN}\s*\w", entry.text)
            unread = entry.number in self.glossary and entry.number not in self.explained | self.pairs.keys()
            kinds = [kind for kind, *_ in pieces(found[1], self.cues.vocabulary)] if found and unread else []
            if found and {*kinds} in ({"verb"}, {"codes"}):
                self.cues.learn(found[1])

    def _cased(self, text: str) -> str:
        """Return a line with the figures of the sheet in small letters where they could be codes: `SLUR STEP`."""
        for name in (each.name for each in self.cues.defined.values() if " " in each.name):
            text = re.sub(rf"(?<!\w){re.escape(name.upper())}(?!\w)", name, text)
        return text

    def under(self, entry: Entry) -> tuple[str, ...]:
        """Return the beats that stand in a bracket behind a row, below it, or below its feet."""
        below = [each.raw for each in self.entries if each.number > entry.number][:2]
        below = below[1:] if below and is_feet(below[0]) else below[:1]
        aside = re.findall(r"[(\[]([^()\[\]]*)[)\]]\W*$", entry.raw)
        return next(filter(None, map(beats_under, (*aside, *below))), ())

    def _defined(self, entry: Entry, under: tuple[str, ...]) -> None:
        """Learn the figures of a line behind whose names a sign and a row stand."""
        if head(entry.text, 0):
            return
        words = entry.number in self.glossary and not found_in(entry.text, self.legend)
        for said in _SAID.split(_coded(entry.text) if words else entry.text):
            front = re.match(r"(?i)\s*\(?(\d{1,2})\)?\s*(?:x\s*)?(?=[A-Za-z])", said)
            found = _DEFINED.match(said[front.end() :] if front else said)
            rows = found_in(found.string, self.legend) if found else []
            rows = [each for each in rows if found and each.start >= found.start("row")]
            if found and len(rows) == 1 and rows[0].start == found.start("row"):
                many = int(front[1]) if front else 1
                many = 1 if many == rows[0].lasts(self.cues.book) and found["name"][-1] != "s" else many  # its beats
                row = evolve(rows[0], beats=rows[0].beats or under).once(many)
                self._spelled(entry, found["name"], row, found.string[rows[0].end :])

    def _beside(self, entry: Entry, under: tuple[str, ...], footed: bool) -> None:
        """Learn the figures among the cues of a line beside which a row stands; `footed` says that its feet are
        below."""
        made = head(entry.text, 0)
        text = made.rest if made else entry.text
        only, half = entry.number in self.glossary, re.search(r"(?i)\b(?:first|second|last|1st|2nd) half\b", text)
        words = "" if found_in(text, self.legend) else spelled(text)
        cues = self.cues_of(text) if found_in(words or text, self.legend) and not half else []
        match cues:
            case [Cue(row=None, steps=(), doubt="") as front, Cue(row=Footwork() as row, doubt="", name="")]:
                bare = front.name and not front.number and re.search(r",\s*$", text[: row.start])
                if bare and row.lasts(self.cues.book) == entry.stated:
                    self.define(front.name, row)  # `Charleston, DS TCH H TCH H RS (4 beats)`
        for before, cue in zip([None, *cues], cues, strict=False):
            other = cue.row is not None and (cue.unknown or self.cues.alike(cue.name, cue.row.row))
            ended = cue.row is not None and ENDS.match(words, cue.row.end) is not None
            aside = cue.aside and cue.row is not None and (cue.row.feet or footed)
            named = cue.row is not None and cue.name and not (aside and self._size(cue))
            named = named and (not words or (other and ended))
            led = before is not None and before.name and before.row is None  # which has the row, and a code unread
            if cue.row is None or not named or cue.spelling or (only and (cue.doubt or cue.turns or led)):
                continue  # no name, or the row is not all
            if _goes_on(toks(cue.doubt, self.cues.vocabulary, self.legend)):
                continue
            if self.define(cue.name, evolve(cue.row.once(cue.number), beats=cue.row.beats or under)) and only:
                self.explained.add(entry.number)

    def _whole(self, text: str) -> str:
        """Return a line with a name that a full stop cuts off, `Rocking Ch. =`, as the only figure that it begins."""
        found = re.match(r"\s*([A-Za-z][A-Za-z' -]*?)\.\s*(?=[=:])", text)
        phrases = self.cues.vocabulary.phrases.items() if found else ()
        begun = key(found[1]).casefold() if found else ""
        last = found[1].casefold().split()[-1] if found else ""
        known = {
            word.value
            for said, word in phrases
            if word.kind == "figure" and "".join(said).startswith(begun) and said[-1].startswith(last)
        }
        return f"{known.pop()} {text[found.end() :]}" if found and len(known) == 1 else text

    def _spelled(self, entry: Entry, name: str, row: Footwork, behind: str) -> None:
        """Learn what stands behind a name; in a line that only explains, what is behind its row must be its turn."""
        left = toks(spelled(behind), self.cues.vocabulary, self.legend)
        if entry.number not in self.glossary:
            if not _goes_on(left):
                self.define(name, row)
            return
        turns = [turn(tok.value) for tok in left if tok.kind == "turned"]
        others = [tok for tok in left if tok.kind != "turned"]
        if not risk(others) and len(turns) + len(row.spins) < 2 and self.define(name, row, entry.stated, turns):
            self.explained.add(entry.number)

    def _figure(self, name: str) -> str:
        """Return the figure that a name is with its foot and its way, `triple L fwd`, "" if it is no such name."""
        found = [(kind, value) for kind, value, _, _ in pieces(name, self.cues.vocabulary)]
        figures = [value for kind, value in found if kind == "figure"]
        marks = {kind for kind, _ in found} <= {"figure", "foot", "feet", "dir", "noise", "sep", "number"}
        return figures[0] if len(figures) == 1 and marks and len(found) > 1 else ""

    def define(self, name: str, row: Footwork, beats: int = 0, turns: Sequence[Turn] = ()) -> bool:
        """Keep a row as the footwork of a figure, with the beats that are stated of it (0 if none are) and its turns,
        but where the book has just these movements on other beats, of which the sheet says none; return whether it is
        understood."""
        row = self.grouped(name, row)
        coded, book = row.row, self.cues.book
        line = self.cues.coded(coded)
        counted = "|".join(["\\d+", *COUNTED])
        name = re.sub(rf"(?i)^(?:(?:{counted})\s+)?(?:counts?\s+(?!each))?", "", name)
        called = self._figure(name) or split_foot(name)[0]
        kinds = [kind for kind, *_ in pieces(called, self.cues.vocabulary)]
        ways = {*kinds} <= {"dir", "noise", "sep", "turn", "foot"}
        if head(f"{called}:", 0) or ways or not re.search(r"[^\W\d_]", called):
            return False  # a part, or where it goes
        verbs = [kind for kind in kinds if kind != "dir"]
        if (len(verbs) > 1 and {*verbs} <= {"verb", "foot"}) or re.search(r"(?i)\b(\w+) \1\b", called):
            return False  # steps in front of a row: `kick across, kick out`
        if len(called.split()) > 4 or re.search(
            r"(?i)\b(?:goes|then|next|is|it|you|do|does|makes|says|said|each|every|this|that(?:'?s)?|counts?|beats?|(?<!-)down)\b",
            called,
        ):
            return False
        known = book.find(self.cues.learn(called)) if line.moves and not row.beats else ()
        if known and known[0].versions:
            usual = [action.movement for action in known[0].versions[known[0].usual].actions]
            forms = parse_forms(" ".join(move.code for move in line.moves))
            odd = known[0].length // TICKS != row.lasts(book)
            if odd and usual == [each.movement for each in place(forms, book.movement, book.tradition)[0]]:
                return True
        spin = row.spin(book)
        told = bool(line.moves) and bool(spin or not row.spins)
        if row.beats and not any(move.tick for move in coded.placed(line, book).moves):
            told = row.lasts(book) == forms_beats(" ".join(move.code for move in line.moves), book)  # else not on these
        if told:
            moves = coded.placed(line, book).moves
            bare = evolve(line, moves=moves if row.own else tuple(evolve(move, foot="") for move in moves))
            facts = [*[f"{beats} beats"] * (beats > 0), *([turn_text(*spin)] if spin else map(turn_text, turns))]
            self.cues.define(called, row_text(bare, leads=True), ", ".join(filter(None, row.notes)), ", ".join(facts))
        return told and key(called) in self.cues.defined


def _is_title(entry: Entry) -> bool:
    """Say whether a line is set over others and heads no part."""
    return (is_title(entry.raw) or TERMS.fullmatch(entry.raw) is not None) and not head(entry.text, 0)


def _coded(text: str) -> str:
    """Return what explains a figure in words with the codes for these: `DS DS, RS` for `two double steps and a rock
    step`."""
    said = _MANY.sub(lambda found: " ".join([found[2]] * number(found[1])), spelled(text))
    return re.sub(r"\b(DS|RS|S),? and (?:an? )?(?=[A-Z])", r"\1, ", said)


def _goes_on(found: list[Tok]) -> bool:
    """Say whether words behind a row are more steps of it, which are not read: `DS TCH out H TCH x`."""
    said = zip(found, [*found[1:], None], strict=False)
    listed = [tok for tok, ahead in said if tok.kind != "sep" or not ahead or ahead.kind not in ("codes", "row")]
    beside = itertools.takewhile(lambda tok: tok.kind != "sep", listed)
    return any(
        tok.kind in ("verb", "codes", "part", "row")
        and not (tok.depth or tok.value == "CLAP" or tok.low.endswith("ing"))
        for tok in beside
    )
