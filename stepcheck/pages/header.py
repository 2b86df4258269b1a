"""What stands over the steps: title, walls, level, music, people, and the heads of the parts of a routine."""

import itertools
import re

from stepcheck.pages.facts import (
    CLUB,
    GRADE,
    LEVEL,
    NAME,
    USED,
    Fact,
    facts_of,
    fresh,
    level,
    no_field,
    said_of,
    stands,
    tidy,
)
from stepcheck.pages.heads import TEACHES
from stepcheck.pages.song import (
    ABOUT,
    ARTIST,
    BAND,
    BESIDE,
    BY,
    CALLED,
    DATED,
    GREETING,
    IS_A,
    MUSIC,
    NAMES,
    NO_NAME,
    OCCASION,
    PERSON,
    PLAYERS,
    PLAYS,
    QUOTED,
    SAME_NAME,
    SUNG,
    TAUGHT,
    TITLED,
    VERSION,
    WHERE,
    as_fields,
    author,
    behind_title,
    is_author,
    is_letterhead,
    is_music,
    made_by,
    signed,
    song,
    title_of,
    told_apart,
    unquoted,
    without_letterhead,
)
from stepcheck.steps.steps import SIDE
from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import meter

_CUTS = re.compile(
    r"(?i)\s{2,}|\u241f|(?:\s*\.){4,}\s*|;\s+|(?:(?<=[a-z]{3})(?<!\bcal|\bmrs|\babs|\badv|\bint|\bbeg)"
    r"(?<!\bchor|\bfeat)(?<!\bchoreo)|(?<=:\d\d|\s(?:up|it|in|us)))\.\s+(?=[A-Z])|"
    r"[.,]\s+(?=(?:song|music|tune|track)(?:\s*:| (?:(?:is|by)\b|(?-i:[\"A-Z]))))|"
    rf"\s+(?:--|//)\s+|\s+-\s+(?=(?:to )?[\"']|(?:music|song|track|put together)\b|"
    rf"(?:{GRADE})[\s.]*(?:$|\s-\s)|\d{{2,3}}\s*$)|,\s+(?=from\b|to [\"']|\d:\d\d|(?:we|i) use\b)|"
    r"\s+/\s+(?=(?:from|by)\b)|,?\s+(?=for [\"'])|\s+[-/]\s+(?=\u241f|$)"
)
"""What stands between the fields of a line."""
_LEVEL_WORDS = re.compile(r"(?i)\b(?:line dance|clogging|clog|routine|notes|level|lvl)\b|[()]")
_NOTHING = re.compile(
    r"(?i)(?:a )?(?:line dance|intro|clogging|clog|routine|waltz|dance|(?:cue|step)[ -]?sheet|in|beats?|counts?|\W)*"
)
_WORDS = re.compile(r"\W*[^\W\d_][\w']*(?: [\w']+){0,5}\W*")  # a line that may be a title
_LABEL = re.compile(r"(?i)(?:music|mus|song|track|tune|choreo\w*|routine|by|teacher|band|artist)\s*:?")
_COMPOSES = re.compile(
    r"(?i)\W*(?:(?:choreo\w*|clogged|steps)\b|an? [\w -]*\b(?:dance|routine)\W*(?:(?:\w+ed |made |written )?by\b|$))"
)
_MAIL = re.compile(r"(?i)\s*(?:from|to|date|sent|cc)\s*:")
_SHEET = re.compile(r"(?i)^(\s*subj(?:ect)?\s*:.*?\w)\s+(?:(?:step|cue)[ -]?sheets?|steps|cues|notes|sheet)\W*$")
_SUBJECT = re.compile(r"(?i)^\s*(?:(?:subj(?:ect)?|fwd?|re)\s*:\s*)+")
_LOWER = re.compile(r"by (?!the\b)[\w'-]+(?: [\w'-]+)? (?:[&+]|and) [\w'-]+(?: [\w'-]+)?(?: \([^()]*\))?")
_LONE = re.compile(
    r"(?i)(?:(?:and|then|on|with|the|your) )*([lr])(?:eft|ight)?(?:\W?f(?:(?:oo)?t\.?)?)?(?:\W?l(?:ead)?)?"
)  # a foot that is all of a piece, the one that starts
_FIRST = re.compile(
    rf"\W*(?:({NAME.pattern})\s*[,(-]\s*(?=to\s+[\"A-Z])|"
    r"((?-i:[A-Z](?:(?!\b(?:me|we|us|you|it)\b)[\w' &])+?))\s*(?:[,(.]|\s-)\s|([a-z' ]+) - (?=.* - ))"
)  # a title at the start of a line that says what the song is, or states facts


