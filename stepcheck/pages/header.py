"""What stands over the steps: title, walls, level, music, people, and the heads of the parts of a routine."""

import itertools
import re

from stepcheck.pages.facts import GRADE, LEVEL, NAME, ORDER, Fact, facts_of, level, meter, stands, tidy
from stepcheck.steps.vocabulary import plain

_MUSIC = re.compile(
    r"(?i)^\W*(?:the\s+)?(?:(?:suggested )?music|mus|record(?=\s*:)|song|tune|track|trk|use|snd|band|"
    r"(?:choreographed|danced?|set) to(?=\s*:|\s+[A-Z\"])|"
    r"to(?=\s+(?-i:[A-Z\"'])))\b\s*(?:is|by)?\s*[:=\-,]?\s*"
)
_BY = re.compile(
    r"(?i)^\W*(?:(?:clog\w*|line)\s+(?=(?:routine|dance)\s+by\b))?(?:author|choreograph\w*|choreo|chor\b\.?|ch\b\.?(?=\s*:)|arranged|devised|"
    r"made up|put together|written down|written|clog(?:ged)?(?=\s*:)|steps(?=\s*:)|cal\.?|teacher|taught|as taught|"
    r"cue ?(?:writer|sheet)|cued|cues?|routine|by|from|dance)\b\.?(?:\s*\b(?:by|from)\b)?\s*[:\-]?\s*"
)
_QUOTED = re.compile(r"[\"“]([^\"”]+)[\"”]|(?<!\w)'([^']{3,})'(?!\w)")
_LABELS = tuple(
    (re.compile(rf"(?i)(?:(?<=^)|(?<=   )|(?<=; )|(?<=, )|(?<=\. ))\W*{pattern}"), said)
    for pattern, said in (
        (
            r"(?:name of (?:the )?dance|(?:dance|routine) (?:name|title|called)|name|title)(?:\s*[:=]|\s{2,})\s*",
            "title: ",
        ),
        (r"(?:number of |no\.? of |total )?counts?\s*(?:[:=]|\s{2,})\s*(\d+)", r"\1 counts "),
        (r"(?:number of |no\.? of )?(?:walls?|wl)\s*(?:[:=]|\s{2,})\s*(\w+)", r"\1 walls "),
        (r"counts?\s+(\d+)(?=\s*(?:$|   |,|;))", r"\1 counts "),
        (r"walls?\s+(\d)(?=\s*(?:$|   |,|;))", r"\1 walls "),
        (r"(?:singer|sung by|performed by|performer|group)\s*[:=]\s*", "artist: "),
        (r"(?:speed|bpm)\s*[:=]?\s*(?:about\s+)?(\d{2,3})(?!\w|%)", r"\1 bpm "),
        (r"(start|begin|intro)s?\s*[:=]\s*", r"\1 "),
    )
)
_LABELLING = re.compile(
    r"(?i)(?<=\S)(?<!\bof)(?<!ed)(?<!en)(?<!ht) "
    r"(?=(?:wl|walls?|lvl|level|int|intro|by|choreo|music|song|counts?|bpm)\s*:)"
)
"""What a label says, in the words that are read anywhere."""
_BETWEEN = (
    r"\s+by\s+",
    r"\s+-+\s+",
    r"\s+/\s+",
    r"\s+BY\s+(?!(?:ME|MY|YOU|YOUR|HIM|HER|US|NOW)\b|.*\sBY\s)",
    r",\s*(?:by\s+)?|\s{2,}|\.\s+",
)
"""What stands between a song and its artist, the surest first."""


_PLAYERS = re.compile(r"(?:&|\band) (?:[Tt]he|[Hh]is|[Hh]er) ")


