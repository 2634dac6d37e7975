//! Loose chains → rings: ends that meet are joined, and what stays open is refused, or left out
//! of a drawing that may hold more than outlines.
//!
//! ```text
//!      .---a---. .---b---.      ends that meet in twos are one run, and one that comes back to
//!      |        ^        |      its start is a ring; ^ free ends that all but meet, each the
//!      '---d---.-----c---'      other's nearest, are bridged; three that meet are refused
//! ```
//!
//! Our own.

use super::chain::Ring;
use super::net::{Net, is_start};
use super::strand::{Report, Strand};
use super::stray::{self, Run};
use crate::diag::Problem;
use crate::geom::tolerance::{BRIDGE, REPAIR};
use crate::read::Drawing;
use std::collections::BTreeMap;

/// The rings that loose chains make; what stays open or branches is refused.
pub(super) fn chained(chains: Vec<Ring>, report: &mut Report) -> Vec<Ring> {
    let net = net(chains, report);
    let (rings, open) = walked(&net, |_| true);
    for run in &open {
        refuse(run, report);
    }
    rings
}

/// Adds the rings that loose chains make to those that closed by themselves. Lines that end in
/// nothing are left out and listed with what was left out already, unless they look like an
/// outline that does not close.
pub(super) fn sorted(
    chains: Vec<Ring>,
    rings: &mut Vec<Ring>,
    drawing: &Drawing,
    report: &mut Report,
) {
    let mut left_out = drawing.beside.clone().unwrap_or_default();
    let name = drawing.paths.first().map_or("drawing", |path| &path.place.name);
    let mut net = net(chains, report);
    let strays = net.take_strays();
    let (made, branching) = walked(&net, |chain| !strays[chain]);
    rings.extend(made);
    for run in &branching {
        refuse(run, report);
    }
    let (_, open) = walked(&net, |chain| strays[chain]);
    for run in stray::sort(&open, rings, &mut left_out) {
        refuse(run, report);
    }
    stray::note(&left_out, (!open.is_empty(), name), report);
}

/// The chains as a net of ends that meet: each drawn once, ends that nearly meet joined.
fn net(chains: Vec<Ring>, report: &mut Report) -> Net {
    let net = Net::new(chains);
    let chains = drop_doubled(&net, report);
    let mut net = Net::new(chains);
    net.bridge();
    net
}

/// The chains without those that lie on another one, or within the repair tolerance of a point.
fn drop_doubled(net: &Net, report: &mut Report) -> Vec<Ring> {
    let mut kept: BTreeMap<[usize; 2], Vec<&Ring>> = BTreeMap::new();
    let mut chains = Vec::new();
    for (index, chain) in net.chains().iter().enumerate() {
        let place = chain[0].place_at(chain[0].from());
        let mut knots = net.knots_of(index);
        knots.sort_unstable();
        let before = kept.entry(knots).or_default();
        if knots[0] == knots[1] {
            let found = format!(
                "a step of at most {} at {} is taken away: {}",
                report.paper.decimals(REPAIR, 3),
                report.point(chain[0].from()),
                chain[0].called()
            );
            report.repaired("outline-tiny-step", place, found);
        } else if before.iter().any(|other| same(chain, other)) {
            let reach = chain.iter().map(Strand::extent).fold(0.0, f64::max);
            let found = format!(
                "{}, {} long, is drawn twice; one is left out",
                chain[0].called(),
                report.paper.decimals(reach, 3)
            );
            report.repaired("outline-doubled", place, found);
        } else {
            before.push(chain);
            chains.push(chain.clone());
        }
    }
    chains
}

/// Whether two chains lie on each other, walked either way.
fn same(chain: &Ring, other: &Ring) -> bool {
    let on = |one: &[Strand]| {
        one.len() == other.len() && one.iter().zip(other).all(|(a, b)| a.lies_on(b))
    };
    on(chain) || on(&backwards(chain))
}

/// A chain walked the other way.
fn backwards(chain: &[Strand]) -> Ring {
    chain.iter().rev().map(Strand::reversed).collect()
}