def _is_name(text: str) -> bool:
    return bool(NAME.fullmatch(text)) and not (LEVEL.fullmatch(text) or is_author(text) or is_music(text))


class Header:
    """The lines above the steps while they are read: the facts, and what of the lines says something else."""

    def __init__(self, tradition: str, bar: int) -> None:
        self.tradition, self.bar = tradition, bar
        self.found: list[Fact] = []
        self.left, self.aside, self.beside = list[str](), list[str](), list[str]()
        self.at = self.signed = self.taught = 0
        self.alone, self.whole, self.bare = False, "", False  # whether the author is no more than `by` somebody
        self.unsure: tuple[int, str] | None = None
        self.doubts: list[tuple[int, str]] = []

    def put(self, fact: Fact) -> bool:
        """Take a fact; return whether it is the first of its key."""
        if fact.key == "song" and SAME_NAME.fullmatch(fact.value):
            fact = Fact("song", said_of("routine", self.found))
        new = bool(fact.value) and all(other.key.lstrip("# ") != fact.key.lstrip("# ") for other in self.found)
        self.found += [fact] * new
        return new

    def line(self, text: str, first: bool, given: str) -> bool:
        """Take a line, the first being the title, of which `given` is the whole; return whether it states a fact, or
        nothing that a field holds."""
        self.aside = []
        whole, before, kept = " ".join(given.split()), len(self.found), len(self.left)
        if said_of("routine", self.found).casefold() == tidy(whole).casefold() != "":
            self.at, self.beside = self.at + 1, []
            return True  # the title again
        text = as_fields(text, first)
        stated, rest = facts_of(text, self.tradition, self.bar)
        signs = ((" / ", 2), (" - ", 3), (" * ", 2), *[("...", 2)] * first) if first or not MUSIC.match(text) else ()
        for sign in (sign for sign, many in signs if plain(text).count(sign) >= many):
            rest = rest.replace(sign, "   ")
        rest = re.sub(r"\(([^()]*\u241f[^()]*)\)", "\u241f\\1\u241f", rest)  # what stands beside a fact in brackets
        self.left += [whole for fact in stated if not self.put(fact) and fact.key != "counts"]
        pieces = [tidy(piece) if "(" not in piece else piece.strip() for piece in _CUTS.split(rest)]
        pieces = [piece for piece in pieces if re.search(r"\w", piece)]
        apart = bool(pieces[1:] and _LABEL.fullmatch(pieces[0]) and (pieces[0] != "mus" or not pieces[1].islower()))
        if apart or (pieces[1:] and MUSIC.match(pieces[0]) and NAME.fullmatch(MUSIC.sub("", pieces[0]))):
            names = [pieces[apart], *itertools.takewhile(_is_name, pieces[1 + apart :])]
            pieces = [f"{pieces[0].rstrip(':')}: " * apart + ", ".join(names), *pieces[apart + len(names) :]]
        self.at, self.whole, self.alone = self.at + 1, whole, [tidy(whole)] == [*map(tidy, pieces)]
        for place, piece in enumerate(pieces):
            bare = tidy(piece)
            if first and not place:
                title, bare = title_of(piece.strip())
                self.put(Fact("routine", title))
            elif self._stated(bare):
                continue
            if bare not in ("", said_of("routine", self.found)) and not self._said(bare, not first):
                self._people(bare, piece, not first)
        same = Fact("song", said_of("routine", self.found))
        named = [each for each in self.found[before:] if each.key in ("routine", "song", "artist", "author")]
        unsure = {each.key for each in named if each != same and not stands(each, given)}
        unsure |= {"artist"} if "song" in unsure else set()
        self.found[before:] = [each for each in self.found[before:] if each.key not in unsure]
        self.left += [whole] * bool(unsure)
        told = len(self.found) > before
        self.beside = [each for each in self.left[kept:] if told and not no_field(each)]
        # what is left of a line is seen with the whole of it
        says = any(re.search(r"[^\W\d_]{3}|\d[/.]\d|\d{4}", each) for each in (*self.left[kept:], *self.aside))
        self.left[kept:] = [whole] * (says or not told)
        return told or (not first and no_field(given))

    def _stated(self, bare: str) -> bool:
        """Take a piece that is a fact and no more, `W8`, or a foot alone; return whether it is one."""
        stated, rest = facts_of(bare, self.tradition, self.bar)
        if lone := _LONE.fullmatch(bare):
            stated, rest = [Fact("lead", SIDE[lone[1].upper()])], ""
        return bool(stated) and not re.search(r"\w", rest) and all([self.put(fact) for fact in stated])

    def _said(self, bare: str, later: bool) -> bool:
        """Take a piece about the band, the tempo or the music; return whether it is one."""
        rest = self._version(bare)
        if rest is not None and not is_music(rest):
            self.left.append(rest)
            return True
        bare = bare if rest is None else rest
        if band := ARTIST.match(bare):
            for fact in (fact for fact in song(f"x by {band[1]}") if fact.key != "song"):
                self.put(fact)
            return True
        pace = re.fullmatch(r"(?i)\W*(?:(?!card|sheet|page|no\b)[a-z]+,?\s+)?(?:about\s+)?(\d{2,3})(?:ish)?", bare)
        if pace and later and 50 <= int(pace[1]) <= 220:
            around = tidy(bare.replace(pace[1], "")).replace("ish", "about")
            if self.put(Fact("tempo", pace[1], around or "taken as the tempo")):
                return True
        if not is_music(bare) or re.match(r"(?i)\W*(?:wait|start|begin|hold) ", self.whole):  # `wait for "hey!"`
            return False
        told = MUSIC.sub("", bare)
        sung = (Fact("left", bare),) if re.match(r"(?i)(?:any\w*|whatever)\b[^\"]*$", told) else self._sung(bare)
        for fact in sung:
            if fact.key == "left" or (not self.put(fact) and all(fact.value != each.value for each in self.found)):
                said = fact.value if fact.key == "left" else bare
                self.left += [said] * (said not in self.left)
        return True

    def _version(self, bare: str) -> str | None:
        """Take whose version the music is, before which stands its title no author; return the rest, None for none."""
        found = VERSION.search(bare)
        if not found or not self.put(Fact("artist", found[1].strip())):
            return None
        self.found += fresh([*filter(None, [level(bare, self.tradition)])], self.found)
        if self.unsure and self.signed == self.at:
            self.doubts.append(self.unsure)
            self.found, self.unsure = [fact for fact in self.found if fact.key != "author"], None
        title, *others = re.split(r"(?i),?\s+(?=not\b)", bare.replace(found[0], " "), maxsplit=1)
        self.aside += others
        return title

    def _sung(self, text: str) -> tuple[Fact, ...]:
        """Return what a text says of the music, with the title of the dance beside it."""
        return told_apart(song(MUSIC.sub("", text)), text, said_of("routine", self.found))

    def _people(self, bare: str, piece: str, later: bool) -> None:
        """Take a piece about the level or the people; keep it where it is about neither."""
        graded = level(bare, self.tradition)
        if graded and (len(bare.split()) <= 6 or LEVEL.match(bare) or re.search(r"\b(?i:level|for|call it)\b", bare)):
            self.put(graded)
            bare = tidy(_LEVEL_WORDS.sub(" ", bare.replace(graded.remark or graded.value, " ", 1)))
            if len(bare) < 4:
                return
        if self._performed(bare, piece, later):
            return
        people = said_of("author", self.found)
        if TAUGHT.match(bare):
            self.taught, self.aside = self.at, [*self.aside, bare]
            self.doubts += [(self.at - 1, self.whole)] * (TEACHES.fullmatch(self.whole) is None)
            return
        made = made_by(bare)
        named = not NO_NAME.search(bare) and self.taught != self.at  # of whom teaches
        beside = self.signed == self.at or (self.alone and self.at == self.signed + 1)
        club = piece.startswith("(") or re.fullmatch(r"(?:[A-Z][\w']*[ ,]+)*[A-Z][\w']*[ ,]*", bare)
        same = bare.isupper() == people.isupper() and re.search(r"[A-Za-z]{3}", bare) and "(" not in people
        by = is_author(bare) and re.match(
            r"(?!(?:at|in|on|for|(?:the )?(?:CD|album|\d\w*(?!.* by ))|(?i:sheet|card|notes?|no))\b).*[A-Z]",
            BY.sub("", bare),
        )
        by = by or (later and bare.islower() and _LOWER.fullmatch(bare))
        band = NAME.fullmatch(bare) and PLAYERS.search(bare) and not CLUB.search(bare)
        alone = (
            later
            and not by
            and not (bare.isupper() or WHERE.search(re.split("[,/(]", bare)[0]))
            and (band or (named and PERSON.match(bare) and not GREETING.match(bare)))
        )
        people = "" if ((by or made) and self.unsure) or (by and self._performs(bare, people)) else people
        players = None if by or not made else re.fullmatch(r"by (.*(?:&|\band) the .*)", bare[made.start() :])
        if (band and (alone or not later)) or players or (re.match(r"by\b", bare) and BAND.search(bare)):
            name = players[1] if players else tidy(re.sub("^by ", "", bare))
            self.left += [bare] * (not self.put(Fact("artist", name)))
        elif not people and made and not by and not alone:
            played = re.search(r"(?i)\b(?:tune|song|music|track)\b", bare[: made.start()])
            people = next(filter(None, made.groups()))
            self.put(Fact("artist", people)) if played else self.credit(author(people), True)
            before = re.sub(r" for .*", "", bare[: made.start()]).split()
            self.left += [bare] if len(before) > 2 and not _COMPOSES.match(bare) else []
            self.aside += [bare[: made.start()], bare[made.end() :]]
        elif not people and (by or (alone and not CLUB.search(author(bare).value.split(" (")[0]))):
            self.credit(author(re.sub(r"\([^()]*$", r"\g<0>)", DATED.sub("", bare))), bool(by))
            self.bare = bool(re.match(r"by\b", bare))
            self.left += [each[0] for each in DATED.finditer(bare)]
        elif people and beside and named and club and same and not DATED.search(f", {bare}"):
            self.credit(Fact("author", f"{people} ({bare})"), True)
        elif not _NOTHING.fullmatch(bare) or (not later and "waltz" in bare.casefold()):
            self.left.append(bare)
            person = not later and "," in bare and bare.islower() and PERSON.match(bare.title())
            doubtful = " by " in bare or person or (alone and not people)
            self.doubts += [(self.at - 1, self.whole)] * (bool(doubtful) and not no_field(bare))

    def _performed(self, bare: str, piece: str, later: bool) -> bool:
        """Take a song beside who plays it, without a word of music; return whether a piece is one."""
        sung = SUNG.fullmatch(bare) if later and not said_of("song", self.found) else None
        if not sung or CLUB.search(bare) or NO_NAME.search(sung[1]) or not all(map(NAME.fullmatch, sung.group(1, 3))):
            return False
        people, plays, named = said_of("author", self.found), PLAYS.search(sung[3]), is_author(bare)
        person = not piece.startswith("(") and (PERSON.match(sung[1]) or named)
        unsure = sung[2] == "by" and not (people and not self.unsure)
        if named or (not plays and (person or unsure)):
            return False
        beside = any(map(BESIDE.search, self.left))
        known = not person or people or sung[2] == "by" or beside  # else it may be a person and a club
        taken = self._sung(bare) if known else (Fact("left", bare),)
        self.left += [fact.value for fact in taken if fact.key == "left" or not self.put(fact)]
        self.doubts += [] if known else [(self.at - 1, self.whole)]
        return True

    def _performs(self, bare: str, people: str) -> bool:
        """Take whom the dance is no more than `by` as the performer of its song, where a piece names its maker; return
        whether it does."""
        performs = bool(people and self.bare and _COMPOSES.match(bare))
        if performs:
            self.found = [each for each in self.found if each.key != "author"]
            self.left += [people] * (not self.put(Fact("artist", people)))
        return performs

    def credit(self, fact: Fact, sure: bool) -> None:
        """Take the author, in the place of one who may be somebody else."""
        at = next((index for index, other in enumerate(self.found) if other.key == "author"), len(self.found))
        if self.unsure and fact.value.partition(" (")[0] not in self.unsure[1]:
            self.doubts.append(self.unsure)
        self.signed, self.aside = self.at, [*self.aside, *filter(None, [fact.remark])]
        self.found[at : at + 1] = [fact]
        self.unsure = None if sure or "(" in fact.value else (self.at - 1, self.whole)


