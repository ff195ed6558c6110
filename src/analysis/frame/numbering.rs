//! The order of the nodes that keeps a stiffness matrix narrow: reverse Cuthill–McKee.

/// Neighbours of each node, one after the other.
struct Graph {
    start: Vec<usize>,
    neighbours: Vec<usize>,
}

impl Graph {
    fn new(nodes: usize, edges: &[(usize, usize)]) -> Self {
        let mut start = vec![0; nodes + 1];
        for (a, b) in edges {
            start[a + 1] += 1;
            start[b + 1] += 1;
        }
        for node in 0..nodes {
            start[node + 1] += start[node];
        }
        let mut fill = start.clone();
        let mut neighbours = vec![0; 2 * edges.len()];
        for &(a, b) in edges {
            for (from, to) in [(a, b), (b, a)] {
                neighbours[fill[from]] = to;
                fill[from] += 1;
            }
        }
        let mut graph = Self { start, neighbours };
        let degrees: Vec<usize> = (0..nodes).map(|node| graph.degree(node)).collect();
        for node in 0..nodes {
            graph.neighbours[graph.start[node]..graph.start[node + 1]]
                .sort_by_key(|other| degrees[*other]);
        }
        graph
    }

    fn degree(&self, node: usize) -> usize {
        self.start[node + 1] - self.start[node]
    }

    fn of(&self, node: usize) -> &[usize] {
        &self.neighbours[self.start[node]..self.start[node + 1]]
    }

    /// Appends the nodes reached from one in the order of their distance; returns the number of levels and where
    /// the last one begins. Nodes whose mark is `mark` or above count as reached.
    fn walk(
        &self,
        from: usize,
        mark: usize,
        marks: &mut [usize],
        order: &mut Vec<usize>,
    ) -> (usize, usize) {
        marks[from] = mark;
        let (mut level, mut levels) = (order.len(), 0);
        order.push(from);
        loop {
            let end = order.len();
            for k in level..end {
                for &next in self.of(order[k]) {
                    if marks[next] < mark {
                        marks[next] = mark;
                        order.push(next);
                    }
                }
            }
            levels += 1;
            if order.len() == end {
                return (levels, level);
            }
            level = end;
        }
    }
}

/// A node that meets more than this many times as many others as the average, and more than [`FEW`], is a hub.
const OFTEN: usize = 8;
/// No node that meets so few others is a hub.
const FEW: usize = 24;

/// Nodes in the order in which they are to be numbered. Hubs, which would tie everything to everything, come last:
/// there they widen their own columns only.
pub(super) fn order(nodes: usize, edges: &[(usize, usize)]) -> Vec<usize> {
    let mut degree = vec![0; nodes];
    for (a, b) in edges {
        degree[*a] += 1;
        degree[*b] += 1;
    }
    let most = FEW.max(OFTEN * 2 * edges.len() / nodes.max(1));
    let hub = |node: &usize| degree[*node] > most;
    let plain: Vec<(usize, usize)> = edges
        .iter()
        .filter(|(a, b)| !hub(a) && !hub(b))
        .copied()
        .collect();
    let mut order = reverse_cuthill_mckee(nodes, &plain);
    let hubs: Vec<usize> = (0..nodes).filter(hub).collect();
    order.retain(|node| !hub(node));
    order.extend(hubs);
    order
}

fn reverse_cuthill_mckee(nodes: usize, edges: &[(usize, usize)]) -> Vec<usize> {
    let graph = Graph::new(nodes, edges);
    let mut order = Vec::with_capacity(nodes);
    let mut marks = vec![0; nodes];
    let mut mark = 0;
    let mut by_degree: Vec<usize> = (0..nodes).collect();
    by_degree.sort_by_key(|node| graph.degree(*node));
    for seed in by_degree {
        if marks[seed] > 0 {
            continue;
        }
        // Walk from the far end of the last walk as long as the walks grow longer.
        let begin = order.len();
        let (mut start, mut longest) = (seed, 0);
        loop {
            mark += 1;
            order.truncate(begin);
            let (levels, last) = graph.walk(start, mark, &mut marks, &mut order);
            if levels <= longest {
                break;
            }
            longest = levels;
            start = order[last];
        }
    }
    order.reverse();
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bandwidth(order: &[usize], edges: &[(usize, usize)]) -> usize {
        let mut at = vec![0; order.len()];
        order.iter().enumerate().for_each(|(k, node)| at[*node] = k);
        edges
            .iter()
            .map(|(a, b)| at[*a].abs_diff(at[*b]))
            .max()
            .unwrap_or(0)
    }

    #[test]
    fn a_shuffled_chain_becomes_a_chain() {
        let edges: Vec<(usize, usize)> = (0..10)
            .map(|k| ((k * 7) % 11, ((k + 1) * 7) % 11))
            .collect();
        let order = reverse_cuthill_mckee(11, &edges);
        assert_eq!(bandwidth(&order, &edges), 1);
    }

    #[test]
    fn a_hub_comes_last_and_leaves_the_others_a_chain() {
        let chain = (0..100).map(|k| (k, k + 1));
        let spokes = (0..100).map(|k| (k, 101));
        let edges: Vec<(usize, usize)> = chain.clone().chain(spokes).collect();
        let order = order(102, &edges);
        assert_eq!(order[101], 101);
        assert_eq!(bandwidth(&order, &chain.collect::<Vec<_>>()), 1);
    }

    #[test]
    fn every_node_is_numbered_once_in_a_graph_of_pieces() {
        let edges = [(0, 4), (4, 2), (1, 3)];
        let mut order = reverse_cuthill_mckee(7, &edges);
        assert_eq!(bandwidth(&order, &edges), 1);
        order.sort_unstable();
        assert_eq!(order, (0..7).collect::<Vec<_>>());
    }
}