def song(text: str) -> tuple[Fact, ...]:
    """Return song, artist and tempo of a piece such as `"Tide Tables", Oona Pell`, `Boil Over by Stan Harker` or `A -
    B`."""
    text = tidy(text)
    found: list[Fact] = []
    pace = re.search(r"(?:,|-|\s)\s*\(?(?:(?:abt|about|ca)\.?\s*)?(\d{2,3})(?:ish)?\)?$", text)
    if pace and 50 <= int(pace[1]) <= 220:
        found.append(Fact("tempo", pace[1], "taken as the tempo"))
        text = tidy(text[: pace.start()])
    if quoted := _QUOTED.search(text):
        title = quoted[1] or quoted[2]
        behind = re.sub(r"^\W*\(([^()]+)\).*", r"\1", text[quoted.end() :])
        before = tidy(re.sub(r"(?i)\b(?:to|is|music|song|track|danced?|use|we)\b", " ", text[: quoted.start()]))
        other = tidy(behind) or tidy(text[: quoted.start()])
        found += [Fact("left", before)] if tidy(behind) and re.search(r"[A-Za-z]{3}", before) else []
    elif bracketed := re.fullmatch(r"([^()]+?)\s*\(([^()]+)\)(.*)", text):
        title, other = bracketed[1], bracketed[2]
        found += [Fact("left", bracketed[3])] if re.search(r"\w", bracketed[3]) else []
    else:
        once = re.sub(r"\b(\w+) BY \1\b", " ", text)  # `SIDE BY SIDE`
        between = next((each for each in _BETWEEN if re.search(each, once)), r"$")
        parts = re.split(between, text, maxsplit=1)
        title, other = parts[0], parts[1] if len(parts) > 1 else ""
        if not other and _PLAYERS.search(title):
            title, other = "", title
    other = tidy(re.sub(r"(?i)^(?:(?:sung |performed |played )?by|the tune of)\s+|^track \d+$", "", other))
    found += [Fact("song", tidy(title))] if tidy(title) else []
    named = NAME.match(other) if other != other.lower() else re.match(r"[^,;/(]+", other)
    left = tidy(other[named.end() :]) if named else other
    found += [Fact("left", left)] if left else []
    return (*found, Fact("artist", tidy(named[0]))) if named and re.search(r"\w{3}", named[0]) else tuple(found)


def author(text: str) -> Fact:
    """Return the people that a piece names, a club in brackets behind them."""
    text = tidy(re.sub(r"'s notebook\b|^\W*the notebook of\b|\s*(?:\.{2,}|…).*", "", _BY.sub("", text)))
    text = re.split(r" (?:by|BY) (?=[A-Z])", text)[-1]
    if "(" not in text:
        parts = re.split(
            r"\s*,\s*(?:of\s+(?:the\s+)?)?|\s+-\s+|\s+/\s+|\s+\*\s+|\s+(?:of|for) the\s+", text, maxsplit=1
        )
        text = parts[0]
        if len(parts) == 2 and re.match(r"(?:(?:for|of|at|from|the) )*[A-Z]", parts[1]):
            text = f"{parts[0]} ({tidy(re.sub(r'^(?:for|of|at|from) (?:the )?', '', parts[1]))})"
    elif at := re.fullmatch(r"(.+?) at ([A-Z][\w ]+) \((.+)\)", text):
        text = f"{at[1]} ({at[3]}, {at[2]})"
    return Fact("author", text)


def is_music(text: str) -> bool:
    """Say whether a piece is about the music."""
    quoted = _QUOTED.search(text)
    return bool(_MUSIC.match(text)) or bool(quoted and not LEVEL.fullmatch(f"{quoted[1] or quoted[2]}"))


def is_author(text: str) -> bool:
    """Say whether a piece is about the people."""
    return bool(_BY.match(text))


