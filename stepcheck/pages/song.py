"""What a line says of the music, the song, who plays it, how fast it is, who made the dance, and what it is called."""

import re

from stepcheck.pages.facts import CLUB, GRADE, LEVEL, NAME, Fact, no_field, tidy
from stepcheck.steps.vocabulary import plain

MUSIC = re.compile(
    r"(?i)^\W*(?:(?:the|we|i|you(?:'ll)?|y'?all|(?:it|this)(?:'s| is| was)?)\s+(?:will )?)?"
    r"(?:(?:suggested )?musi[ck](?: used| title| track)?|(?:song|track) title|mus|mp3(?=\s*:)|"
    r"rec(?:ord(?=\s*:| is\b)|(?=\.?\s*[:\"]))|song|tune|track|trk|"
    r"(?:danced? )?to the (?:music|song|tune|track)(?: of)?(?=\s+(?-i:[A-Z\"]))|"
    r"used?|need(?=\s+(?-i:[A-Z\"']))|snd|band|"
    r"(?:choreographed|(?:danced?|did|do|set)(?: (?:it|this))?) to(?=\s*:|\s+[A-Z\"])|"
    r"to(?=\s+(?-i:[A-Z\"'])))\b(?:(?<=mus)\.(?=\s+(?-i:[A-Z\"])))?\s*(?:is|by)?\s*[:=\-,]?\s*"
)
QUOTED = re.compile(r"[\"“]([^\"”]+)[\"”]|(?<!\w)'([^']{3,})'(?!\w)")
_SUNG_IN_QUOTES = re.compile(
    r"(?i)(?:^\W*|[),;:/-]\s*|\b(?:to|for|used?|with|played|put on|(?:music|song|track|tune)(?: is)?)\W*)"
    rf"(?:{QUOTED.pattern})(?=\W*$|\s*[-,.(/;:]|\s+(?:by|from|sung|played|performed|recorded|as|which|at)\b|\s+(?-i:[A-Z\d]))"
)
"""A song: the line speaks of music before it, or begins with it, and a name or nothing is behind."""
_BETWEEN = (
    r",?\s+(?:(?:and )?(?:it|which) is )?(?:(?:as )?(?:sung|played|performed|recorded) )?by\s+",
    r"\s+(?:-+|/)\s+",
    r"\s+BY\s+(?!(?:M[EY]|YOUR?|HIM|HER|US|NOW)\b|.*\sBY\s)",
    r",\s*(?:by\s+)?|\s{2,}|\.\s+",
)
"""What stands between a song and its artist, the surest first."""
BAND = re.compile(
    r"(?i)\b(?:band|trio|duo|quartet|quintet|orchestra|boys|girls|bro(?:ther)?s|sisters|family|ramblers|assoc(?:iation)?|"
    r"singers|players|kings|the .*\b(?:four|five|six))\.?$"
)
PLAYERS = re.compile(rf"(?i)(?:&|\+|\band) (?:the|his|her|their) |{BAND.pattern[4:]}")
"""What the name of a band ends in, or has before those who play with somebody."""
PLAYS = re.compile(rf"(?i){PLAYERS.pattern[4:]}|\b(?:feat|ft|featuring)\b|& co\b|^the (?:[\w'-]+ ){{0,3}}[\w'-]+s\.?$")
"""A name that players have rather than songs."""
_SONG = re.compile(
    r"(?i)\w (?:of|in|on|to|at|an?|is|for|my|your|me|you|up|down|all|no)\b|"
    r"\b(?:blues|boogie|rag|waltz|reel|polka|march|jig|hornpipe|song|lullaby)$"
)  # a name that songs have rather than players
_ALBUM = re.compile(
    rf"(?i)[\s,(/-]*(?:(?:from|on|off) )?(?:(?:the|his|her|their) )?(?:album|cd|ep|lp):?\s*(?:{QUOTED.pattern})\)?"
    r"|\s*\((?:album|cd|ep|lp)\s*:[^()]*\)"
)  # an album beside its song
_LENGTH = re.compile(r"(?i)[\s,.(/-]+\d{1,2}[:.][0-5]\d\)?(?:\s*min\w*\.?\)?)?(?=\W*$|[,;])")
"""How long a track is, `(3:12)`."""


