"""Minimum cuts by networkx."""

import networkx


def minimum_cut(graph, edges):
    """The capacity of a minimum cut, and the links that it cuts."""
    digraph = networkx.DiGraph()
    digraph.add_nodes_from(range(graph["node_count"]))
    for start, end, capacity in edges:
        # Two links between the same nodes are one of the capacity of both.
        if digraph.has_edge(start, end):
            digraph[start][end]["capacity"] += capacity
        else:
            digraph.add_edge(start, end, capacity=capacity)
    value, (near, far) = networkx.minimum_cut(digraph, graph["source"], graph["store"])
    return value, [edge for edge in edges if edge[0] in near and edge[1] in far]
