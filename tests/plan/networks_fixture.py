"""Makes networks.csv: random networks of activities with their times by longest path in networkx.

    pip install networkx
    python3 networks_fixture.py > networks.csv

One line a network: durations with blanks between; for each activity what it waits for, joined by
`+`; earliest starts; latest starts; the whole time.
"""

import random

import networkx as nx

random.seed(20260301)
print("takes,after,start,latest,finish")
for nth in range(400):
    count = random.randint(1, 40)
    takes = [random.randint(0, 20) for _ in range(count)]
    order = list(range(count))
    random.shuffle(order)
    graph = nx.DiGraph()
    graph.add_nodes_from(range(count))
    for at, node in enumerate(order):
        for before in random.sample(order[:at], min(at, random.randint(0, 3))):
            graph.add_edge(before, node)

    # Lengths by longest path: each edge weighs what its first activity takes, to a last one that
    # follows all.
    def longest(target):
        part = graph.subgraph(nx.ancestors(graph, target) | {target}).copy()
        nx.set_edge_attributes(part, {(a, b): takes[a] for a, b in part.edges}, "weight")
        return nx.dag_longest_path_length(part, weight="weight") if part.number_of_edges() else 0

    start = [longest(node) for node in range(count)]
    finish = max(s + t for s, t in zip(start, takes))
    back = graph.reverse()

    def tail(node):
        part = graph.subgraph(nx.descendants(graph, node) | {node}).copy()
        part.add_node("end")
        for leaf in [it for it in part if it != "end" and part.out_degree(it) == 0]:
            part.add_edge(leaf, "end")
        nx.set_edge_attributes(part, {(a, b): takes[a] for a, b in part.edges}, "weight")
        return nx.dag_longest_path_length(part, weight="weight")

    latest = [finish - tail(node) for node in range(count)]
    after = ["+".join(map(str, sorted(graph.predecessors(node)))) for node in range(count)]
    row = [takes, after, start, latest]
    print(",".join(" ".join(map(lambda it: str(it) or "-", part)) if part is not after else " ".join(it or "-" for it in part) for part in row) + f",{finish}")
