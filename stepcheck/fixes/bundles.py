"""Equivalence classes of changes: those with equal effects so far are searched as one, and told apart where they
differ."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from attrs import evolve, frozen

from stepcheck.fixes.dancers import Key, Pick, Picks, Result, Scope


@frozen(eq=False)
class Bundle:
    """One of several sets of changes; `keys` are all the lines and claims that they change.

    Among picks it stands behind the bundle that it was taken out of, or itself: a later one narrows an earlier one
    down.
    """

    keys: frozenset[Key]
    members: tuple[Picks, ...]


def together(results: Iterable[Result], known: Mapping[Key, Any]) -> list[Result]:
    """Return results, those that differ in their changes only as one.

    Args:
        results: where dancers can come to.
        known: what was settled before; bundles that are narrowed down in the results stay apart.
    """
    groups: dict[object, list[Result]] = {}
    for one in results:
        narrowed = tuple(pick for pick in one.picks if isinstance(pick[1], Bundle) and pick[0] in known)
        groups.setdefault((one.dancers, one.laps, one.cost, narrowed), []).append(one)
    return [some[0] if len(some) == 1 else _as_one(some, where[3]) for where, some in groups.items()]  # type: ignore[index]


def _as_one(results: list[Result], narrowed: Picks) -> Result:
    members = tuple(dict.fromkeys(tuple(pick for pick in one.picks if pick not in narrowed) for one in results))
    bundle = Bundle(frozenset(key for member in members for key in touched(member)), members)
    return results[0]._replace(picks=(*narrowed, (bundle, bundle)))


def touched(picks: Picks) -> Iterator[Key]:
    """Yield the lines and claims that are, or may be, changed."""
    for key, pick in picks:
        if isinstance(pick, Bundle):
            yield from pick.keys
        else:
            yield key


def chosen(picks: Iterable[Pick]) -> tuple[object, ...]:
    """Return what is settled, whichever of a bundle it was."""
    return tuple(key if isinstance(pick, Bundle) else (key, pick) for key, pick in picks)


def within(known: Mapping[Key, Any], keys: frozenset[Key]) -> dict[Key, Any]:
    """Return what is settled, or bundled, of some lines and claims."""
    return {
        key: pick
        for key, pick in known.items()
        if key in keys or (isinstance(pick, Bundle) and not pick.keys.isdisjoint(keys))
    }


def bundled(known: Mapping[Key, Any], key: Key) -> bool:
    """Say whether it is not settled yet what was picked of a line or claim."""
    return any(isinstance(pick, Bundle) and key in pick.keys for pick in known.values())


def split(
    scope: Scope, keys: frozenset[Key], go: Callable[[Scope], Iterable[Result]], *, several: bool = False
) -> Iterator[Result]:
    """Yield where dancers come to, with the bundles that touch some lines and claims taken apart as far as it matters.

    Args:
        scope: what is settled around.
        keys: the lines and claims that are come to.
        go: follows dancers through them.
        several: only bundles that change more than one of them are taken apart before.
    """
    root = next((key for key, pick in scope.known.items() if _in_the_way(pick, keys, several)), None)
    if root is None:
        yield from go(scope)
        return
    bundle: Bundle = scope.known[root]
    rest = {key: pick for key, pick in scope.known.items() if key is not root}
    groups: dict[Result, list[Picks]] = {}
    for member in bundle.members:
        around = evolve(scope, known={**dict(member), **rest})
        for result in split(around, keys, go, several=several):
            groups.setdefault(result, []).append(member)
    for result, members in groups.items():
        if len(members) < len(bundle.members):
            result = result._replace(picks=((root, Bundle(bundle.keys, tuple(members))), *result.picks))
        yield result


def _in_the_way(pick: Any, keys: frozenset[Key], several: bool) -> bool:
    return isinstance(pick, Bundle) and len(pick.keys) > several and not pick.keys.isdisjoint(keys)


def expanded(picks: Picks) -> Iterator[Picks]:
    """Yield every set of changes that picks stand for."""
    settled = tuple(dict(picks).items())
    place = next((number for number, (_, pick) in enumerate(settled) if isinstance(pick, Bundle)), None)
    if place is None:
        yield settled
        return
    for member in settled[place][1].members:
        yield from expanded((*settled[:place], *member, *settled[place + 1 :]))


def unbundled(results: Iterable[Result]) -> Iterator[Result]:
    """Yield results with every set of changes by itself."""
    for one in results:
        yield from (one._replace(picks=picks) for picks in expanded(one.picks))