def _names_artist(bracketed: re.Match[str]) -> bool:
    """Say whether a bracket behind a song names who plays it: a name is in it, and no other one is said outside."""
    said, outside = re.sub(r"^(?:(?:as )?\w+ )?by |^\w+: ", "", bracketed[2]), f"{bracketed[1]}{bracketed[3]}"
    named = NAME.match(said) or (outside.islower() and re.fullmatch(r"[a-z' ]+", said))
    return bool(named) and not re.search(r"(?:\s|^)(?:by|-+)\s", outside)


def song(text: str) -> tuple[Fact, ...]:
    """Return song, artist and tempo of a piece such as `"Tide Tables", Oona Pell` or `Boil Over by Stan Harker`."""
    text = tidy(_LENGTH.sub("", tidy(text)))
    found: list[Fact] = []
    if album := _ALBUM.search(text):
        found.append(Fact("left", tidy(album[0])))
        text = tidy(text[: album.start()] + text[album.end() :])
    pace = re.search(r"(?:,|-|\s)\s*\(?(?:(?:abt|about|ca)\.?\s*)?(\d{2,3})(?:ish)?\)?$", text)
    if pace and 50 <= int(pace[1]) <= 220:
        found.append(Fact("tempo", pace[1], "taken as the tempo"))
        text = tidy(text[: pace.start()])
    bracketed = re.fullmatch(r"([^()]+?)\s*\(([^()]+)\)(.*)", text)
    if bracketed and not QUOTED.search(text) and not _names_artist(bracketed):
        found.append(Fact("left", tidy(bracketed[2])))
        text, bracketed = tidy(f"{bracketed[1]}{bracketed[3]}"), None
    if quoted := QUOTED.search(text):
        behind = tidy(re.sub(r"^\W*\(([^()]+)\).*", r"\1", text[quoted.end() :]))
        if no_field(behind):  # `(3:06, moderate)`
            found, behind = [*found, *[Fact("left", behind)] * bool(behind)], ""
        before = tidy(re.sub(r"(?i)\b(?:to|is|music|song|track|danced?|use|we)\b", " ", text[: quoted.start()]))
        title, other = quoted[1] or quoted[2], behind or tidy(text[: quoted.start()])
        found += [Fact("left", before)] if behind and re.search(r"[A-Za-z]{3}", before) else []
    elif bracketed:
        title, other = bracketed[1], re.sub(r"(?i)^(?:artist|band|singer)s?: ", "", bracketed[2])
        found += [Fact("left", bracketed[3])] if re.search(r"\w", bracketed[3]) else []
    else:
        once = re.sub(r"\b(\w+) BY \1\b", " ", text)  # `SIDE BY SIDE`
        between = next((each for each in _BETWEEN if re.search(each, once)), r"$")
        parts = re.split(between, text, maxsplit=1)
        title, other = parts[0], parts[1] if len(parts) > 1 else ""
        if not other and PLAYERS.search(title):
            title, other = "", title
    other = tidy(
        re.sub(r"(?i)^(?:(?:as )?(?:sung |performed |played |recorded )?by|the tune of|from)\s+|^track \d+$", "", other)
    )
    found += [Fact("song", tidy(title))] if tidy(title) else []
    named = NAME.match(other) if other != other.lower() else re.match(r"[^,;/(]+", other)
    if named and (last := re.search(r", (?![^,]*(?:&|\band) )", named[0])):  # `the SHORT version` is no player
        named = re.match(re.escape(named[0][: last.start()]), other)
    left = tidy(other[named.end() :]) if named else other
    found += [Fact("left", left)] if left else []
    return (*found, Fact("artist", tidy(named[0]))) if named and re.search(r"\w{3}", named[0]) else tuple(found)