def header_of(
    texts: list[str], tradition: str, measure: int = 0
) -> tuple[list[Fact], list[str], frozenset[int], tuple[tuple[int, str], ...]]:
    """Return the facts of the lines above the steps, what of them says something else, which lines state a fact, and
    what these say beside it; `measure` are the beats of a measure, 0 if only these lines may say it.

    The first is the title, unless it greets: then the dance is called something further on.
    """
    header = Header(tradition, max((measure, *map(meter, texts))))
    header.left, texts, given = without_letterhead(texts)
    greeted, over = GREETING.match(given) is not None, len(header.left)
    apart = [text for text in texts if USED.match(text) or (greeted and _MAIL.match(text))]
    header.left += [text for text in texts if greeted and _SUBJECT.match(text)] + apart
    mails = [at for at, text in enumerate(texts) if _SUBJECT.match(text) and text not in apart]
    texts = ["" if text in apart else _SUBJECT.sub("", _SHEET.sub(r"\1", text)) for text in texts]
    subjects = (each for at in mails if (each := ABOUT.match(texts[at])) and not NO_NAME.search(each[1] or each[2]))
    named = next(filter(None, (*subjects, *map(_first, texts[1:]))), None) if greeted else None
    found = [each for text in texts if (each := CALLED.search(text)) and not (each[1] or "").endswith("'s")]
    sung = greeted and re.search(r"(?i)\b(?:music|song|track|trk|tune)(?: is)?\W{0,3}[\"\u201c]", given)
    called = (next(iter(found), named) or (None if sung else QUOTED.search(given))) if greeted else None
    called = called or (next(filter(None, map(IS_A.match, texts[1:])), None) if is_letterhead(given) else None)
    if called:
        title = next(filter(None, called.groups()[:3]))
        header.put(Fact("routine", re.sub(r"(?: (?:a|of|the|in|on|and|to|at))+$", "", title.strip())))
        played = called.re is CALLED and called[5] and PLAYERS.search(called[5])
        header.put(Fact("artist", called[5].strip() if played else ""))
    top = tidy(given).casefold()  # the title, if the song is called like that
    by = {at for at, text in enumerate(texts) if at and top in text.casefold() and is_music(text.partition("   ")[2])}
    if QUOTED.fullmatch(given.strip()):  # then `Dance:` says who made it
        by |= {at for at, text in enumerate(texts) if PERSON.match(TITLED.sub("", text))}
    labels = (at for at, text in enumerate(texts) if at not in by and TITLED.match(text.replace("\t", "   ")))
    first = next((at for at in labels if not at or not re.match(r"(?i)\W*routine\s*:", texts[at])), -1)
    first = first if first >= 0 or called else _titled(texts, greeted, over * (not greeted))
    only = called.string if called and called.re is ABOUT else ""  # a subject says no more than the title
    said = called[0] if called and played else called[0].partition(" (by ")[0] if called else ""
    told, beside = {at for at, text in enumerate(texts) if called and called[0] in text and text in (only or text)}, []
    texts = ["" if called and at in mails else text for at, text in enumerate(texts)]
    for index, text in enumerate(unquoted(texts, first)):
        header.at = index
        if text and header.line(text.replace(said, " ") if called and not only else text, index == first, text):
            told.add(index)
            beside += [(index, said) for said in header.beside]
    if header.unsure and not said_of("artist", header.found):  # it may be the band
        header.found = [fact for fact in header.found if fact.key != "author"]
        header.doubts.append(header.unsure)
    beside += header.doubts
    made = signed(given, said_of("artist", header.found))
    if (first, made) in beside and header.put(Fact("author", made)):
        beside.remove((first, made))
    if (band := behind_title(given)) and said_of("author", header.found) and header.put(Fact("artist", band)):
        beside = [(at, said) for at, said in beside if at or not no_field(said.replace(band, "", 1))]
    header.left += [said for _, said in header.doubts if said not in header.left]
    return header.found, header.left, frozenset(told), tuple(beside)