/// Walks the chains that are `wanted` from end to end: the rings, and the runs that do not close.
fn walked(net: &Net, wanted: impl Fn(usize) -> bool) -> (Vec<Ring>, Vec<Run>) {
    let n = 2 * net.chains().len();
    let mut used: Vec<bool> = (0..n / 2).map(|chain| !wanted(chain)).collect();
    let (mut rings, mut open) = (Vec::new(), Vec::new());
    // Open runs first, from their free ends; then only rings are left.
    let free = (0..n).filter(|&end| net.mate(end).is_none());
    for first in free.chain(0..n) {
        if used[first / 2] {
            continue;
        }
        let (entered, last) = walk(net, first, &mut used);
        let chain = |&end: &usize| {
            let chain = &net.chains()[end / 2];
            if is_start(end) { chain.clone() } else { backwards(chain) }
        };
        let strands: Ring = entered.iter().flat_map(chain).collect();
        if net.mate(last) == Some(first) {
            rings.push(strands);
        } else {
            let ends = [first, last].map(|end| net.at(end));
            let meeting = [first, last].map(|end| net.n_at(end));
            let places =
                entered.iter().map(|&end| net.chains()[end / 2][0].place.clone());
            open.push(Run { strands, places: places.collect(), ends, meeting });
        }
    }
    (rings, open)
}

/// Walks from chain to chain, starting at end `first`, while each end has one mate. Gives the
/// ends at which each chain was entered, and the end at which the walk stopped.
fn walk(net: &Net, first: usize, used: &mut [bool]) -> (Vec<usize>, usize) {
    let mut entered = first;
    let mut run = Vec::new();
    loop {
        used[entered / 2] = true;
        run.push(entered);
        let left = entered ^ 1;
        match net.mate(left) {
            Some(next) if !used[next / 2] => entered = next,
            _ => return (run, left),
        }
    }
}

/// Refuses a run that does not close: its ends meet nothing, or more than one other end.
fn refuse(run: &Run, report: &mut Report) {
    let (first, last) = (&run.strands[0], &run.strands[run.strands.len() - 1]);
    let ([from, to], [at_start, at_end]) = (run.ends, run.meeting);
    if 2 < at_start.max(at_end) {
        let (strand, at) = if 2 < at_end { (last, to) } else { (first, from) };
        let found = format!("more than two ends meet at {}", report.point(at));
        let hint = "keep the two lines that bound the part there and delete the others";
        report.stop(
            Problem::stop("outline-branches", found, hint)
                .at(strand.place_at(at))
                .expected("each end to meet one other"),
        );
        return;
    }
    let found = format!(
        "the line from {} to {} is open: its ends are {} apart",
        report.point(from),
        report.point(to),
        report.paper.decimals(from.distance(to), 3)
    );
    let hint = "close it: draw the line that is missing between these two places (`Z` at the end of a path, `close` at the end of a walk), or give the board that this line parts; a mark that is no edge is to be removed or hidden";
    let expected = format!("ends that meet within {}", report.paper.decimals(BRIDGE, 3));
    let problem = Problem::stop("outline-open", found, hint);
    report.stop(problem.at(last.place_at(to)).expected(expected));
}

#[cfg(test)]
mod tests {
    use crate::diag::Outcome;
    use crate::geom::Point;
    use crate::geom::tolerance::FIT;
    use crate::outline::tests::{at, line, path};
    use crate::outline::{Outline, outlines};
    use crate::read::{Drawing, Path, Tally};
    use crate::units::Paper;

    fn open(id: &str, points: &[(f64, f64)]) -> Path {
        let points: Vec<Point> = points.iter().map(|&(x, y)| at(x, y)).collect();
        let strokes = points.windows(2).map(|pair| line(pair[0], pair[1])).collect();
        Path { closed: false, ..path(id, strokes) }
    }

    /// A plate of 100 by 60 in two pieces, the second ending `gap` short of the first.
    fn plate(gap: f64) -> Vec<Path> {
        vec![
            open("near", &[(0.0, 0.0), (100.0, 0.0), (100.0, 60.0)]),
            open("far", &[(100.0, 60.0), (0.0, 60.0), (0.0, gap)]),
        ]
    }

    fn hole() -> Path {
        let corners = [(20.0, 20.0), (40.0, 20.0), (40.0, 40.0), (20.0, 40.0)];
        Path { closed: true, ..open("hole", &corners) }
    }

    fn read(paths: Vec<Path>, beside: Option<Tally>) -> Outcome<Vec<Outline>> {
        outlines(&Drawing { name: "part".to_owned(), beside, paths }, &[], FIT, Paper::MM)
    }

