"""The order of the parts."""

import pytest

from stepcheck.routines.order import order


@pytest.mark.parametrize(
    ("text", "names", "wanted"),
    [
        ("A-B-CH-A", ("A", "B", "Ch"), ["A", "B", "Ch", "A"]),
        ("ABCAB", ("A", "B", "C"), ["A", "B", "C", "A", "B"]),
        ("Part A, Part B, Chorus, Bridge twice", ("A", "B", "Chorus", "Bridge"), ["A", "B", "Chorus", "Bridge x2"]),
        (
            "first part, second part, break",
            ("First part", "Second part", "Break"),
            ["First part", "Second part", "Break"],
        ),
        ("Verse, Chorus, 1/2 Verse", ("Verse", "Chorus"), ["Verse", "Chorus", "Verse half"]),
        ("A, B, A (first sixteen beats only)", ("A", "B"), ["A", "B", "A 16"]),
        ("A  B  C*  B", ("A", "B", "C"), ["A", "B", "?", "B"]),
        ("A - B - A (no turn) - B", ("A", "B"), ["A", "B", "?", "B"]),
    ],
)
def test_the_order_names_parts_with_how_often_and_how_much(
    text: str, names: tuple[str, ...], wanted: list[str]
) -> None:
    """Parts are found by all that they are called; one that is changed is open."""
    found, left = order(text, names)
    said = [
        "?"
        if each.changed
        else f"{each.name}{f' x{each.times}' * (each.times > 1)}{' half' * each.half}"
        f"{f' {each.first}' * bool(each.first)}"
        for each in found
    ]

    assert wanted == said
    assert "" == left