def _first(text: str) -> re.Match[str] | None:
    """Return the title at the start of a line that goes on with its song, or with facts."""
    text = text.partition(". ")[2] if GREETING.match(text) else text
    said = _FIRST.match(text)
    title = next(filter(None, said.groups())) if said else ""
    named = not LEVEL.search(title) and not NO_NAME.search(title.removesuffix(" Waltz")) and len(title.split()) < 7
    stated = said and named and not facts_of(title, "line")[0] and facts_of(text[said.end() :], "line")[0]
    return said if said and (said[1] or stated) else None


def _under_occasion(top: str, under: str, behind: list[str]) -> int:
    """Return 1 if the title stands under a remark on the class that does not begin with it, -1 if that may be a person,
    0 if the first line is no such remark, or what is under it no name."""
    title = title_of(as_fields(under, True).split("   ")[0])[0] if OCCASION.search(top) else ""
    if not _WORDS.fullmatch(title) or top.casefold().startswith(title.casefold()):
        return 0
    if LEVEL.search(title) or NO_NAME.search(title):
        return 0
    told = facts_of(under, "line")[0] or LEVEL.search(under)
    named = any(is_author(each) or made_by(each) for each in behind)
    sure = told or named or top[-1].isdigit() or not title.istitle() or not PERSON.match(title)
    return 1 if sure else -1