def is_music(text: str) -> bool:
    """Say whether a piece is about the music."""
    quoted = _SUNG_IN_QUOTES.search(_ALBUM.sub(" ", text))
    quoted = quoted if text.islower() or (quoted and quoted[0] != quoted[0].lower()) else None
    return bool(MUSIC.match(text)) or bool(quoted and not LEVEL.fullmatch(f"{quoted[1] or quoted[2]}"))


SAME_NAME = re.compile(r"(?i)(?:(?:of|has|with) )?(?:the )?same (?:name|title)(?: as .*)?|as the (?:dance|title|name)")
_TO_SAME = re.compile(
    r"(?i)(?:^|,?\s+)(?:(?:danced|set) )?to (?:the|a) (?:song|tune|track|music) (?:of|with) the (same (?:name|title))"
    r"\b,?\s*(?:(?:as )?(?:sung|played|performed|recorded) (?=by\b))?"
)
_BOTH = re.compile(r"(?i)^(\W*)(?:(?:song|music|track|title)\s*[/&]\s*(?:artist|band|singer)s?)\s*:")
_BOTH_TURNED = re.compile(
    r"(?i)^(\W*)(?:artist|band|singer)\s*[/&]\s*(?:song|music|track|title)s?\s*:(.*?\S)\s+[-/]+\s+(.+)"
)
_BEHIND_ARTIST = re.compile(
    r"(?i)^(\W*)(?:(?:artist|band|singer|group|cd|album|record(?:ing)?)\s*:|"
    r"(?:music|(?:recorded|sung|played|performed)) by\b\W?)"
    r"\s*((?:(?!\s{2})[^\":;])+?)(?:[\s,:(-]+(?=\")|(?<!\bchoreo)(?<!\blevel)(?<!\bby)\s*:\s*(?=(?-i:[A-Z])))"
    r"(\"[^\"]+\"|[^\":;]+?(?=\W*$|\s{2,}|,|\s\())\)?"
)


def _turned(found: re.Match[str]) -> str:
    """Return an artist and a song with the song first; they stand so already where only the last one is a band."""
    first, last = found[2], found[3]
    titled = PLAYERS.search(last) and not PLAYERS.search(first)
    return f"{found[1]}song: {first} - {last}" if titled else f"{found[1]}song: {last} - {first}"


def _sung_first(text: str) -> str:
    """Return a line with what it calls its song and who plays it written one way: `Song: …` with the song first."""
    text = _TO_SAME.sub(r"   song: \1 ", text)
    text = _BOTH.sub(r"\1song:", _BOTH_TURNED.sub(_turned, _BEHIND_ARTIST.sub(r"\1song: \3 - \2", text)))
    return re.sub(r"(?i)^(\W*(?:music|song|track)\W+)([^\"]+?)\s+-\s+(\"[^\"]+\")", r"\1\3 - \2", text)


ARTIST = re.compile(
    r"(?i)(?:(?:band|artist|singer|performer|group)(?: is)?|(?:rec(?:orded)?\.?|sung|performed|played|"
    r"(?:song|tune|music|track)(?!.*\")) by)\s*:?\s*(.+)"
)
VERSION = re.compile(r"(?<!not )\bthe ((?:(?:&|and|the|[A-Z][a-z][\w'-]*) ){1,5})(?:version|recording)\b")
SUNG = re.compile(
    r"(?![A-Z][a-z]+(?:ed|en) by )([A-Z][^()/:-]{3,40}?)(?: (?=[^,])|(?=,))(-|by|/|,) ((?:the )?[A-Z][^()/:-]{3,40})"
)  # a song and its artist, without a word for it


_SUNG_TITLE = re.compile(rf'\W*"[^"]+"\s+(?:-+|by)\s+({NAME.pattern})(?=\s+-|\s{{2,}}|\W*$)')


def behind_title(line: str) -> str:
    """Return the name behind a title in quotes, who plays it or made the dance: `"Tide Tables" - Oona Pell`; "" if it
    has none, or of a club."""
    found = _SUNG_TITLE.match(plain(line))
    return found[1] if found and PERSON.match(found[1]) and not CLUB.search(found[1]) else ""


