"""How much a search or a replay may still do, counted in what is danced: the same sheet always gets the same answer."""

LAYING = 200
"""What it costs to lay a sheet out in another shape, in places of dancers."""


class WorkSpent(Exception):
    """More had to be looked at than the budget allows."""


class Work:
    """The budget of one search, shared by all the shapes of its sheet."""

    def __init__(self, budget: int) -> None:
        self.budget = self.left = budget

    def spend(self, places: int) -> None:
        """Count places that dancers come to.

        Raises:
            WorkSpent: there are none left.
        """
        self.left -= places
        if self.left < 0:
            raise WorkSpent

    @property
    def spent(self) -> int:
        """How many places were come to."""
        return self.budget - self.left
