"""The goals of the benches, and in this one place those that are not reached, with the figure that each is held to."""

import attrs


@attrs.frozen
class Goal:
    """A bound for a figure: at most so much, or at least."""

    what: str
    bound: float
    unit: str = ""
    least: bool = False
    short: float | None = None  # set while the bound is not reached: the figure gets no worse than this

    def show(self, figure: float, seen: str = "") -> None:
        """Print the figure beside its goal, and assert the goal, or what it is held to while it is not reached."""
        sign, held = "≥" if self.least else "≤", self.bound if self.short is None else self.short
        mark = "" if self.short is None else f"   marked as not reached, held to {held:g}{self.unit}"
        print(
            f"\n{self.what}{f' ({seen})' if seen else ''}: {figure:.2f}{self.unit}, goal {sign} {self.bound:g}{self.unit}{mark}",
            end="",
        )
        assert figure >= held if self.least else figure <= held, f"{self.what}: {figure:g} is not {sign} {held:g}"


BREAKS = Goal("ten breaks of 32 beats", 20, " ms")
BREAKS_RIVAL = Goal("networkx's shortest simple paths against them", 50, " times", least=True)

DISTINCT = Goal("distinct lines of the generator's", 5, " %")
COLD_WALK = Goal("cold, the walk, against YAML's C loader", 1, short=4.5)
COLD_BOTH = Goal("cold, both engines, against YAML's C loader", 4, short=7)
TWO_PROCESSES = Goal("two processes against one, were both processors free", 1.7, " times", least=True)
AGAIN = Goal("again, nothing changed, of the first time", 5, " %", short=7)
ONE_CHANGED = Goal("one sheet changed, against nothing changed and it alone", 1.1, short=2)
MEMORY = Goal("memory of a worker with all the sheets", 200, " MB")
MEMORY_GROWTH = Goal("the same, against a tenth of the sheets", 1.4)
LINES = Goal("growth with lines", 1.1)
REPEATS_WALK = Goal("a thousand million repeats against ten, the walk", 3)
REPEATS_BOTH = Goal("a thousand million repeats against ten, both engines", 3, short=4)
STARTING = Goal("starting, against importing what the program stands on", 1.4, short=2.6)
STOPPING = Goal("stopping", 1, " s")

BLANKS = Goal("six blanks", 200, " ms")
LONG_GAP = Goal("a gap of 64 beats", 1_000, " ms")
LONG_GAP_LINE = Goal("a gap of 64 counts in the line book", 1_000, " ms", short=7_000)

KNOWN = Goal("a sheet of 61 known lines", 0.3, " ms")
FIRST = Goal("the first sheet, against importing lark", 0.2, short=0.3)
READING = Goal("ten times the different lines, by time", 15, " times")
BAD_INPUT = Goal("bad input", 2, " s")

READINGS = Goal("4,096 combinations of readings", 500, " ms")
READINGS_REPORT = Goal("the report on readings", 1_000, " ms")

CP_SAT = Goal("CP-SAT against the search for a fix, medians", 10, " times", least=True)
CLINGO = Goal("clingo against the search for a fix, medians", 10, " times", least=True)
FIX = Goal("the least fix with its evidence, median", 150, " ms", short=500)