    fn ids(read: &Outcome<Vec<Outline>>) -> Vec<&'static str> {
        let problems = match read {
            Ok(told) => &told.notes[..],
            Err(failure) => failure.problems(),
        };
        problems.iter().map(|problem| problem.id).collect()
    }

    #[test]
    fn a_gap_of_a_hundredth_is_joined_of_a_tenth_with_a_caution_and_a_wider_one_is_not() {
        for beside in [None, Some(Tally::default())] {
            let of = |gap: f64| ids(&read(plate(gap), beside.clone()));
            assert_eq!(of(0.008), ["outline-ends-joined"], "a hundredth");
            assert_eq!(of(0.08), ["outline-gap-joined"], "a tenth");
            assert_eq!(of(0.12), ["outline-open"], "more");
        }
        let told = read(plate(0.08), None).expect("a plate");
        assert!(
            (told.value[0].area() - 6000.0).abs() < 1e-6,
            "its corner is where it was"
        );
        let failure = read(plate(0.12), None).expect_err("open");
        let found = &failure.problems()[0].found;
        for part in ["X 0 mm, Y 0 mm", "X 0 mm, Y 0.12 mm", " 0.12 mm apart"] {
            assert!(found.contains(part), "{part} in {found}");
        }
    }

    #[test]
    fn lines_beside_the_outline_are_left_out_and_listed_once() {
        let mut paths = plate(0.0);
        paths.push(hole());
        paths.push(open("LINE#1", &[(-10.0, 30.0), (110.0, 30.0)]));
        paths.push(open("LINE#2", &[(0.0, 60.0), (0.0, 80.0)]));
        paths.push(open("LINE#3", &[(0.0, 80.0), (-5.0, 85.0)]));
        // Lines of a hatching, a little apart, lie head to head but turn back.
        for row in 0..5 {
            let y = 100.0 + 0.8 * f64::from(row);
            paths.push(open("ARC#4", &[(0.0, y), (30.0, y)]));
        }
        let mut beside = Tally::default();
        beside.add("notes", "TEXT");
        let told = read(paths, Some(beside));
        assert_eq!(ids(&told), ["outline-left-out"], "one note");
        let told = told.expect("a plate with a hole");
        assert_eq!(told.value[0].loops.len(), 2, "the plate and its opening");
        let found = &told.notes[0].found;
        assert!(found.ends_with("8 path; on layer `notes` 1 TEXT"), "{found}");
    }

    #[test]
    fn an_outline_with_a_gap_is_not_left_out_for_the_sake_of_its_hole() {
        let beside = || Some(Tally::default());
        // A side is missing, and the hole lies within.
        let three = [(0.0, 60.0), (0.0, 0.0), (100.0, 0.0), (100.0, 60.0)];
        let round = read(vec![open("u", &three), hole()], beside());
        assert_eq!(ids(&round), ["outline-open"], "round the hole");
        // Two gaps of half a millimetre, and the hole lies outside.
        let away = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
            points.iter().map(|(x, y)| (x + 200.0, *y)).collect()
        };
        let near = open("a", &away(&[(0.0, 0.0), (100.0, 0.0), (100.0, 60.0)]));
        let far = open("b", &away(&[(99.5, 60.0), (0.0, 60.0), (0.0, 0.5)]));
        let two = read(vec![near, far, hole()], beside());
        assert_eq!(ids(&two), ["outline-open", "outline-open"], "nearly meeting");
        let nearly = [(0.0, 3.0), (0.0, 60.0), (100.0, 60.0), (100.0, 0.0), (1.0, 0.0)];
        let mut one = vec![open("c", &away(&nearly))];
        one.push(hole());
        assert_eq!(ids(&read(one, beside())), ["outline-open"], "nearly closed");
        let alone = read(vec![open("d", &[(0.0, 0.0), (9.0, 0.0)])], beside());
        assert_eq!(ids(&alone), ["outline-open"], "nothing closes");
    }

    #[test]
    fn a_line_from_corner_to_corner_branches() {
        let mut paths = plate(0.0);
        paths.push(open("across", &[(0.0, 0.0), (100.0, 60.0)]));
        let read = read(paths, Some(Tally::default()));
        assert!(ids(&read).contains(&"outline-branches"), "{read:?}");
    }

    #[test]
    fn ten_thousand_loose_lines_in_one_column_are_chained() {
        let n = 10_000;
        let up = |i: i32| f64::from(i) * 0.5;
        let mut paths: Vec<Path> =
            (0..n).map(|i| open("up", &[(0.0, up(i)), (0.0, up(i + 1))])).collect();
        let top = up(n);
        paths.push(open("rest", &[(0.0, top), (50.0, top), (50.0, 0.0), (0.0, 0.0)]));
        let told = read(paths, None).expect("a strip");
        assert_eq!(told.value[0].loops[0].pieces().len(), 4, "one rectangle");
    }
}
