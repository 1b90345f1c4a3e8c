"""Makes routes.csv: generated networks and nets with the least sum of efforts by HiGHS.

    pip install highspy
    python3 routes_fixture.py    # writes routes.csv beside it

One line a case: seed, zones, extra runs, nets, most pieces a net, most room of a bore; the least sum of
efforts, or `none` if the nets cannot all be laid. The case follows from those numbers, in the same words
in routes.rs. The model is the directed multi-commodity flow formulation: from the first piece of each net
one unit flows to each other piece, over arcs that are paid once.
"""

import pathlib

import highspy

LIMIT = 2**64


class Draw:
    """SplitMix64."""

    def __init__(self, seed):
        self.state = seed

    def below(self, end):
        self.state = (self.state + 0x9E3779B97F4A7C15) % LIMIT
        it = self.state
        it = (it ^ (it >> 30)) * 0xBF58476D1CE4E5B9 % LIMIT
        it = (it ^ (it >> 27)) * 0x94D049BB133111EB % LIMIT
        return (it ^ (it >> 31)) % end


def case(seed, zones, extra, nets, pieces, room):
    draw = Draw(seed)
    runs = []
    for nth in range(zones - 1 + extra):
        if nth < zones - 1:
            a, b = draw.below(nth + 1), nth + 1
        else:
            a = draw.below(zones)
            b = (a + 1 + draw.below(zones - 1)) % zones
        effort = 10 + draw.below(300)
        bore = draw.below(3) == 0 and room > 0
        runs.append((a, b, effort, (2 + draw.below(room)) * 500 if bore else None))
    stay = []
    for _ in range(zones):
        costs = draw.below(8) == 0
        stay.append(draw.below(20) if costs else 0)
    made = []
    for _ in range(nets):
        count = 2 + draw.below(pieces - 1)
        area = [350, 500, 750, 1000, 1500, 2500][draw.below(6)]
        net = []
        for _ in range(count):
            many = 2 + draw.below(3) if draw.below(3) == 0 else 1
            through = draw.below(4) != 0
            taps = []
            for _ in range(many):
                zone = draw.below(zones)
                taps.append((zone, 20 + draw.below(100)))
            net.append((taps, through))
        made.append((area, net))
    return runs, stay, made


class Model:
    def __init__(self):
        self.cost, self.whole, self.rows = [], [], []

    def variable(self, cost, whole):
        self.cost.append(cost)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(self, low, high, terms):
        self.rows.append((low, high, terms))

    def solve(self):
        solver = highspy.Highs()
        solver.setOptionValue("output_flag", False)
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.setOptionValue("mip_abs_gap", 0.5)
        solver.setOptionValue("threads", 1)
        for cost, whole in zip(self.cost, self.whole):
            solver.addVar(0.0, 1.0)
            at = solver.getNumCol() - 1
            solver.changeColCost(at, float(cost))
            if whole:
                solver.changeColIntegrality(at, highspy.HighsVarType.kInteger)
        for low, high, terms in self.rows:
            sums = {}
            for column, factor in terms:
                sums[column] = sums.get(column, 0) + factor
            solver.addRow(low, high, len(sums), list(sums), [float(it) for it in sums.values()])
        solver.run()
        status = solver.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None
        assert status == highspy.HighsModelStatus.kOptimal, status
        value = solver.getInfo().objective_function_value
        assert abs(value - round(value)) < 0.1, value
        return round(value)


def optimum(zones, runs, stay, nets):
    model = Model()
    uses = [[] for _ in runs]
    for area, pieces in nets:
        arcs = []  # from, to, variable
        for nth, (a, b, effort, _) in enumerate(runs):
            there, back = model.variable(effort, True), model.variable(effort, True)
            arcs += [(a, b, there), (b, a, back)]
            model.row(0, 1, [(there, 1), (back, 1)])
            uses[nth] += [(there, area), (back, area)]
        for nth, (taps, through) in enumerate(pieces):
            node = zones + nth
            chosen = []
            for zone, effort in taps:
                into = model.variable(effort + stay[zone], True)
                away = model.variable(effort + stay[zone], True)
                arcs += [(zone, node, into), (node, zone, away)]
                model.row(0, 1, [(into, 1), (away, 1)])
                chosen += [(into, 1), (away, 1)]
            if not through:
                model.row(1, 1, chosen)
        for goal in range(1, len(pieces)):
            flow = []
            for _, _, paid in arcs:
                it = model.variable(0, False)
                model.row(-1, 0, [(it, 1), (paid, -1)])
                flow.append(it)
            for node in range(zones + len(pieces)):
                terms = [(flow[nth], 1) for nth, arc in enumerate(arcs) if arc[1] == node]
                terms += [(flow[nth], -1) for nth, arc in enumerate(arcs) if arc[0] == node]
                net = -1 if node == zones else 1 if node == zones + goal else 0
                model.row(net, net, terms)
    for (_, _, _, room), terms in zip(runs, uses):
        if room is not None:
            model.row(0, room, terms)
    return model.solve()


def sizes():
    # Nets in one another's way.
    for nth in range(440):
        draw = Draw(1_000_000 + nth)
        zones = 5 + draw.below(8)
        yield 10_000 + nth, zones, 2 + draw.below(zones), 4 + draw.below(12), 2 + draw.below(4), 4 + draw.below(8)
    # Nets of about ten pieces.
    for nth in range(40):
        draw = Draw(2_000_000 + nth)
        zones = 12 + draw.below(18)
        yield 20_000 + nth, zones, draw.below(20), 1 + draw.below(2), 10, 0
    # Nets beyond that.
    for nth in range(40):
        draw = Draw(3_000_000 + nth)
        zones = 20 + draw.below(20)
        yield 30_000 + nth, zones, 5 + draw.below(20), 1, 30, 0


with open(pathlib.Path(__file__).with_name("routes.csv"), "w", newline="\n") as file:
    print("seed,zones,extra,nets,pieces,room,effort", file=file)
    for size in sizes():
        least = optimum(size[1], *case(*size))
        print(*size, "none" if least is None else least, sep=",", file=file)
