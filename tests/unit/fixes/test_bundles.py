"""Changes that come to the same are kept together, and taken apart where it matters."""

from stepcheck.fixes.bundles import Bundle, expanded, split, together, touched, within
from stepcheck.fixes.dancers import Result, Scope

HERE = ((0, 0, 0, 12),)
THERE = ((0, 1, 2, 12),)


def result(dancers: tuple[tuple[int, int, int, int], ...], *picks: tuple[object, object]) -> Result:
    """Return a result of cost 2 without laps."""
    return Result(dancers, 0, 2, picks)


def test_results_that_differ_in_their_changes_only_become_one() -> None:
    """Whatever leads to the same place for the same cost is followed once, and what leads elsewhere by itself."""
    one, other, far = result(HERE, ("a", 1)), result(HERE, ("b", 2)), result(THERE, ("a", 2))
    found = together((one, far, other), {})
    assert [HERE, THERE] == [some.dancers for some in found]
    assert [(("a", 1),), (("b", 2),)] == list(expanded(found[0].picks))
    assert far == found[1]
    assert {"a", "b"} == set(touched(found[0].picks))


def test_a_bundle_is_taken_apart_only_as_far_as_it_leads_to_several_places() -> None:
    """Changes that still come to the same stay together, and the others are narrowed down."""
    bundle = Bundle(frozenset({"a"}), ((("a", 1),), (("a", 2),), (("a", 3),)))
    scope = Scope({bundle: bundle})
    found = list(
        split(scope, frozenset({"a"}), lambda around: [Result(HERE if around.known["a"] < 3 else THERE, 0, 0, ())])
    )
    assert [HERE, THERE] == [some.dancers for some in found]
    whole = ((bundle, bundle), *found[0].picks)
    assert [(("a", 1),), (("a", 2),)] == list(expanded(whole))
    assert [(("a", 3),)] == list(expanded(((bundle, bundle), *found[1].picks)))


def test_what_makes_no_difference_is_not_narrowed_down() -> None:
    """Where all of a bundle leads to one place nothing more is picked; a bundle of other lines is left alone."""
    bundle = Bundle(frozenset({"a"}), ((("a", 1),), (("a", 2),)))
    scope = Scope({bundle: bundle})
    assert [Result(HERE, 0, 0, ())] == list(split(scope, frozenset({"a"}), lambda around: [Result(HERE, 0, 0, ())]))
    seen: list[Scope] = []
    list(split(scope, frozenset({"b"}), lambda around: seen.append(around) or []))  # type: ignore[func-returns-value]
    assert [scope] == seen


def test_bundles_in_bundles_are_all_the_sets_they_stand_for() -> None:
    """Every set of changes comes out once, and a later pick narrows an earlier one down."""
    inner = Bundle(frozenset({"a"}), ((("a", 1),), (("a", 2),)))
    outer = Bundle(frozenset({"a", "b"}), (((inner, inner), ("b", 1)), (("b", 2),)))
    assert [{"a": 1, "b": 1}, {"a": 2, "b": 1}, {"b": 2}] == [dict(picks) for picks in expanded(((outer, outer),))]
    narrow = Bundle(frozenset({"a"}), ((("a", 2),),))
    assert [{"a": 2, "b": 1}] == [dict(picks) for picks in expanded(((inner, inner), ("b", 1), (inner, narrow)))]


def test_a_bundle_counts_as_settled_for_each_line_in_it() -> None:
    """Who asks what is settled of some lines gets the bundles that touch them."""
    bundle = Bundle(frozenset({"a", "b"}), ((("a", 1),), (("b", 1),)))
    assert {bundle: bundle} == within({bundle: bundle, "c": 1}, frozenset({"b"}))
    assert {"c": 1} == within({bundle: bundle, "c": 1}, frozenset({"c"}))
