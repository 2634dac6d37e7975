//! Run-ons: where a routed edge meets an edge of another role, the template runs on past the
//! part along the routed edge, so that passes start and end off the wood.

use super::ear::Ground;
use crate::diag::Problem;
use crate::geom::tolerance::SAME_POINT;
use crate::geom::{Loop, Piece, Point, Span};
use crate::outline::{Edge, Outline};
use crate::read::Role;
use crate::units::Paper;

/// The outline with the template's run-ons, and what there is to say about them.
///
/// `paper` says how messages write lengths. Routed edges stay as they are. A loop with edges of one role only stays as it is.
pub(super) fn guide(
    outline: &Outline,
    run_on: f64,
    paper: Paper,
) -> (Outline, Vec<Problem>) {
    let mut guide = outline.clone();
    let mut ground = Ground::new(outline, paper);
    for on in 0..outline.loops.len() {
        let chains = chains(outline, on);
        if chains.len() < 2 {
            continue;
        }
        let mut kept = Vec::new();
        for chain in chains {
            if chain.rout {
                kept.push(Stay::Kept(chain.span));
            } else {
                kept.extend(ground.run_ons(&chain, run_on));
            }
        }
        let (ring, edges) = closed(on, runs(outline, &kept));
        guide.loops[on] = ring;
        guide.drawn[on] = joined_as_drawn(outline, on, &kept);
        guide.edges.retain(|edge| edge.span.on != on);
        guide.edges.extend(edges);
    }
    guide.edges.sort_by_key(|edge| edge.span.on);
    (guide, ground.into_notes())
}

/// Neighbouring edges of a loop that are all routed, or all not.
#[derive(Debug, Clone)]
pub(super) struct Chain {
    /// Which of the two.
    pub(super) rout: bool,
    /// Where it lies.
    pub(super) span: Span,
}

/// The chains of a loop in order, a routed one first where there is one; one chain where the
/// roles do not mix.
pub(super) fn chains(outline: &Outline, on: usize) -> Vec<Chain> {
    let edges: Vec<&Edge> = outline.edges_of(on).collect();
    let rout = |index: usize| edges[index % edges.len()].role == Role::Rout;
    let first = (0..edges.len()).find(|&i| rout(i) && !rout(i + edges.len() - 1));
    let mut chains: Vec<Chain> = Vec::new();
    for index in 0..edges.len() {
        let index = index + first.unwrap_or(0);
        let edge = edges[index % edges.len()];
        match chains.last_mut() {
            Some(chain) if chain.rout == rout(index) => {
                chain.span.length += edge.span.length;
            }
            _ => chains.push(Chain { rout: rout(index), span: edge.span }),
        }
    }
    chains
}

/// What becomes of a run of the old loop: it stays, or a path of lines stands in its place.
#[derive(Debug, Clone)]
pub(super) enum Stay {
    /// It stays.
    Kept(Span),
    /// The path from one end to the other.
    Lines(Vec<Point>),
}

/// The same splice on the loop as drawn: at the places nearest to those on the fitted loop.
fn joined_as_drawn(outline: &Outline, on: usize, kept: &[Stay]) -> Loop {
    let (ring, drawn) = (&outline.loops[on], &outline.drawn[on]);
    let place = |along: f64| drawn.nearest(ring.at(along));
    let mut runs: Vec<Vec<Piece>> = Vec::new();
    for stay in kept {
        runs.push(match stay {
            Stay::Kept(span) => {
                let from = place(span.from);
                drawn.run(from, drawn.wrapped(place(span.to()) - from))
            }
            Stay::Lines(points) => {
                let mut points = points.clone();
                for end in [0, points.len() - 1] {
                    let near = drawn.nearest(points[end]);
                    points[end] = drawn.at(near);
                }
                lines(&points)
            }
        });
    }
    Loop::new(runs.concat())
}

fn lines(points: &[Point]) -> Vec<Piece> {
    points.windows(2).map(|w| Piece::line(w[0], w[1])).collect()
}

/// The pieces of one edge of the new loop.
struct Run {
    pieces: Vec<Piece>,
    role: Role,
    name: Option<String>,
}

/// The edges of the new loop in order: those that stay, as far as they stay, and the run-ons.
fn runs(outline: &Outline, kept: &[Stay]) -> Vec<Run> {
    let mut runs = Vec::new();
    for stay in kept {
        match stay {
            Stay::Kept(span) => runs.extend(kept_runs(outline, span)),
            Stay::Lines(points) => {
                runs.extend(lines(points).into_iter().map(|line| Run {
                    pieces: vec![line],
                    role: Role::RunOn,
                    name: None,
                }));
            }
        }
    }
    runs
}