_CUTS = re.compile(
    r"(?i)\s{2,}|\u241f|\s+//\s+|;\s+|(?<=[a-z]{3})(?<!\bcal)(?<!\bmrs)(?<!\bchor)(?<!\bchoreo)\.\s+(?=[A-Z])|"
    r"\s+-{1,2}\s+(?=(?:to )?[\"']|music\b|song\b|track\b)|\s+--\s+"
    rf"|\s+-+\s+(?=(?:{GRADE})[\s.]*(?:$|\s-\s)|\d{{2,3}}\s*$)|\s+-+\s+(?=put together\b)"
    r"|,\s+(?=from\b|to [\"'])|\s+/\s+(?=(?:from|by)\b)|,?\s+(?=for [\"'])|\s+[-/]\s+(?=\u241f|$)"
)
_NO_NAME = re.compile(
    r"(?i)\b(?:clog|clogging|class|feel|steps?|rows?|routine|notes|levels?|latin|waltz|quick|tempo|music|dance|start|"
    r"vocals|card|time|singing|lyrics|intro|club night|count|fast|slow|dear|please|promised|lead|foot|weight|wt|rf|lf|"
    r"restarts?|tags?)\b"
)
_OCCASION = re.compile(
    r"(?i)\bclass\b\s*[^\w\s]|\b(?:class|lesson|handout|homework)\W*$|\bnew (?:one|dance)\b|\b(?:this|next) week\b"
)
"""What a class is told over the title of the dance, `tues class - new one!!`."""
_WORDS = re.compile(r"\W*[^\W\d_][\w']*(?: [\w']+){0,5}\W*")
"""A line that may be a title."""
_LABEL = re.compile(r"(?i)^(music|song|track|tune|choreo\w*|routine|by|teacher|band|artist)\s*:?$")
_PERSON = re.compile(
    r"(?:(?:Mrs?|Ms|Dr)\.? )?(?!Over\b|Down\b|The\b|My\b|All\b|In\b|On\b)(?:[A-Z][\w'-]*\.?|[a-z]\.)"
    r"(?: (?:&|and|de|van|von|[A-Z][\w'&-]*\.?))+(?:$|\s*[,(/*-]| for the )"
)
_CALLED = re.compile(
    r"\b(?:here is|this is how|called|named|dance is|(?:steps|notes|cues) (?:of|for|to))\s+(?:the )?\"?"
    r"([A-Z][\w']*(?:\s(?:[A-Z][\w']*|a|of|the|in|on|and|to|at))*)"
)
_SUBJECT = re.compile(r"(?i)^\s*(?:(?:subject|fwd?|re)\s*:\s*)+")
_NAMES = re.compile(r"[A-Z][\w']*(?:\s(?:[A-Z][\w']*|a|of|the|in|on|and|to|at))*\s[A-Z][\w']*")
_DATED = re.compile(
    r"\s*(?:,\s*|\s-\s+|\()(?:(?:[a-z0-9]|(?:Jan|Feb|Sept?|Oct|Nov|Dec)(?=\W|[a-z]+ary|[a-z]*ber)|"
    r"(?:March|Mar|April|Apr|May|June?|July?|Aug(?:ust)?)\b)[\w.]*(?![\w.])(?<!\bof)(?<!\bthe)(?<!\bat)"
    r"(?: ['a-z\d.]+)*(?:, [a-z\d. ]+)?)\)?$"
    r"|[\s,(-]+(?i:(?:spring|summer|autumn|fall|winter|"
    r"(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*\.?),? )?"
    r"(?:(?:\d{1,2}[/.-]){1,2}'?\d{2,4}|(?:19|20)\d\d)\)?$"
)
"""What stands behind people and is no club: `, spring social`, `(ver. 2)`, `, May`, ` 10/22`."""
_LOWER = re.compile(r"by (?!the\b)[\w'-]+(?: [\w'-]+)? (?:[&+]|and) [\w'-]+(?: [\w'-]+)?(?: \([^()]*\))?")
_LABELLED = re.compile(r"(?i)\W*(?:dance|title|routine|name)\s*:")
_FIRST = re.compile(r"\W*((?:[A-Z][\w']*\s)+[A-Z][\w']*)\s*[,(-]\s*(?=\d+\s*(?:counts?|cts?|c|beats?)\b|to\s+[\"A-Z])")
"""A title, and the counts or the song of its dance behind it."""
_BEGINS = re.compile(r"(?i)(?:we )?(?:start|begin)\w* (?:with|on|at)\b")
_TITLED = re.compile(r"(?i)^\W*(?:[\w-]+\s)?(?:dance|title|routine|name)\s*:\s*")
_OWNER = re.compile(r"((?:(?:Mrs?|Ms|Dr)\.? )?[A-Z]\w+(?: [A-Z]\w+)*)'s (?:routine|dance|steps|version)\b")
_SAME_NAME = re.compile(r"(?i)(?:(?:of|has|with) )?(?:the )?same (?:name|title)(?: as .*)?|as the (?:dance|title|name)")
_SUNG = re.compile(r"([A-Z][^()/:-]{3,40}?) - ([A-Z][^()/:-]{3,40})")
"""A song and its artist, without a word for it."""


