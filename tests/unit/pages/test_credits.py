"""Who made a dance and who performs its song, and what only looks like a level, a title or a song."""

import pytest

import stepcheck as sc

STEPS = "\n\nPart A\n2 Triples\n4 Basics\n"


@pytest.mark.parametrize(
    ("header", "wanted", "unwanted"),
    [
        (
            "SEDGE MILL\nby Orla Finch      Choreography: Tom Askew, Reed Cloggers\nclogging, wait 8",
            ["artist: Orla Finch", "author: Tom Askew (Reed Cloggers)"],
            "author: Orla",
        ),
        (
            "Hi all, here is Sedge Mill. its the fast one by Orla Finch & the Long Acre Five. 16 beat intro",
            ["artist: Orla Finch & the Long Acre Five", "wait: 16 beats"],
            "author:",
        ),
        ("sedge mill\nclogging\nint 8 bars (32 counts) then go", ["wait: 32 beats"], "level:"),
        (
            "SEDGE MILL | The Reeds | clogging\nDance: Adv. Beginner   Intro: 16",
            ["routine: SEDGE MILL", "wait: 16 beats", "# level: Adv. Beginner"],
            "level: advanced",
        ),
        ('Sedge Mill\nclogging, wait 8\nA double step takes one beat, counted "and-a-one".', [], "song:"),
        ("Sedge Mill\nclogging\nTempo: slow (about 112 b.p.m.)", ["tempo: 112"], "song:"),
    ],
)
def test_each_name_of_a_header_is_what_its_words_say(header: str, wanted: list[str], unwanted: str) -> None:
    """Where somebody is named as the maker, whom the title is `by` performs the song; a band is one; `int 8` is a wait,
    a level behind `Dance:` no title, and words in small letters between quotes no song."""
    text = sc.draft(header + STEPS).text

    assert all(each in text for each in wanted), text
    assert unwanted not in text
