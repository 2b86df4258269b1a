"""Which tests are about which property."""

from stepcheck.model.claims import Test, looking_at


def test_every_test_is_about_one_property() -> None:
    """Whatever looks for the tests of a property finds each test once."""
    every = [looking_at(about) for about in ("weight", "facing", "turn", "clock")]

    assert frozenset(Test) == frozenset().union(*every)
    assert len(Test) == sum(map(len, every))
