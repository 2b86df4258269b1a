"""The order of the parts."""

import pytest

import stepcheck as sc
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
        ("AA B, AA B, BB, and A", ("A", "B"), ["A", "A", "B", "A", "A", "B", "B", "B", "A"]),
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


def test_heads_in_running_text_begin_parts_and_no_order() -> None:
    """`First part. Do one Triple` is a part told in sentences, which the order calls `First`; `Marshy part.` is one by a
    word of its own."""
    text = sc.draft(
        "Sallow Row (clogging)\nwait 8, left foot lead\n\nFirst part. Begin nicely. Do one Triple and a Basic left.\n\n"
        "Second part. Four Basics.\n\nMarshy part. Two Cowboys.\n\nThat makes: First, Second, Marshy, Second, First.\n"
    ).text

    assert "part First part:\n  Triple\n  Basic, left foot\n" in text
    said = [each.strip() for each in text.split("dance:\n")[1].splitlines()]
    assert said == ["First part", "Second part", "Marshy part", "Second part", "First part"]


def test_pre_alone_on_its_line_is_a_part() -> None:
    """What stands below `Pre` is no dance of the verse."""
    text = sc.draft(
        "Sallow Row (clogging)\nwait 8, left foot lead\n\nV1\n4 basics\n\nPre\ncharleston 2x\n\nCh\n2 cowboys\n\n"
        "V1, Pre, Ch, Ch again but only the first bit\n"
    ).text

    assert "part Pre:\n  Charleston x2\n" in text and "part V1:\n  Basic x4\n\n" in text
    assert "dance:\n  V1\n  Pre\n  Ch\n  # Ch again but only the first bit" in text


def test_letters_of_parts_in_front_of_the_order_are_never_dropped() -> None:
    """`DD` names parts that nobody has: the order is not whole, and none is told."""
    outline = sc.draft(
        "Sallow Row (clogging)\nwait 8, left foot lead\n\nA\n4 basics\n\nB\n2 cowboys\n\nOrder: DD, A, B\n"
    )

    assert any("the order of the parts: DD" in each for each in outline.open)
    assert "dance:" not in outline.text


def test_an_initial_above_part_a_is_that_of_a_person() -> None:
    """The letters of parts begin with A: `D. Overbury` above it is nobody's part."""
    outline = sc.draft(
        "Sallow Row (clogging)\nD. Overbury, 2/09\nwait 8, left foot lead\n\nA\n4 basics\n\nB\n2 cowboys\n\nA B A\n"
    )

    assert "D. Overbury" in outline.text
    assert not any("nothing stands under it" in each for each in outline.open)
    assert "dance:\n  A\n  B\n  A" in outline.text
