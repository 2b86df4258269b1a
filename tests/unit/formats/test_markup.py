"""HTML elements as text."""

from stepcheck.formats.markup import Markup, joined, tag


def test_text_is_escaped_and_markup_is_not() -> None:
    """Words of a sheet never become elements; elements stand as they are."""
    assert "<p>&lt;b&gt; &amp; <b>c</b></p>" == tag("p", "<b> & ", tag("b", "c"), None).text


def test_attributes_are_quoted() -> None:
    """A quote in a value does not end it; names are those of HTML; None leaves the attribute out."""
    made = tag("a", class_="x", data_words='"<', href=None)

    assert '<a class="x" data-words="&quot;&lt;"></a>' == made.text
    assert '<path d="M1"/>' == tag("path", d="M1").text
    assert '<input id="x">' == tag("input", id="x").text


def test_control_characters_are_written_out() -> None:
    """What a page can't hold, or would steer it, comes out as visible text."""
    assert r"\x00" == joined("\x00").text
    assert Markup("ab") == joined("a", None, "b")