_SIGNED = re.compile(rf".* by ((?:{NAME.pattern}))\W*")


def signed(line: str, artist: str) -> str:
    """Return whom a title is `by`, if the artist is known to be somebody else, so that they made it; "" for none."""
    found = _SIGNED.fullmatch(plain(line)) if artist else None
    made = tidy(found[1]) if found else ""
    return made if made != artist and PERSON.fullmatch(made) and not PLAYERS.search(made) else ""


def _like(side: str, title: str) -> bool:
    """Say whether a name has a long word of the title, or is it."""
    said, known = (set(re.findall(r"\w{4,}", each.casefold())) for each in (side, title))
    return bool(said & known) or side.casefold() == title.casefold()


def told_apart(found: tuple[Fact, ...], text: str, title: str) -> tuple[Fact, ...]:
    """Return song and artist that a piece names the right way round, both as left if nothing says which is which.

    Quotes do, `by` does, a bracket does, else the title of the dance, a word of bands, a word that only songs have, and
    last what the piece calls itself: `Song:`.
    """
    sides = {fact.key: fact.value for fact in found}
    first, second = sides.get("song", ""), sides.get("artist", "")
    if not first or QUOTED.search(text) or re.search(rf"(?i)\bby\b|\(\s*{re.escape(second or '(')}", text):
        return found
    likely = [
        4 * _like(each, title) - 2 * bool(PLAYS.search(each)) + bool(_SONG.search(each)) for each in (first, second)
    ]
    sure = likely[0] - likely[1] if second else int(likely[0] >= 0)
    sure = sure or bool(re.match(r"(?i)\W*(?:the )?(?:song|tune|track|trk)\b", text))
    keys = {"song": "artist", "artist": "song"} if sure < 0 else {} if sure else {"song": "left", "artist": "left"}
    return tuple(Fact(keys.get(fact.key, fact.key), fact.value, fact.remark) for fact in found)


BY = re.compile(
    r"(?i)^\W*(?:(?:clog\w*|line)\s+(?=(?:routine|dance)\s+by\b))?(?:author|choreogra\w*|choreo|chor\b\.?|ch\b\.?(?=\s*:)|"
    r"arranged|devised|stepped(?= by\b)|"
    r"made up|put together|written down|written(?! for\b)|clog(?:ged)?(?=\s*:)|steps(?=\s*:)|cal\.?|teacher|taught|"
    r"as taught|cue ?(?:writer|sheet)|cue[rd]|cues?|(?:routine|dance)(?! (?:for|to|of|with|in|at|on)\b)|by|from)\b\.?"
    r"(?:\s*\b(?:by|from)\b)?\s*[:\-]?\s*"
)
TAUGHT = re.compile(
    r"(?i)\W*(?:(?:as )?(?:taught|teacher|instructor|coach)\b|from (?!the\b)(?-i:[A-Z])(?!.*[,(]\s*(?-i:[A-Z])))"
    r"(?!.*\b(?:choreo|devised|arranged))"
)
"""Who teaches a dance, or whom it is from without a club beside, need not have made it."""