def _titled(texts: list[str], greeted: bool, over: int = 0) -> int:
    """Return the index of the title: behind a greeting the first line of names, over facts; else the first line, or one
    in capitals or under a remark on the class below it, below as many lines as are `over` it; -1 if there is none."""
    top, under = [*texts, "", ""][:2]
    top = card[0] if (card := re.match(r"(?i)card(?: no\.?|\s?#)? ?\d{1,3}(?=\s{3}|\t)", top)) else top
    if over := over or int(not greeted and is_letterhead(top)):
        return below + over if (below := _titled(texts[over:], greeted)) >= 0 else below
    if not greeted:
        if found := _under_occasion(top, under, texts[2:]):
            return found
        if WHERE.search(top) and re.match(r"(?:\"[^\"]+\"|[A-Z][A-Z' ]+ - )(?:\W*$|\s{2,}|\t|(?<=- ))", plain(under)):
            return 1
        below = under.isupper() and not (top.isupper() or _NOTHING.fullmatch(under) or TAUGHT.match(under))
        return int(below and not (facts_of(under, "line")[0] or is_music(under) or is_author(under)))
    names = (at for at, text in enumerate(texts[:-1]) if at and NAMES.fullmatch(text.strip()))
    return next((at for at in names if facts_of(texts[at + 1], "line")[0]), -1)
