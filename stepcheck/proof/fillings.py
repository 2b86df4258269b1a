"""The search for what fills the blanks: each filling must stand against every dancer who refuted one before."""

from collections.abc import Iterable, Sequence
from typing import Any

from attrs import define, field

from stepcheck.proof.solving import BudgetSpent, Session

PICKED = 3  # in place of a weight after a row: whatever dancers pick in it
MOST_WORK = 4_000_000  # figures danced by the dancers who are kept, over all proposals

Filling = tuple[int, ...]


@define
class Fillings:
    """The fillings of the blanks of one script.

    `blanks` and `picks` are its constants by name, `rows` those blanks that can leave it to the dancers, `figures` how
    many it dances; `left` is how much may still be done.
    """

    session: Session
    blanks: Sequence[str]
    picks: Sequence[str]
    rows: Sequence[str]
    figures: int
    left: int = MOST_WORK
    _dances: list[Any] = field(factory=list)

    def fits(self, filling: Filling) -> list[Any]:
        """Return the conditions that the blanks are filled so."""
        return [self.session.equal(name, value) for name, value in zip(self.blanks, filling, strict=True)]

    def find(self, hold: Iterable[int], fail: Iterable[int] = (), but: Iterable[Filling] = ()) -> Filling | None:
        """Return a filling with which the sentences `hold` hold in every dance, and one of `fail` fails in some dance.

        Args:
            hold: bits of sentences.
            fail: bits of sentences; none if nothing has to fail.
            but: fillings that are not wanted.

        Raises:
            BudgetSpent: too much was tried.
        """
        session, hold, fail = self.session, tuple(hold), tuple(fail)
        wanted = [session.bits(fail)] if fail else []
        wanted += [session.unlike(self.fits(filling)) for filling in but]
        if not fail:  # what holds whatever dancers pick in a row holds where they pick nothing
            wanted += [session.unlike([session.equal(name, PICKED)]) for name in self.rows]
        while True:
            self.left -= self.figures * (1 + len(self._dances))
            if self.left < 0:
                raise BudgetSpent("too many fillings")
            kept = [session.clear(dance, hold) for dance in self._dances] if hold else []
            values = session.ask(*wanted, *kept)
            if values is None:
                return None
            filling = tuple(values[name] for name in self.blanks)
            attack = session.ask(*self.fits(filling), session.bits(hold)) if hold else None
            if attack is None:
                return filling
            self._dances.append(session.danced({name: attack[name] for name in self.picks}))