def _labelled(text: str, first: bool) -> str:
    """Return a line with its labels written one way, and a title, the first line, that is set wide as plain words."""
    text = re.sub(r"(?<=[A-Za-z]) ?: {2,}", ": ", text.replace("\t", "   "))
    text = re.sub(r" [|\u00b7\u2022] ", "   ", text)
    text = re.sub(r"(?<![\d/])(\d{2,3})\s*/\s*([1248])(?=\s*(?:/|\)|$))", r"\1 counts / \2 walls", text)
    text = _LABELLING.sub("   ", text)
    for label, said in _LABELS:
        text = label.sub(said, text)
    if first and re.fullmatch(r"[A-Z']+(?: {2,}[A-Z']+)+|(?:\w ){2,}\w(?: {2,}(?:\w )*\w)*", text.strip()):
        text = re.sub(r"(?<=\b\w) (?=\w\b)", "", text) if re.match(r"\w \w \w", text.strip()) else text
        text = " ".join(text.split())
    return text


class Header:
    """The lines above the steps while they are read: the facts, and what of the lines says something else."""

    def __init__(self, tradition: str, bar: int) -> None:
        self.tradition, self.bar = tradition, bar
        self.found: list[Fact] = []
        self.left: list[str] = []
        self.beside: list[str] = []
        self.at = self.signed = 0
        self.alone = False

    def put(self, fact: Fact) -> bool:
        """Take a fact; return whether it is the first of its key."""
        if fact.key == "song" and _SAME_NAME.fullmatch(fact.value):
            fact = Fact("song", next((other.value for other in self.found if other.key == "routine"), ""))
        new = bool(fact.value) and all(other.key != fact.key for other in self.found)
        self.found += [fact] * new
        self.signed = self.at if new and fact.key == "author" else self.signed
        return new

    def line(self, text: str, first: bool) -> bool:
        """Take a line, the first being the title; return whether it states a fact."""
        given, whole, before, kept = text, " ".join(text.split()), len(self.found), len(self.left)
        text = _labelled(text, first)
        grades = [each[0] for each in LEVEL.finditer(text) if re.search(r"(?i)beg|imp|int|adv|nov", each[1])]
        if grades and re.search(r"(?i)\bfor\b", text) and (graded := level(tidy(grades[0]), self.tradition)):
            self.put(graded)  # `an easy dance for absolute beginners`
        stated, rest = facts_of(text, self.tradition, self.bar)
        signs = ((" / ", 2), (" - ", 3), (" * ", 2)) if first or not _MUSIC.match(text) else ()
        for sign in (sign for sign, many in signs if plain(text).count(sign) >= many):
            rest = rest.replace(sign, "   ")
        rest = re.sub(r"\(([^()]*\u241f[^()]*)\)", "\u241f\\1\u241f", rest)  # what stands beside a fact in brackets
        self.left += [whole for fact in stated if not self.put(fact) and fact.key != "counts"]
        pieces = [tidy(piece) if "(" not in piece else piece.strip() for piece in _CUTS.split(rest)]
        pieces = [piece for piece in pieces if re.search(r"\w", piece)]
        if len(pieces) > 1 and _LABEL.match(pieces[0]):
            names = [pieces[1], *itertools.takewhile(lambda piece: not piece[:1].islower(), pieces[2:])]
            pieces = [f"{pieces[0].rstrip(':')}: {', '.join(names)}", *pieces[1 + len(names) :]]
        self.at, self.alone = self.at + 1, [tidy(whole)] == [*map(tidy, pieces)]
        for place, piece in enumerate(pieces):
            bare = tidy(piece)
            if first and not place:
                title, bare = _title(_TITLED.sub("", piece.strip()))
                self.put(Fact("routine", title))
            if bare and not self._said(bare, not first):
                self._people(bare, piece, not first)
        named = [each for each in self.found[before:] if each.key in ("routine", "song", "artist", "author")]
        same = [Fact("song", each.value) for each in self.found if each.key == "routine"]
        unsure = {each.key for each in named if each not in same and not stands(each, given)}
        unsure |= {"artist"} if "song" in unsure else set()
        self.found[before:] = [each for each in self.found[before:] if each.key not in unsure]
        self.left += [whole] * bool(unsure)
        told = len(self.found) > before
        self.beside = self.left[kept:] if told else []
        self.beside += [whole] * (told and sum(len(piece) < 10 for piece in pieces) > 3)
        if told and any(re.search(r"[^\W\d_]{3}|\d[/.]\d|\d{4}", each) for each in self.left[kept:]):
            self.left[kept:] = [whole]  # what is left of a line is seen with the whole of it
        elif told:
            del self.left[kept:]
        elif len(self.left) == kept:
            self.left.append(whole)
        return told

    def _said(self, bare: str, later: bool) -> bool:
        """Take a piece about the band, the tempo or the music; return whether it is one."""
        if band := re.match(
            r"(?i)(?:band|artist|(?:rec(?:orded)?\.?|sung|performed|played) by|"
            r"(?:song|tune|music|track) by(?!.*\"))\s*:?\s*(.+)",
            bare,
        ):
            for fact in (fact for fact in song(f"x by {band[1]}") if fact.key != "song"):
                self.put(fact)
            return True
        pace = re.fullmatch(r"(?i)\W*(?:[a-z]+,?\s+)?(?:about\s+)?(\d{2,3})(?:ish)?", bare)
        if pace and later and 50 <= int(pace[1]) <= 220:
            around = tidy(bare.replace(pace[1], "")).replace("ish", "about")
            if self.put(Fact("tempo", pace[1], around or "taken as the tempo")):
                return True
        if _BEGINS.match(bare) or not is_music(bare):
            return False
        for fact in song(_MUSIC.sub("", bare)):
            if fact.key == "left" or (not self.put(fact) and all(fact.value != each.value for each in self.found)):
                said = fact.value if fact.key == "left" else bare
                self.left += [said] * (said not in self.left)
        return True

    def _people(self, bare: str, piece: str, later: bool) -> None:
        """Take a piece about the level or the people; keep it where it is about neither."""
        if (graded := level(bare, self.tradition)) and (
            len(bare.split()) <= 6 or LEVEL.match(bare) or re.search(r"\b(?:level|for)\b", bare.casefold())
        ):
            self.put(graded)
            bare = tidy(_LEVEL_WORDS.sub(" ", LEVEL.sub(" ", bare, count=1)))
            if len(bare) < 4:
                return
        titled = None if any(fact.key == "song" for fact in self.found) else _SUNG.fullmatch(bare)
        if (
            later
            and titled
            and all(map(NAME.fullmatch, titled.groups()))
            and (piece.startswith("(") or not _PERSON.match(titled[1]))
        ):
            self.put(Fact("song", titled[1]))
            self.put(Fact("artist", titled[2]))
            return
        people = next((fact for fact in self.found if fact.key == "author"), None)
        if later and not people and (owner := _OWNER.match(bare)):
            self.put(author(owner[1]))
            return self._people(bare[owner.end() :].strip(" ,.") or owner[1], piece, later)
        named = not _NO_NAME.search(bare)
        beside = self.signed == self.at or (self.alone and self.at == self.signed + 1)
        club = piece.startswith("(") or re.fullmatch(r"(?:[A-Z][\w']*[ ,]+)*[A-Z][\w']*[ ,]*", bare)
        by = is_author(bare) and re.match(r"(?!(?:at|in|on)\b).*[A-Z]", _BY.sub("", bare))
        by = by or (later and bare.islower() and _LOWER.fullmatch(bare))
        made = re.search(r"\b(?:by|choreographer:?|notes by) (?=[A-Z][\w'.-]+ [A-Z])", bare)
        if not people and made and not by and (names := _NAMES.match(bare, made.end())):
            played = re.search(r"(?i)\b(?:tune|song|music|track)\b", bare[: made.start()])
            more = re.match(rf" (?:&|and) {_NAMES.pattern}", bare[names.end() :])
            people_named = names[0] + (more[0] if more else "")
            self.put(Fact("artist", people_named) if played else author(people_named))
            self.left += [bare] if len(bare[: made.start()].split()) > 2 else []
        elif not people and (by or (later and named and _PERSON.match(bare) and not bare.isupper())):
            self.put(author(_DATED.sub("", bare)))
            self.left += [each[0] for each in _DATED.finditer(bare)]
        elif (
            people
            and beside
            and named
            and club
            and bare.isupper() == people.value.isupper()
            and not _DATED.search(f", {bare}")
            and re.search(r"[A-Za-z]{3}", bare)
            and "(" not in people.value
        ):
            self.found[self.found.index(people)] = Fact("author", f"{people.value} ({bare})")
        elif not _NOTHING.fullmatch(bare):
            self.left.append(bare)


