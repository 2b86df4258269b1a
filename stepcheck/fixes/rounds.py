"""What is danced over and over: what was changed the first time is changed each time."""

from collections.abc import Callable, Iterator

from stepcheck.fixes.cuts import Cuts
from stepcheck.fixes.dancers import Dancer, Dancers, Result, Scope, timeless
from stepcheck.fixes.slots import Nodes, Outline
from stepcheck.fixes.transitions import Unclear
from stepcheck.model.dance import EIGHTHS, Forever, Lap, Repeat
from stepcheck.program.laid import Uncut

Ways = Callable[[Nodes, Dancers, Scope, int], list[Result]]
MOST_ROUNDS = 64


class Rounds:
    """The rounds of one search; `ways` follows dancers through nodes."""

    def __init__(self, sketch: Outline, ways: Ways, cuts: Cuts) -> None:
        self.sketch, self.ways, self.cuts = sketch, ways, cuts

    def again(self, nodes: Nodes, dancers: Dancers, scope: Scope) -> list[Result]:
        """Return where dancers come to once more, with the changes of the first time; nothing if a claim fails then."""
        return [one._replace(picks=()) for one in self.ways(nodes, dancers, scope, 0)[:1]]

    def loop(self, loop: Repeat, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield where a block danced several times leads."""
        nodes = self.sketch.nodes(loop.body)
        if loop.times is not None and loop.times > MOST_ROUNDS:
            raise Unclear("a block is danced very often")
        for found in self.ways(nodes, dancers, scope, budget):
            rounds = [found]
            for _ in range((loop.times or MOST_ROUNDS) - 1):
                if loop.times is None:
                    yield from rounds
                rounds = [
                    Result(more.dancers, one.laps | more.laps, one.cost, one.picks + more.picks)
                    for one in rounds
                    for more in self.again(nodes, one.dancers, scope.settled(one.picks))
                ]
            yield from rounds

    def lap(self, node: Lap, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield where one time through the block that the claim about walls speaks of leads."""
        nodes = self.sketch.nodes(node.body)
        for found in self.ways(nodes, dancers, scope, budget):
            ends = [found]
            for dancer in dancers:
                ends = [
                    one._replace(laps=self._lapped(one.laps, dancer, alone), picks=one.picks + alone.picks)
                    for one in ends
                    # Who dances alone needs no second look.
                    for alone in (
                        (found._replace(picks=()),)
                        if len(dancers) == 1
                        else self.again(nodes, (dancer,), scope.settled(one.picks))
                    )
                ]
            yield from ends

    @staticmethod
    def _lapped(laps: int, dancer: Dancer, alone: Result) -> int:
        """Return the bits of laps with those of one that a dancer makes alone."""
        for origin, after, turn, _ in alone.dancers:
            laps |= (1 << (turn - dancer[2]) % EIGHTHS | 256 << after) << 11 * (origin // 3)
        return laps

    def endless(self, node: Forever, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield where any number of laps leads."""
        start, nodes = timeless(dancers), self.sketch.nodes(node.body)
        for found in self.ways(nodes, start, scope, budget):
            open_ends = [(start, found)]
            while open_ends:
                here, last = open_ends.pop()
                grown = tuple(sorted({*here, *timeless(last.dancers)}))
                if grown == here:
                    yield last._replace(dancers=here)
                    continue
                for again in self.again(nodes, grown, scope.settled(last.picks)):
                    both = Result(again.dancers, last.laps | again.laps, last.cost, last.picks + again.picks)
                    open_ends.append((grown, both))

    def lasting(self, node: Uncut, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield where laps until the music ends lead: as many whole ones as there is room for, and the start of
        another."""
        lap_nodes = self.sketch.nodes(node.body)
        for found in self.ways(lap_nodes, dancers, scope, budget):
            settled, here, laps = scope.settled(found.picks), found.dancers, found.laps
            clock, lap = (min(some[3] for some in group) for group in (dancers, here))
            lap -= clock
            if lap <= 0 or any(one[3] != clock for one in dancers) or any(one[3] != clock + lap for one in here):
                continue
            rounds, rest = divmod((node.music or 0) - clock, lap)
            if rounds > MOST_ROUNDS:
                raise Unclear("the dance goes round very often")
            again: list[Result] = [found] if rounds > 0 else []
            for _ in range(rounds - 1):
                again = self.ways(lap_nodes, here, settled, 0)
                if not again:
                    break
                here, laps = again[0].dancers, laps | again[0].laps
            if again and rest:
                nodes = self.cuts.nodes(node, rest, settled.known)
                again = self.ways(nodes, here, settled, 0) if nodes is not None else []
                here = again[0].dancers if again else here
            if again:
                yield found._replace(dancers=here, laps=laps)