_HONOUR = r"(?:(?:Mrs?|Ms|Dr|Prof)\.? |Miss )?"
PERSON = re.compile(
    rf"{_HONOUR}(?!Over\b|Down\b|The\b|My\b|All\b|In\b|On\b)(?:[A-Z][\w'-]*\.?|[a-z]\.)"
    r"(?: (?:&|and|de|van|von|[A-Z][\w'&-]*\.?))+(?:$|\s*[,(/*-]| for the )"
)
_MADE = re.compile(
    rf"\b(?:by:?|choreographer:?) ({_HONOUR}[A-Z][\w'.-]*(?: (?:(?:&|and) )?(?:[A-Z]\.|[A-Z][\w'-]*))+)|"
    rf"^({_HONOUR}[A-Z]\w+(?: [A-Z]\w+)*)'s (?:routine|dance|steps|version)\b|"
    rf"\b({_HONOUR}[A-Z][\w'-]*(?: (?:(?:&|and) )?[A-Z][\w'-]*\.?)+) (?:(?:has|have|had|just|kindly) )*"
    r"(?:put together|made up|made|written|wrote|choreographed|devised|created) (?:us )?"
    r"(?:an?|this|the|our)(?: [\w-]+){0,2} (?:dance|routine|steps|cues)\b"
)
"""Who made something: `by Ada Reed`, `Ada Reed's dance`, `Ada Reed has put together a dance`."""
_HANDED = re.compile(
    r"(?i)\b(?!choreo|compos|devis|creat|invent|design|work|arrang|prepar|clogged|call|cued|record|perform|play)"
    r"(?:\w+ed|sent)(?: \w+)? $"
)
"""What was done `by` somebody who need not have made the dance: `copied out by`."""
_SPOKEN = re.compile(r"(?i)\b(?:y'?all|we|us|i|me|it|you|they|them|he|she|any\w*|every\w*)\b")
_MAKING = re.compile(
    r"(?i)\b(?:choreo\w*|dance|routine|steps?|clogg\w*|(?:writ|mak|devis|creat|compos|invent|design|arrang|prepar)\w+|made|"
    r"cues?|put together|worked out)\b|(?:\bis|'s|\bits the [a-z]+ one) $"
)
"""Words of a sentence in which who stands behind `by` made the dance."""
DATED = re.compile(
    r"\s*(?:,\s*|\s-\s+|\()(?:(?:[a-z0-9]|(?:Jan|Feb|Sept?|Oct|Nov|Dec)(?=\W|[a-z]+ary|[a-z]*ber)|"
    r"(?:March|Mar|April|Apr|May|June?|July?|Aug(?:ust)?)\b)[\w.]*(?![\w.])(?<!\bof)(?<!\bthe)(?<!\bat)"
    r"(?: ['a-z\d.]+)*(?:, [a-z\d. ]+)?)\)?$|[\s,(-]+(?i:(?:spring|summer|autumn|fall|winter|"
    r"(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)(?:r?uary|ch|il|ust|(?:em|o)?ber)?\b\.?),? )?"
    r"(?:(?:\d{1,2}[/.-]){1,2}'?\d{2,4}|(?:19|20)\d\d)\)?$"
)
"""What stands behind people and is no club: `, spring social`, `(ver. 2)`, `, May`, ` 10/22`."""
_FOR = re.compile(r"(?:,\s*|\s+\(?)(?:for|prepared for) .*|\s*\(with\b[^()]*\)|,?\s+with (?:many )?thanks .*")
"""For whom somebody made it, and with whose help."""


_IN_CLUB = re.compile(r"^(\W*[A-Z][\w'-]+(?: [A-Z][\w'&-]*\.?)+)\s*[-,/]\s*[\"\u201c]([^\"\u201d]+)[\"\u201d]")


def unquoted(texts: list[str], first: int) -> list[str]:
    """Return lines with a name in quotes behind a person as their club, where another than the `first` has the song."""
    songs = {at for at, text in enumerate(texts) if at != first and re.match(r"(?i)\W*(?:music|song)\s*:", text)}
    songs = {at for at in songs if any(fact.key == "song" for fact in song(MUSIC.sub("", texts[at])))}
    return [_IN_CLUB.sub(r"\1 (\2)", text) if at != first and songs - {at} else text for at, text in enumerate(texts)]