_LEVEL_WORDS = re.compile(r"(?i)\b(?:line dance|clogging|clog|routine|notes|level|lvl)\b|[()]")
_NOTHING = re.compile(r"(?i)(?:a )?(?:line dance|intro|clogging|clog|routine|waltz|dance|in|beats?|counts?|\W)*")
_GREETING = re.compile(
    r"(?i)\s*(?:(?:dear|hello|hullo|hi|hiya|hey|good|to whom)\b|"
    r"(?:from|to|date|sent|subject|fwd?|re)\s*:)"
)


def header_of(
    texts: list[str], tradition: str
) -> tuple[list[Fact], list[str], frozenset[int], tuple[tuple[int, str], ...]]:
    """Return the facts of the lines above the steps, what of them says something else, which lines state a fact, and
    what these say beside it.

    The first is the title, unless it greets: then the dance is called something further on.
    """
    header = Header(tradition, max(map(meter, texts), default=0))
    greeted = bool(texts and _GREETING.match(texts[0]))
    header.left += [text for text in texts if greeted and _SUBJECT.match(text)]
    mail = bool(texts and _SUBJECT.match(texts[0]))
    texts = [_SUBJECT.sub("", text) for text in texts]
    named = next(filter(None, map(_FIRST.match, texts[1:])), None) if greeted else None
    found = [each for text in texts if (each := _CALLED.search(text)) and not each[1].endswith("'s")]
    called = (next(iter(found), named) or _QUOTED.search(texts[0])) if greeted else None
    if called:
        header.put(Fact("routine", re.sub(r"(?: (?:a|of|the|in|on|and|to|at))+$", "", called[1].strip())))
    labels = (at for at, text in enumerate(texts) if _LABELLED.match(text))
    first = next((at for at in labels if not at or not re.match(r"(?i)\W*routine\s*:", texts[at])), -1)
    first = first if first >= 0 else -1 if called else _titled(texts, greeted)
    first = 0 if first < 0 and not called and mail and _NAMES.match(texts[0]) else first
    told, beside = set(), []
    for index, text in enumerate(texts):
        if header.line(text.replace(called[0], " ") if called else text, index == first):
            told.add(index)
            beside += [(index, said) for said in header.beside]
    return header.found, header.left, frozenset(told), tuple(beside)


