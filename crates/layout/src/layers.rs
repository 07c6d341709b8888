//! Layers: each box stands right of those that feed it. Where that would become a long ribbon, it
//! goes on below, like words in lines.

use std::collections::BTreeMap;

use petgraph::stable_graph::{NodeIndex, StableDiGraph};
use petgraph::unionfind::UnionFind;
use rust_sugiyama::configure::{Config, CrossingMinimization, RankingType};

/// Room between two boxes, in cells.
const GAP: f64 = 0.7;
/// How wide an module is, compared with its height, if its boxes allow it.
const ASPECT: f64 = 1.8;
/// So many boxes at most are put in layers at once; more go piece by piece.
const MOST_AT_ONCE: usize = 300;

/// Some boxes and where they stand.
struct Piece {
    boxes: Vec<(usize, (f64, f64))>,
    width: f64,
    height: f64,
}

/// Where boxes of these sizes, with these links, stand: the upper left corner of each, and how wide
/// and high all are together.
pub(crate) fn lay_out(
    sizes: &[(f64, f64)],
    links: &[(usize, usize)],
) -> (f64, f64, Vec<(f64, f64)>) {
    let mut pieces = Vec::new();
    let mut single = Vec::new();
    for group in groups(sizes.len(), links) {
        match group.as_slice() {
            [alone] => single.push(Piece {
                boxes: vec![(*alone, (0.0, 0.0))],
                width: sizes[*alone].0,
                height: sizes[*alone].1,
            }),
            _ => {
                for part in group.chunks(MOST_AT_ONCE) {
                    pieces.push(folded(in_layers(part, sizes, links), sizes));
                }
            }
        }
    }
    if !single.is_empty() {
        pieces.push(in_lines(single));
    }
    let all = in_lines(pieces);
    let mut spots = vec![(0.0, 0.0); sizes.len()];
    for (number, spot) in all.boxes {
        spots[number] = spot;
    }
    (all.width, all.height, spots)
}

/// The boxes that hang together, each group ascending, in the order of their first boxes.
fn groups(count: usize, links: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut sets = UnionFind::new(count);
    for (from, to) in links {
        sets.union(*from, *to);
    }
    let mut groups: Vec<Vec<usize>> = Vec::new();
    let mut numbers = BTreeMap::new();
    for (number, set) in sets.into_labeling().into_iter().enumerate() {
        let next = groups.len();
        let group = *numbers.entry(set).or_insert(next);
        if group == next {
            groups.push(Vec::new());
        }
        groups[group].push(number);
    }
    groups
}

/// Puts boxes in layers from left to right. The crate says in which layer each box is and in which
/// order they stand there; here they are moved together, for modules differ much in size.
fn in_layers(group: &[usize], sizes: &[(f64, f64)], links: &[(usize, usize)]) -> Piece {
    let mut graph: StableDiGraph<usize, ()> = StableDiGraph::new();
    let nodes: BTreeMap<usize, NodeIndex> = group
        .iter()
        .map(|number| (*number, graph.add_node(*number)))
        .collect();
    for (from, to) in links {
        if let (Some(from), Some(to)) = (nodes.get(from), nodes.get(to)) {
            graph.add_edge(*from, *to, ());
        }
    }
    let config = Config {
        minimum_length: 1,
        vertex_spacing: 1.0,
        dummy_vertices: true,
        ranking_type: RankingType::MinimizeEdgeLength,
        c_minimization: CrossingMinimization::Barycenter,
        transpose: group.len() <= 100,
        dummy_size: 1.0,
    };
    let size = |_: NodeIndex, _: &usize| (1.0, 1.0);
    let pieces = rust_sugiyama::from_graph(&graph, &size, &config);
    let columns = pieces.into_iter().map(|(spots, _, _)| {
        let mut columns: BTreeMap<i64, Vec<(f64, usize)>> = BTreeMap::new();
        for (node, (across, along)) in spots {
            // Its layers go down, ours to the right.
            let column = columns.entry((along * 100.0).round() as i64).or_default();
            column.push((across, graph[node]));
        }
        moved_together(columns.into_values().collect(), sizes)
    });
    in_lines(columns.collect())
}

/// Columns beside each other, each in the middle of the height of all.
fn moved_together(mut columns: Vec<Vec<(f64, usize)>>, sizes: &[(f64, f64)]) -> Piece {
    let high = |column: &[(f64, usize)]| -> f64 {
        let boxes = column.iter().map(|(_, number)| sizes[*number].1 + GAP);
        boxes.sum::<f64>() - GAP
    };
    let height = columns
        .iter()
        .map(|column| high(column))
        .fold(0.0, f64::max);
    let mut boxes = Vec::new();
    let mut left = 0.0;
    for column in &mut columns {
        column.sort_by(|(one, number), (other, of)| one.total_cmp(other).then(number.cmp(of)));
        let wide = column
            .iter()
            .map(|(_, number)| sizes[*number].0)
            .fold(0.0, f64::max);
        let mut top = (height - high(column)) / 2.0;
        for (_, number) in column {
            let (own_width, own_height) = sizes[*number];
            boxes.push((*number, (left + (wide - own_width) / 2.0, top)));
            top += own_height + GAP;
        }
        left += wide + GAP;
    }
    let (width, height) = settle(&mut boxes, sizes);
    Piece {
        boxes,
        width,
        height,
    }
}