def author(text: str) -> Fact:
    """Return the people that a piece names, a club in brackets behind them."""
    text = tidy(re.sub(r"'s notebook\b|^\W*the notebook of\b|\s*(?:\.{2,}|…).*", "", BY.sub("", text)))
    *earlier, text = re.split(r" (?:by|BY) (?=[A-Z])", text)
    bare, beside = _FOR.sub("", text), " ".join([*earlier, *_FOR.findall(text)[:1]])
    text = re.sub(r"\s*\([^()]*$", "", bare)  # `A. Reed (May, for the Thursday class)`
    if "(" not in text:
        parts = re.split(r"\s*,\s*(?:of\s+(?:the\s+)?)?|\s+[-/*]\s+|\s+of the\s+", text, maxsplit=1)
        text = parts[0]
        if len(parts) == 2 and re.match(r"(?:(?:of|at|from|the) )*[A-Z]", parts[1]):
            text = f"{parts[0]} ({tidy(re.sub(r'^(?:of|at|from) (?:the )?', '', parts[1]))})"
    elif at := re.fullmatch(r"(.+?) at ([A-Z][\w ]+) \((.+)\)", text):
        text = f"{at[1]} ({at[3]}, {at[2]})"
    return Fact("author", text, tidy(beside))


def made_by(text: str) -> re.Match[str] | None:
    """Return where a text names who made something, the people in one of its groups."""
    found = ((each, text[: each.start()]) for each in _MADE.finditer(text))
    found = (
        (e, s) for e, s in found if e[3] or not (_HANDED.search(s) or (_SPOKEN.search(s) and not _MAKING.search(s)))
    )
    return next((each for each, _ in found), None)


TITLE = rf"(?!(?i:{GRADE})\W*(?:[.,;!]|$))[A-Z][\w']*(?:\s(?:[A-Z][\w']*|a|of|the|in|on|and|&|to|at))*"
CALLED = re.compile(
    rf"\b(?:(?:here is|this is how|called|named|call it|name of it is|asked me how|dance is|what we did(?: \w+)? for|"
    rf"[Tt]his is the (?:whole )?thing for|(?:steps|notes|cues) (?:of|for|to)) +(?:(?:the|our|my) )?\"?({TITLE})|"
    rf"(?i:here's)\s+(?:\"([^\"]+)\"|({TITLE}\s[A-Z][\w']*)))(?:\s+\((by )?((?:the )?[A-Z][^(),]+))?"
)
NAMES = re.compile(rf"{TITLE}\s[A-Z][\w']*")
ABOUT = re.compile(rf"({NAMES.pattern})(?:$|(?: +-+ | \(|, (?:the )?steps).*)|(?:steps|cues|notes)\b.* - ([a-z' ]+)$")
IS_A = re.compile(rf"^\W*({NAMES.pattern}) is an? [^.;]{{0,40}}?\b(?:dance|waltz|routine)\b")
"""A title in a sentence, such as `here is Low Water (the Reed Trio)`, and in the subject of a mail."""
_PERIOD = r"(?:week|month|day|night|term|season|year)"
TITLED = re.compile(
    rf"(?i)^\W*(?!(?:(?:line )?dance|clog\w*)\s*:\s*{GRADE}\s*(?:$|\s\s|[,|]))(?:(?:(?!song|music|tune|track)[\w-]+\s)?"
    rf"(?:dance|title|routine|name|clog(?:ging)?)\s*[:=](?!\s*(?:{GRADE}\s*)?\d{{1,3}}[ -]*(?:counts?|walls?)\b)|"
    r"title\s+-+\s(?=\W*(?-i:[A-Z]))|"
    r"(?:title|name|dance|routine)\s{2,}|"
    rf"(?:(?:the )?(?:step|dance|routine) (?:corner|of the {_PERIOD})|name of (?:the )?dance)\s*[:=]|"
    rf"(?:(?:the|our|my|\w+ {_PERIOD}'s|\w+'s) (?:line )?dance(?:\s*[:=]| is(?: called)?(?=\s+(?-i:[A-Z\"])))))\s*"
)
PAPER = re.compile(
    rf"(?i)^\W*(?:[\w']+ ){{0,2}}(?:cue ?sheet|step ?sheet|(?:dance )?script|cues|steps|notes|hand-?out|class|lesson)"
    r"(?:(?: (?:for|of|from) [\w' ]{1,24}?)?(?:\s*:|\s+-+)\s+|"
    r" (?:for|of|4(?! walls?| counts?)) (?:(?:our|my|the|an?|new|\w+day\w*) )*(?:(?:class|dance|routine|group)\W+)?)"
    rf"(?=\"[^\"]+\"|(?-i:[A-Z])(?![^\"]*\")(?!{GRADE}))"
)
"""What a sheet of paper is, before the title."""
_LETTERHEAD = re.compile(
    r"(?i)(?!.*\b(?:by|choreo\w*)\b)(?:(?:(?:our|the|clogging|dance|line dance) )*(?:cue|step)[ -]?sheets?|"
    r"[^,()/|:-]*\w (?:(?:line ?danc\w+|danc\w+|clogg\w+|stepp\w+) club|ldc)|"
    r"from (?:the|our) [^:]*\b(?:number|issue|edition)|"
    r"[^:]*\b(?:news ?letter|bulletin|circular)(?: (?:of|from|for) .*)?)(?:\W*(?:no\.?|issue|vol\w*)? ?[\d/.]*)?\W*"
)  # a club, or what it sends out
OCCASION = re.compile(
    r"(?i)\b(?:class\b\s*[^\w\s]|(?:class|lesson|handout|homework)\W*$|"
    r"^(?:card|class|lesson|hand-?out)(?: no\.?|\s?#)? ?\d{1,3}\W*$|(?:class|lesson) notes\b|"
    r"notes (?:for|from)\b|new (?:one|dance)\b|(?:this|next) week\b|\bhere(?:'s| is| are)\b.*:\s*$)"
)
"""What a class is told over the title of the dance, `tues class - new one!!`."""