def _titled(texts: list[str], greeted: bool) -> int:
    """Return the index of the title: behind a greeting the first line of names, over facts; else the first line, or one
    in capitals or under a remark on the class below it; -1 if there is none."""
    if not greeted:
        if (
            len(texts) > 1
            and _OCCASION.search(texts[0])
            and _WORDS.fullmatch(texts[1])
            and not _NO_NAME.search(texts[1])
        ):
            signed = texts[1].islower() or any(map(is_author, texts[2:])) or not _PERSON.match(texts[1])
            return 1 if signed else -1
        below = len(texts) > 1 and texts[1].isupper() and not texts[0].isupper() and not _NOTHING.fullmatch(texts[1])
        return int(below and not facts_of(texts[1], "line")[0] and not is_music(texts[1]) and not is_author(texts[1]))
    names = (at for at, text in enumerate(texts[:-1]) if at and _NAMES.fullmatch(text.strip()))
    return next((at for at in names if facts_of(texts[at + 1], "line")[0]), -1)


def _title(text: str) -> tuple[str, str]:
    """Return the title at the start of the first line, and what stands behind it."""
    parts = re.split(
        r"\s+-{1,2}\s+|\s*\[|\s+\.{2,}\s+|\s*\.\s+\.|\s*\(|,\s|(?<=\w{3})\.\s+(?!\d)|\s+\|\s+|\s+//?\s+",
        text,
        maxsplit=1,
    )
    rest = parts[1].strip(" .,;:-/()") if len(parts) > 1 else ""
    return parts[0].strip(" .,;:-"), rest


def fresh(stated: list[Fact], known: list[Fact], keys: tuple[str, ...] = ORDER) -> list[Fact]:
    """Return the facts of these keys of which none is known."""
    return [fact for fact in stated if fact.key in keys and all(fact.key != other.key for other in known)]


def fields(facts: list[Fact]) -> tuple[tuple[str, str, str], ...]:
    """Return facts as the fields of a sheet, in the order of a header, each with its remark."""
    return tuple(
        (f.key, f.value, f.remark if f.key in ("tempo", "wait") else "") for key in ORDER for f in facts if f.key == key
    )
