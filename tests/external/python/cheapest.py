"""Prices of cheapest ways by networkx, on the expanded graphs that are handed over.

In: a list of graphs, each {"edges": [[from, to, price], ...], "source": n, "sink": n}. Out: a price or null for each.
"""

import json
import sys

import networkx


def price(asked):
    graph = networkx.DiGraph()
    graph.add_nodes_from([asked["source"], asked["sink"]])
    for a, b, weight in asked["edges"]:
        if not graph.has_edge(a, b) or graph[a][b]["weight"] > weight:
            graph.add_edge(a, b, weight=weight)
    try:
        return networkx.dijkstra_path_length(graph, asked["source"], asked["sink"])
    except networkx.NetworkXNoPath:
        return None


json.dump([price(g) for g in json.load(sys.stdin)], sys.stdout)