def is_letterhead(text: str) -> bool:
    """Say whether a line above a title is the name of a club, or of what it sends out."""
    return _LETTERHEAD.fullmatch(text) is not None


GREETING = re.compile(
    r"(?i)\s*(?:(?:dear|h[eu]llo|hi|hiya|hey|good|to whom|(?:ladies|folks|friends|everyone|y'?all)"
    r"(?:(?: and \w+)?(?=,)| and \w+$))\b|(?:from|to|date|sent|subj(?:ect)?|fwd?|re)\s*:)"
)
_PAPER = re.compile(r"(?i)\W*(?:dance|step|cue|class|line dance)[ -]?(?:notes|sheets?|script)\W*")
_DEAR = re.compile(r"(?i)\W*(?:dear\b|(?:h[eu]llo|hi|hiya)\b(?=.*[,!]\s*$))[^.:;\"]{0,40}\W*")
"""A greeting on a line of its own, under the head of a letter."""


_ITEM = re.compile(
    r"(?i)^\s*\(?\d{1,2}[.)]\s+(?=(?:dance|title|name|author|choreo\w*|music|song|artist|level|intro)\b[\w ]{0,12}:)"
)  # the number of a field, `1. Dance: …`


def without_letterhead(texts: list[str]) -> tuple[list[str], list[str], str]:
    """Return the lines over the greeting of a letter, none if no line or the first one greets, or a club over what the
    paper is, all lines with nothing for these, and the first one that is left, "" if there is none."""
    texts = [_ITEM.sub("", text) for text in texts]
    mailed = any(map(GREETING.match, texts[:1]))
    begun = next((at for at, text in enumerate(texts) if _DEAR.fullmatch(text) and not mailed), 0)
    begun *= begun != 1 or bool(re.search(r"[,\d]|day\b", texts[0]) or CLUB.search(texts[0]))  # else it is the title
    begun = begun or int(bool(texts[1:] and _PAPER.fullmatch(texts[0]) and NAME.fullmatch(tidy(texts[1]))))
    begun = begun or 2 * bool(texts[1:] and CLUB.search(texts[0]) and _PAPER.fullmatch(texts[1]))
    return texts[:begun], [*[""] * begun, *texts[begun:]], next(iter(texts[begun:]), "")


def is_author(text: str) -> bool:
    """Say whether a piece is about the people."""
    return bool(BY.match(text)) and not is_letterhead(text)


