"""Makes picks.csv: generated problems with the best of each level by OR-tools CP-SAT.

    pip install ortools
    python3 picks_fixture.py > picks.csv

The problems are made as in picks/generated.rs, number for number, so that a line holds only the shape of a
problem (seed, picks, candidates, spread, nevers, stocks, budget) and what the levels come to, in order, or
`impossible`.
"""

import random

from ortools.sat.python import cp_model

MASK = (1 << 64) - 1


class Draw:
    """SplitMix64 (Steele, Lea and Flood, OOPSLA 2014; cited from memory)."""

    def __init__(self, seed):
        self.state = seed

    def below(self, count):
        self.state = (self.state + 0x9E3779B97F4A7C15) & MASK
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
        return (z ^ (z >> 31)) % count


def problem(seed, count, most, spread, nevers, stocks, budget):
    draw = Draw(seed)
    picks = []
    for _ in range(count):
        candidates = (most + 1) // 2 + draw.below(most // 2 + 1)
        of = [spread, 60, spread // 4 + 1, spread // 16 + 1]
        picks.append([[draw.below(it) for it in of] for _ in range(candidates)])
    never = []
    for _ in range(nevers):
        one = []
        for _ in range(3 if draw.below(4) == 0 else 2):
            pick = draw.below(count)
            one.append((pick, draw.below(len(picks[pick]))))
        never.append(one)
    limits = []
    for _ in range(stocks):
        uses = []
        for pick, candidates in enumerate(picks):
            nth = draw.below(len(candidates))
            uses.append((pick, nth, draw.below(4)))
        limits.append((uses, count // 4 + draw.below(count)))
    if budget > 0:
        least = sum(min(it[0] for it in pick) for pick in picks)
        largest = sum(max(it[0] for it in pick) for pick in picks)
        uses = [(pick, nth, it[0]) for pick, all in enumerate(picks) for nth, it in enumerate(all)]
        limits.append((uses, least + (largest - least) * budget // 1000))
    levels = [
        [[(0, 1)], [(1, 1)], [(2, 1)], [(3, 1)]],
        [[(1, 1)], [(0, 1)]],
        [[(2, 1)], [(0, 1), (3, 2)]],
        [[(0, 1), (1, spread // 16 + 1), (2, 2)], [(3, 1)]],
    ][draw.below(4)]
    return picks, never, limits, levels


def best(picks, never, limits, levels):
    model = cp_model.CpModel()
    x = [[model.new_bool_var(f"{p}.{c}") for c in range(len(all))] for p, all in enumerate(picks)]
    for row in x:
        model.add_exactly_one(row)
    for one in never:
        model.add_bool_or([~x[p][c] for p, c in set(one)])
    for uses, most in limits:
        model.add(sum(used * x[p][c] for p, c, used in uses) <= most)
    columns = []
    for column in range(4):
        figures = [sum(it[column] * v for it, v in zip(all, row)) for all, row in zip(picks, x)]
        if column == 1:
            longest = model.new_int_var(0, 60, "longest")
            model.add_max_equality(longest, figures)
            columns.append(longest)
        else:
            columns.append(sum(figures))
    found = []
    for level in levels:
        goal = sum(weight * columns[column] for column, weight in level)
        model.minimize(goal)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 2
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE:
            return None
        assert status == cp_model.OPTIMAL
        value = round(solver.objective_value)
        found.append(value)
        model.add(goal <= value)
    return found


random.seed(20260417)
print("seed,picks,candidates,spread,nevers,stocks,budget,levels")
for nth in range(330):
    count = random.randint(20, 60) if nth < 300 else random.randint(100, 200)
    most = random.randint(4, 10)
    spread = random.choice([20, 1000, 100_000])
    nevers = random.randint(0, count * 3)
    stocks = random.randint(0, 3)
    budget = random.choice([0, 0, 3, 30, 150, 300])
    shape = (nth, count, most, spread, nevers, stocks, budget)
    found = best(*problem(*shape))
    print(*shape, "impossible" if found is None else " ".join(map(str, found)), sep=",", flush=True)
