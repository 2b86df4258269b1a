"""One dance by its decisions, up to where it refutes a claim."""

from collections.abc import Iterable, Sequence
from itertools import takewhile

from stepcheck.certify.form import Json, require
from stepcheck.certify.states import NUMBERS, Dancer, States, repeated


class Ended(Exception):
    """A dance ends where a claim fails, with what was found, or where the pass looked for begins."""

    def __init__(self, found: Json = None) -> None:
        self.found = found


class Dance(States):
    """One dancer by her decisions, until `claim` fails or a pass begins with the weight `start`; with `free` a pass for
    its steps alone, until she comes to a foot that is not free, of which none of these claims speaks."""

    alone = True

    def __init__(
        self, states: States, decisions: Json, claim: int = -1, start: str = "", free: set[int] | None = None
    ) -> None:
        vars(self).update(vars(states), left=states.most)
        self.claim, self.start, self.free = claim, start, free
        self.decisions, self.rest, self.facts = decisions[::-1], 0, set()

    @property
    def told(self) -> bool:
        """Whether every decision is taken, and every repeat at its last time."""
        return not self.decisions and not self.rest

    def end(self, *begin: Json) -> Json:
        """Return the dancer at the end of a body, or what was found where she stopped."""
        try:
            found: Json = self.body(*begin)[0]
        except Ended as end:
            found = end.found
        require(self.told, "decisions are left over")
        return found

    def body(self, number: int, front: int, dancer: Dancer) -> list[Dancer]:
        for item in self.bodies[number]:
            (dancer,) = self.item(item, front, dancer)
        return [dancer]

    def take(self, kind: str, ways: Sequence[Json]) -> Sequence[Json]:
        if not kind:
            return ways[:1]
        decision = self.decisions.pop() if self.decisions else {}
        require(decision.get(kind) in ways, f"{decision or 'nothing'} comes where a {kind} is to be decided")
        return (decision[kind],)

    def again(self, body: int, times: int | None, front: int, dancer: Dancer) -> Iterable[Dancer]:
        done, outer, each, here = 0, self.decisions, None, {dancer}
        while (done < times) if times is not None else (outer and "times" in outer[-1]):
            run = outer.pop() if outer else {}
            done += run.get("times", 0)
            require(
                run.get("times") and done <= (times or done),
                f"{run or 'nothing'} comes where times of a repeat are to be told",
            )
            alike, each, more = run["each"] == each, run["each"], bool(outer) or run["times"] > 1

            def once(here: set[Dancer], each: Json = each, more: bool = more) -> set[Dancer]:
                self.decisions, self.rest = each[::-1], self.rest + more
                ends = {end for one in here for end in self.body(body, front, one)}
                require(not self.decisions, "decisions are left over")
                self.rest -= more
                return ends

            here = repeated(once, run["times"], here, self.seen[body])
            require(not alike, "times in a row that are decided alike are not told as one")
        self.decisions = outer
        return here

    def some(self, body: int, front: int, dancer: Dancer) -> Iterable[Dancer]:
        runs = takewhile(lambda one: "times" in one, reversed(self.decisions))
        require(sum(one["times"] for one in runs) in NUMBERS, "a repeat is danced never, or too often")
        ends = self.again(body, None, front, dancer)
        self.take("end", (True,))
        return ends

    def judge(self, claim: int, test: str, holds: bool, open_: bool, found: Json, line: int) -> None:
        if self.free is not None:
            stop = test != "length" and not holds and claim not in self.free
        elif test == "length" or self.blanks:  # behind a blank it may fail before it is sure to
            stop = claim == self.claim and self.told and (test == "length" or not holds)
        else:
            stop = claim == self.claim and not holds
        if stop:
            raise Ended(found)

    def lap(self, dancer: Dancer) -> None:
        if self.free is None and self.told and dancer.weight == self.start:
            raise Ended