/// The edges, or their parts, that lie on a span, in its order.
fn kept_runs(outline: &Outline, span: &Span) -> Vec<Run> {
    let ring = &outline.loops[span.on];
    let mut found: Vec<(f64, Run)> = Vec::new();
    for edge in outline.edges_of(span.on) {
        let ahead = ring.wrapped(edge.span.from - span.from);
        for start in [ahead, ahead - ring.length()] {
            let cut = (0.0 - start).max(0.0);
            let cut = if cut <= SAME_POINT { 0.0 } else { cut };
            let over = start + edge.span.length - span.length;
            let over = if over <= SAME_POINT { 0.0 } else { over };
            let length = edge.span.length - cut - over;
            if SAME_POINT < length {
                let pieces = ring.run(edge.span.from + cut, length);
                let run = Run { pieces, role: edge.role, name: edge.name.clone() };
                found.push((start + cut, run));
            }
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|(_, run)| run).collect()
}

/// The loop of these runs, and their edges on it.
fn closed(on: usize, runs: Vec<Run>) -> (Loop, Vec<Edge>) {
    let ring =
        Loop::new(runs.iter().flat_map(|run| run.pieces.iter().copied()).collect());
    let mut first = 0;
    let mut edges = Vec::new();
    for run in runs {
        let from = ring.start_of(first);
        first += run.pieces.len();
        let span = Span { on, from, length: ring.start_of(first) - from };
        edges.push(Edge { span, role: run.role, name: run.name, side: None });
    }
    (ring, edges)
}

#[cfg(test)]
mod tests {
    use super::super::ear::marks;
    use super::super::shapes::{apron, outline, polygon, random};
    use super::*;
    use crate::geom::Point;
    use crate::geom::shapes::{Dice, is_simple};

    fn routed(outline: &Outline) -> Vec<Piece> {
        let edges = outline.edges.iter().filter(|edge| edge.role == Role::Rout);
        edges
            .flat_map(|edge| {
                outline.loops[edge.span.on].run(edge.span.from, edge.span.length)
            })
            .collect()
    }

    /// What holds of every guide, whatever the outline. Basis: geometry.
    fn sound(outline: &Outline, guide: &Outline) {
        let (mut was, mut is) = (routed(outline), routed(guide));
        let order = |a: &Piece, b: &Piece| {
            a.from().x.total_cmp(&b.from().x).then(a.from().y.total_cmp(&b.from().y))
        };
        was.sort_by(order);
        is.sort_by(order);
        assert_eq!(was, is, "routed pieces stay exactly as they were");
        for ring in guide.loops.iter().chain(&guide.drawn) {
            for (index, piece) in ring.pieces().iter().enumerate() {
                let before = ring.pieces()[ring.before(index)];
                assert!(before.to().distance(piece.from()) < 1e-9, "closed at {index}");
            }
        }
        assert!(is_simple(&guide.loops[0]), "it crosses itself: {:?}", guide.loops[0]);
        let covered: f64 = guide.edges_of(0).map(|edge| edge.span.length).sum();
        assert!((covered - guide.loops[0].length()).abs() < 1e-6, "edges cover the loop");
        assert!(outline.area() <= guide.area() + 1e-9, "a run-on only adds");
        tangent(guide);
    }

    /// Each run-on next to a routed edge goes on exactly in its direction.
    fn tangent(guide: &Outline) {
        let edges: Vec<&Edge> = guide.edges_of(0).collect();
        for (index, edge) in edges.iter().enumerate() {
            let next = edges[(index + 1) % edges.len()];
            let roles = [edge.role, next.role];
            if roles == [Role::Rout, Role::RunOn] || roles == [Role::RunOn, Role::Rout] {
                let ring = &guide.loops[0];
                let at = next.span.from;
                let turn = ring.direction_before(at).turn_to(ring.direction_after(at));
                assert!(turn.abs() < 1e-12, "a kink of {turn} at {:?}", ring.at(at));
            }
        }
    }

    fn run_on_count(guide: &Outline) -> usize {
        guide.edges.iter().filter(|edge| edge.role == Role::RunOn).count()
    }

    const RECTANGLE: [(f64, f64); 4] =
        [(0.0, 0.0), (600.0, 0.0), (600.0, 300.0), (0.0, 300.0)];

    #[test]
    fn an_outline_of_one_role_comes_back_unchanged() {
        let all = polygon(&RECTANGLE, &[Role::Rout; 4]);
        assert_eq!(
            guide(&all, 50.0, Paper::MM),
            (all.clone(), Vec::new()),
            "nothing to run on past"
        );
    }

    /// Basis: geometry. One routed edge between true ends gets a run-on of 50 at each end, with
    /// 50 to the part's side: 2500 mm² each.
    #[test]
    fn a_routed_edge_between_true_ends_runs_on_at_both() {
        let kept = Role::TrueAlready;
        let part = polygon(&RECTANGLE, &[Role::Rout, kept, kept, kept]);
        let (guide, notes) = guide(&part, 50.0, Paper::MM);
        sound(&part, &guide);
        assert!(notes.is_empty(), "nothing to say: {notes:?}");
        assert_eq!(run_on_count(&guide), 6, "three legs at each end");
        assert!((guide.area() - part.area() - 5000.0).abs() < 1e-6, "two squares of 50");
        assert_eq!(guide.loops, guide.drawn, "drawn is spliced alike");
        let bounds = guide.loops[0].bounds();
        assert_eq!((bounds.low.x, bounds.high.x), (-50.0, 650.0), "50 past each end");
    }

    /// Basis: geometry. Both long edges routed, 90 mm wide: each end becomes one run-on.
    #[test]
    fn a_short_end_between_two_routed_edges_runs_on_as_a_whole() {
        let kept = Role::TrueAlready;
        let part = polygon(
            &[(0.0, 0.0), (600.0, 0.0), (600.0, 90.0), (0.0, 90.0)],
            &[Role::Rout, kept, Role::Rout, kept],
        );
        let (guide, notes) = guide(&part, 50.0, Paper::MM);
        sound(&part, &guide);
        assert!(notes.is_empty(), "nothing to say: {notes:?}");
        assert!((guide.area() - 700.0 * 90.0).abs() < 1e-6, "50 mm longer at each end");
    }

    /// Basis: geometry.
    #[test]
    fn an_arch_runs_on_below_the_edge_it_ends_in() {
        let part = apron();
        let (guide, notes) = guide(&part, 50.0, Paper::MM);
        sound(&part, &guide);
        assert!(notes.is_empty(), "nothing to say: {notes:?}");
        assert_eq!(run_on_count(&guide), 4, "out and back at each end");
        let low = guide.loops[0].bounds().low.y;
        let slope = (300.0 - 60.0) / ((240.0 * 240.0 + 35.0 * 35.0) / 70.0);
        assert!((low + 50.0 * slope).abs() < 1e-6, "50 mm along the tangent: {low}");
    }

    #[test]
    fn an_end_in_an_inside_corner_gets_none_and_says_so() {
        let kept = Role::TrueAlready;
        let points = [
            (0.0, 0.0),
            (300.0, 0.0),
            (300.0, 200.0),
            (150.0, 200.0),
            (150.0, 100.0),
            (0.0, 100.0),
        ];
        let part = polygon(&points, &[kept, kept, kept, kept, Role::Rout, kept]);
        let (guide, notes) = guide(&part, 50.0, Paper::MM);
        sound(&part, &guide);
        assert_eq!(notes.len(), 1, "one end is inside: {notes:?}");
        assert_eq!(notes[0].id, "run-on-none", "and says so");
        assert_eq!(run_on_count(&guide), 3, "the other end runs on");
    }

    /// A narrow slot beside the end: the run-on must not close the way of the bit along the
    /// routed edge on its other side.
    #[test]
    fn a_run_on_keeps_clear_of_the_bit_on_other_routed_edges() {
        let kept = Role::TrueAlready;
        // A fork: two prongs 40 apart, the lower prong's far edge and the upper's near edge.
        let points = [
            (0.0, 0.0),
            (200.0, 0.0),
            (200.0, 60.0),
            (60.0, 60.0),
            (60.0, 100.0),
            (200.0, 100.0),
            (200.0, 160.0),
            (0.0, 160.0),
        ];
        let rout = Role::Rout;
        let part = polygon(&points, &[kept, kept, rout, kept, rout, kept, kept, kept]);
        let (guide, _) = guide(&part, 50.0, Paper::MM);
        sound(&part, &guide);
        for piece in routed(&part) {
            for t in marks(piece.length()) {
                let centre = piece.at(t) + piece.direction(t).right() * 12.5;
                let was: f64 = distance(&part, centre);
                let is: f64 = distance(&guide, centre);
                assert!(
                    was.min(12.5) - 1e-5 <= is,
                    "blocked at {centre:?}: {was} to {is}"
                );
            }
        }
    }

    /// Basis: geometry. Whatever the outline and its roles, what holds of a guide holds.
    #[test]
    fn guides_of_random_outlines_are_sound() {
        let mut dice = Dice::new(7);
        let mut run_ons = 0;
        let all = [Role::Rout, Role::Rout, Role::TrueAlready, Role::GoesOn];
        for _ in 0..300 {
            let pieces = random(&mut dice, 12.0);
            let roles: Vec<Role> =
                pieces.iter().map(|_| all[dice.below(all.len())]).collect();
            let part = outline(pieces, &roles);
            let (guide, _) = guide(&part, 50.0, Paper::MM);
            sound(&part, &guide);
            run_ons += run_on_count(&guide);
        }
        assert!(600 < run_ons, "most of them run on: {run_ons}");
    }

    fn distance(outline: &Outline, point: Point) -> f64 {
        let pieces = outline.loops.iter().flat_map(Loop::pieces);
        pieces.map(|piece| piece.distance(point)).fold(f64::INFINITY, f64::min)
    }
}
