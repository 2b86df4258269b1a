"""The problem of mending a sheet for two other solvers: constraint programming with ortools, answer sets with clingo.

Both get the tables ready-made; only building the model, grounding and solving are theirs.
"""

from stepcheck.model.claims import Test
from stepcheck.model.dance import TICKS
from tests.bench.problems import Claimed, Problem


def _bounds(problem: Problem) -> tuple[int, int]:
    """Return how far a pass can turn at most (eighths), and how long it can last (ticks)."""
    ways = {
        key: [way for _, row in options for way in row if way is not None] for key, options in problem.options.items()
    }
    far = {key: max(abs(way[1]) for way in some) for key, some in ways.items()}
    long = {key: max(way[2] for way in some) for key, some in ways.items()}
    rows = [[item for item in items if not isinstance(item, Claimed)] for items in problem.dance]
    said = [item.value for items in problem.dance for item in items if isinstance(item, Claimed)]
    return max(sum(far[key] for key in row) for row in rows), max(
        *said, *(sum(long[key] for key in row) for row in rows)
    )


def by_constraints(problem: Problem) -> int | None:
    """Return the least cost that CP-SAT finds and proves, None if nothing mends the sheet."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    most_turn, most_ticks = _bounds(problem)
    chosen, costs = {}, []
    for key, options in problem.options.items():
        chosen[key] = model.new_int_var(0, len(options) - 1, f"line {key}")
        cost = model.new_int_var(0, max(cost for cost, _ in options), f"cost {key}")
        model.add_element(chosen[key], [cost for cost, _ in options], cost)
        costs.append(cost)
    tables = {
        key: [
            (number, before, *way)
            for number, (_, ways) in enumerate(options)
            for before, way in enumerate(ways)
            if way is not None
        ]
        for key, options in problem.options.items()
    }
    changed, values = {}, {}
    weight = model.new_constant(problem.weight)
    for items in problem.dance:
        turn, clock = 0, 0
        for item in items:
            if isinstance(item, Claimed):
                if item.claim not in values:
                    changed[item.claim] = (
                        model.new_bool_var(f"changed {item.claim}") if item.cost else model.new_constant(0)
                    )
                    low, high = {Test.CLOCK: (0, most_ticks), Test.TURN: (-most_turn, most_turn)}.get(item.test, (0, 2))
                    values[item.claim] = model.new_int_var(
                        min(low, item.value), max(high, item.value), f"value {item.claim}"
                    )
                    model.add(values[item.claim] == item.value).only_enforce_if(~changed[item.claim])
                    costs.append(changed[item.claim] * (item.cost or 0))
                value = values[item.claim]
                match item.test:
                    case Test.CLOCK:
                        model.add(value == clock)
                    case Test.TURN:
                        model.add(value == turn)
                    case Test.LEAD:
                        # A foot that leads: not the one with the weight; from both feet it takes the weight off.
                        after = model.new_int_var(0, 1, "led")
                        led = [(w, v, 1 - v) for v in (0, 1) for w in (2, 1 - v)]
                        model.add_allowed_assignments([weight, value, after], led)
                        weight = after
                    case Test.FOOT:
                        # Another foot, or both feet (2), may be claimed instead.
                        stands = [(0, 1), (1, 0), (2, 2)]
                        model.add_allowed_assignments([weight, value], stands)
                    case _:
                        raise ValueError(f"no rule for {item.test}")
                continue
            after = model.new_int_var(0, 2, "weight")
            more = model.new_int_var(-most_turn, most_turn, "turn")
            ticks = model.new_int_var(0, most_ticks, "ticks")
            model.add_allowed_assignments([chosen[item], weight, after, more, ticks], tables[item])
            weight, turn, clock = after, turn + more, clock + ticks
    model.minimize(sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # else Ctrl-C is dead for all that is run after it
    solver.parameters.cp_model_probing_level = 0  # half the time that it takes otherwise
    found = solver.solve(model)
    return round(solver.objective_value) if found == cp_model.OPTIMAL else None


RULES = """
1 { pick(K,I) : option(K,I,_) } 1 :- line(K).
:~ pick(K,I), option(K,I,C), C > 0. [C@1,pick,K]
weight(0,W) :- first(W).
weight(N+1,A) :- row(N,K), weight(N,W), pick(K,I), way(K,I,W,A,_,_).
turn(N,T) :- row(N,K), weight(N,W), pick(K,I), way(K,I,W,_,T,_).
ticks(N,T) :- row(N,K), weight(N,W), pick(K,I), way(K,I,W,_,_,T).
:- row(N,K), not 1 { weight(N+1,0..2) } 1.
{ changed(C) : mutable(C,_) }.
:~ changed(C), mutable(C,P). [P@1,changed,C]
says(C,V) :- claim(C,V), not changed(C).
1 { says(C,V) : other(C,V) } 1 :- changed(C).
weight(N+1,1-V) :- lead(N,C), says(C,V), V < 2, weight(N,W), W != V.
:- lead(N,C), not weight(N+1,0), not weight(N+1,1).
weight(N+1,W) :- foot(N,C), weight(N,W).
:- foot(N,C), weight(N,W), W < 2, not says(C,1-W).
:- foot(N,C), weight(N,2), not says(C,2).
weight(N+1,W) :- measured(N,C), weight(N,W).
:- clock(N,C,S), claim(C,V), not changed(C), #sum { T,M : ticks(M,T), row(M,_), M >= S, M < N } != V.
:- angle(N,C,S), claim(C,V), not changed(C), #sum { T,M : turn(M,T), row(M,_), M >= S, M < N } != V.
"""


def by_answer_sets(problem: Problem) -> int | None:
    """Return the least cost that clingo finds and proves, None if nothing mends the sheet.

    A claim of a length or turn that is changed says whatever is danced, which has to be the same wherever it is
    checked; passes of one part that begin on the same foot are the same, so only others are compared.
    """
    import clingo

    keys = {key: number for number, key in enumerate(problem.options)}
    facts = [f"first({problem.weight})."]
    for key, options in problem.options.items():
        facts.append(f"line({keys[key]}).")
        for number, (cost, ways) in enumerate(options):
            facts.append(f"option({keys[key]},{number},{cost}).")
            facts += (
                f"way({keys[key]},{number},{before},{way[0]},{way[1]},{way[2] // TICKS})."
                for before, way in enumerate(ways)
                if way is not None
            )
    place, claims, seen = 0, {}, {}
    for items in problem.dance:
        start = place
        for item in items:
            if not isinstance(item, Claimed):
                facts.append(f"row({place},{keys[item]}).")
                place += 1
                continue
            claim = claims.setdefault(item.claim, len(claims))
            value = item.value // TICKS if item.test is Test.CLOCK else item.value
            facts.append(f"claim({claim},{value}).")
            facts += [f"mutable({claim},{item.cost})."] if item.cost else []
            match item.test:
                case Test.LEAD:
                    facts += [f"lead({place},{claim}).", f"other({claim},{1 - value})."]
                case Test.FOOT:
                    facts += [f"foot({place},{claim})."] + [f"other({claim},{v})." for v in range(3) if v != value]
                case Test.CLOCK:
                    facts += [f"measured({place},{claim}).", f"clock({place},{claim},{start})."]
                case Test.TURN:
                    facts += [f"measured({place},{claim}).", f"angle({place},{claim},{start})."]
                case _:
                    raise ValueError(f"no rule for {item.test}")
            if item.test in (Test.CLOCK, Test.TURN):
                facts.append(f"other({claim},0).")
                name = "ticks" if item.test is Test.CLOCK else "turn"
                if claim in seen:
                    old_start, old_place = seen[claim]
                    facts.append(
                        f":- changed({claim}), #sum {{ T,M : {name}(M,T), row(M,_), M >= {start}, M < {place};"
                        f" -T,M : {name}(M,T), row(M,_), M >= {old_start}, M < {old_place} }} != 0."
                    )
                else:
                    seen[claim] = start, place
            place += 1
    control = clingo.Control(["--opt-mode=opt", "--warn=none"])
    control.add("base", [], RULES + "\n".join(facts))
    control.ground([("base", [])])
    best: list[int] = []
    with control.solve(yield_=True) as handle:
        for found in handle:
            best = list(found.cost)
    return (best[0] if best else 0) if control.solve().satisfiable is not False and best is not None else None