NO_NAME = re.compile(
    r"(?i)\b(?:clog|clogging|class|feel|steps?|rows?|routine|notes|levels?|latin|waltz|quick|tempo|music|dance|start|"
    r"vocals|card|time|singing|lyrics|intro|club night|count|fast|slow|dear|please|promised|lead|foot|weight|wt|rf|lf|"
    r"restarts?|tags?|phrased|bulletin|news ?letter|circular)\b"
)
WHERE = re.compile(
    r"(?i)\b(?:convention|festival|workshop|weekend|jamboree|clinic|hall|room|"
    r"(?:mon|tues?|wed(?:nes)?|thurs?|fri|sat(?:ur)?|sun)(?:day)?\b|\d:\d\d)"
)
"""Where and when a dance is taught."""
BESIDE = re.compile(r"(?:\s[-/]\s|\()[A-Z][\w'-]* [A-Z][\w'-]*\W*$")  # a name behind the title
_APART = re.compile(
    r"\s+by\s+(?=(?:[A-Z][\w'.-]* )+[A-Z])|\s+(?:--?|\.{2,}|\||//?)\s+|\s*(?:[\[(]|\.\s+\.)|(?<=\w{3})\.\s+(?=\D)|"
    rf",\s(?!(?!(?i:{GRADE})|\w+day\b|Clog|Waltz|Line)[A-Z][a-z]+\W*$)|!{{2,}}\s+(?=\w+ \w+ \w)"
)


def title_of(text: str) -> tuple[str, str]:
    """Return the title at the start of the first line, and what stands behind it."""
    title, *rest = _APART.split(text, maxsplit=1)
    return re.sub(r'^"([^"]+)"$', r"\1", plain(title.strip(" .,;:-"))), "".join(rest).strip(" .,;:-/()")


_LABELLING = re.compile(
    r"(?i)(?<=\S)(?<!\bof)(?<!ed)(?<!en)(?<!ht)(?<!\bchor)(?<!\bchor\.)(?<!\bchoreo)(?<!\bchoreo\.)(?<!\bsteps)"
    r"(?<!\bsung)(?<!\bsong)(?<!\btune)(?<!\btrack)(?<!\bmusic) "
    r"(?=(?:wl|walls?|lvl|level|int|intro|by|choreo|music|song|artist|band|singer|counts?|bpm)\s*:)"
)
_FRAMED = re.compile(r"^\s*([*~=]{1,3})\s*([^*~=]+?)\s*\1\s*(?=\S)")


def as_fields(text: str, first: bool) -> str:
    """Return a line with its labels written one way, and a title, the first line, that is set wide as plain words."""
    text = re.sub(r"^\s*~+\s*|\s*~+\s*$", "", re.sub(r"^\s*\|\s*([A-Za-z]+)\s*\|\s*", r"\1: ", text))
    text = re.sub(r"(?<=[A-Za-z]) ?: {2,}", ": ", re.sub(r" [|\u00b7\u2022] |\t", "   ", text))
    text = _FRAMED.sub(r"\2   ", TITLED.sub("", PAPER.sub("", text))) if first else text
    text = re.sub(r"(?<![\d/])(\d{2,3})\s*/\s*([1248])(?=\s*(?:/|\)|$))", r"\1 counts / \2 walls", text)
    text = _sung_first(
        text
        if first
        else re.sub(r"(?i)^(\s*[A-Za-z]+|\s*(?:no\.? of|number of) [a-z]+) ?\.{2,} +(?=\w)", r"\1: ", text)
    )
    text = _LABELLING.sub("   ", text)
    if first and re.fullmatch(r"[A-Z']+(?: {2,}[A-Z']+)+|(?:\w ){2,}\w(?: {2,}(?:\w )*\w)*", text.strip()):
        text = re.sub(r"(?<=\b\w) (?=\w\b)", "", text) if re.match(r"\w \w \w", text.strip()) else text
        text = " ".join(text.split())
    return text