/// Moves boxes so that the leftmost begins at 0 and the uppermost too; gives their extent.
fn settle(boxes: &mut [(usize, (f64, f64))], sizes: &[(f64, f64)]) -> (f64, f64) {
    let least = |of: fn(&(f64, f64)) -> f64| {
        let all = boxes.iter().map(|(_, spot)| of(spot));
        all.fold(f64::INFINITY, f64::min)
    };
    let (left, top) = (least(|spot| spot.0), least(|spot| spot.1));
    let (mut width, mut height) = (0.0_f64, 0.0_f64);
    for (number, (x, y)) in boxes {
        // Hundredths of a cell are all that a picture needs.
        *x = ((*x - left) * 100.0).round() / 100.0;
        *y = ((*y - top) * 100.0).round() / 100.0;
        width = width.max(*x + sizes[*number].0);
        height = height.max(*y + sizes[*number].1);
    }
    (width, height)
}

/// Breaks a long ribbon into lines, one below the other.
fn folded(piece: Piece, sizes: &[(f64, f64)]) -> Piece {
    let most = (piece.width * piece.height * ASPECT).sqrt();
    if piece.width <= most * 1.3 {
        return piece;
    }
    let mut boxes = piece.boxes;
    boxes.sort_by(|(one, (x, _)), (other, (other_x, _))| {
        let middle = |x: &f64, number: &usize| x + sizes[*number].0 / 2.0;
        middle(x, one)
            .total_cmp(&middle(other_x, other))
            .then(one.cmp(other))
    });
    let mut lines: Vec<Piece> = Vec::new();
    let mut rest = boxes.as_slice();
    while let Some((first, (begin, _))) = rest.first() {
        let end = begin + most.max(sizes[*first].0);
        let fits = rest
            .iter()
            .position(|(number, (x, _))| x + sizes[*number].0 > end + 0.01);
        let (line, more) = rest.split_at(fits.unwrap_or(rest.len()).max(1));
        let mut line = line.to_vec();
        let (width, height) = settle(&mut line, sizes);
        lines.push(Piece {
            boxes: line,
            width,
            height,
        });
        rest = more;
    }
    let mut folded = Piece {
        boxes: Vec::new(),
        width: 0.0,
        height: 0.0,
    };
    for line in lines {
        let below = if folded.height > 0.0 {
            folded.height + GAP
        } else {
            0.0
        };
        folded.width = folded.width.max(line.width);
        folded.height = below + line.height;
        let moved = line.boxes.into_iter();
        folded
            .boxes
            .extend(moved.map(|(number, (x, y))| (number, (x, y + below))));
    }
    folded
}

/// Puts pieces beside each other, line by line.
fn in_lines(pieces: Vec<Piece>) -> Piece {
    let module: f64 = pieces
        .iter()
        .map(|piece| (piece.width + GAP) * (piece.height + GAP))
        .sum();
    let widest = pieces.iter().map(|piece| piece.width).fold(0.0, f64::max);
    let most = (module * ASPECT).sqrt().max(widest);
    let mut all = Piece {
        boxes: Vec::new(),
        width: 0.0,
        height: 0.0,
    };
    let (mut left, mut top) = (0.0, 0.0);
    for piece in pieces {
        if left > 0.0 && left + piece.width > most {
            left = 0.0;
            top = all.height + GAP;
        }
        all.width = all.width.max(left + piece.width);
        all.height = all.height.max(top + piece.height);
        let moved = piece.boxes.into_iter();
        all.boxes
            .extend(moved.map(|(number, (x, y))| (number, (x + left, y + top))));
        left += piece.width + GAP;
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line of so many boxes, each feeding the next.
    fn line(count: usize) -> Vec<(usize, usize)> {
        (1..count).map(|number| (number - 1, number)).collect()
    }

    fn overlap(sizes: &[(f64, f64)], spots: &[(f64, f64)]) -> bool {
        let apart = |one: usize, other: usize| {
            let ((ax, ay), (bx, by)) = (spots[one], spots[other]);
            let ((aw, ah), (bw, bh)) = (sizes[one], sizes[other]);
            ax + aw <= bx + 0.02
                || bx + bw <= ax + 0.02
                || ay + ah <= by + 0.02
                || by + bh <= ay + 0.02
        };
        (0..sizes.len()).any(|one| (0..one).any(|other| !apart(one, other)))
    }

    #[test]
    fn what_is_fed_stands_right_of_what_feeds_it() {
        let sizes = vec![(1.0, 1.0); 4];
        let (_, _, spots) = lay_out(&sizes, &[(3, 0), (0, 1), (0, 2)]);
        assert!(spots[3].0 < spots[0].0 && spots[0].0 < spots[1].0);
        assert_eq!(spots[1].0, spots[2].0);
        assert!(!overlap(&sizes, &spots));
    }

    #[test]
    fn a_long_line_is_folded_and_nothing_overlaps() {
        let sizes = vec![(1.0, 1.0); 60];
        let (width, height, spots) = lay_out(&sizes, &line(60));
        assert!(width < 30.0 && height > 5.0, "{width} by {height}");
        assert!(!overlap(&sizes, &spots));
    }

    #[test]
    fn boxes_of_different_sizes_do_not_overlap() {
        let sizes: Vec<(f64, f64)> = (0..24)
            .map(|number| (1.0 + f64::from(number % 5), 1.0 + f64::from(number % 3)))
            .collect();
        let links = [line(24), vec![(0, 9), (4, 20), (7, 3)]].concat();
        let (_, _, spots) = lay_out(&sizes, &links);
        assert!(!overlap(&sizes, &spots));
    }

    #[test]
    fn the_same_network_stands_the_same_way_every_time() {
        let sizes = vec![(1.0, 1.0); 80];
        let links: Vec<(usize, usize)> = (1..80)
            .map(|number| (number * 7 % number, number))
            .chain(line(40))
            .collect();
        let first = lay_out(&sizes, &links);
        for _ in 0..10 {
            assert_eq!(lay_out(&sizes, &links), first);
        }
    }
}
