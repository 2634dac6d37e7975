//! Routed edges split where the band changes.
//!
//! Along an arc the angle to the grain grows evenly with the way, so the borders are exact.
//!
//! ```text
//!             .-- along --.             a hump, walked from right to left with the part below;
//!     down- .'             '. up-       the grain lies level, so that phi turns by as much as
//!     hill /                 \ hill     the arc does
//!         | end           end |
//! ```
//!
//! Geometry.

use super::fibre::{degrees, phi};
use super::{ALONG, Band, BandRun, END_GRAIN, Grain};
use crate::geom::{Join, Loop, Piece, SMOOTH_TURN, Span};
use crate::outline::{Edge, Outline};
use crate::read::Role;

/// Two places on a loop nearer than this are one, in mm.
const LEAST_RUN: f64 = 1e-6;
/// A run shorter than this goes to its smooth neighbour, in mm (from memory: no blade, no
/// bit and no eye tells it from its neighbour).
const SLIVER: f64 = 0.05;

/// The routed edges of an outline split at corners, at the borders of the bands, and where
/// the angle to the grain goes over from 90 to -90, and at the lines between strips.
///
/// Every millimetre of routed edge is in exactly one run; runs come in order of loop and place,
/// and a run may pass its loop's first point.
pub fn bands(outline: &Outline, grain: &Grain) -> Vec<BandRun> {
    let mut all = Vec::new();
    for (on, ring) in outline.loops.iter().enumerate() {
        let mut runs = Vec::new();
        for edge in outline.edges_of(on).filter(|edge| edge.role == Role::Rout) {
            runs.extend(runs_of_edge(ring, edge, grain));
        }
        runs.sort_by(|a, b| a.span.from.total_cmp(&b.span.from));
        all.extend(joined(ring, runs));
    }
    all
}

/// The runs of one edge, one band of one piece in one strip each.
fn runs_of_edge(ring: &Loop, edge: &Edge, grain: &Grain) -> Vec<BandRun> {
    let mut runs = Vec::new();
    let mut from = edge.span.from;
    let whole = ring.run(edge.span.from, edge.span.length);
    for piece in whole.iter().flat_map(|piece| in_strips(piece, grain)) {
        let length = piece.length();
        for (part, phi) in split(&piece, grain.at(piece.at(0.5))) {
            let span = Span {
                on: edge.span.on,
                from: ring.wrapped(from + part.0 * length),
                length: (part.1 - part.0) * length,
            };
            let band = Band::of(f64::midpoint(phi.0, phi.1));
            runs.push(BandRun { span, phi, band });
        }
        from += length;
    }
    runs
}

/// A piece cut at the lines between strips.
fn in_strips(piece: &Piece, grain: &Grain) -> Vec<Piece> {
    let least = LEAST_RUN / piece.length();
    let mut cuts = vec![0.0];
    for line in grain.lines_on(piece) {
        if cuts[cuts.len() - 1] + least < line && line < 1.0 - least {
            cuts.push(line);
        }
    }
    cuts.push(1.0);
    if cuts.len() == 2 {
        return vec![*piece];
    }
    cuts.windows(2).map(|ends| piece.part(ends[0], ends[1])).collect()
}

/// Parts `t0..t1` of a piece in one band each, with the angle at both ends.
fn split(piece: &Piece, grain: f64) -> Vec<((f64, f64), (f64, f64))> {
    let start = degrees(piece.direction(0.0)) - grain;
    let Piece::Arc { sweep, .. } = *piece else {
        let here = phi(start, 0.0);
        return vec![((0.0, 1.0), (here, here))];
    };
    let turn = sweep.to_degrees();
    let least = LEAST_RUN / piece.length();
    let mut cuts = vec![0.0];
    for border in borders_between(start, start + turn) {
        let t = (border - start) / turn;
        if cuts[cuts.len() - 1] + least < t && t < 1.0 - least {
            cuts.push(t);
        }
    }
    cuts.push(1.0);
    let part = |ends: &[f64]| {
        let (t0, t1) = (ends[0], ends[1]);
        // The middle says on which side of 90 the part lies; its ends follow from there.
        let middle = start + turn * f64::midpoint(t0, t1);
        let shift = phi(middle, 0.0) - middle;
        let end = |t: f64| (start + turn * t + shift).clamp(-90.0, 90.0);
        ((t0, t1), (end(t0), end(t1)))
    };
    cuts.windows(2).map(part).collect()
}

/// The borders of bands strictly between two unwrapped angles, in the order they are met.
fn borders_between(from: f64, to: f64) -> Vec<f64> {
    let (low, high) = (from.min(to), from.max(to));
    let mut borders = Vec::new();
    let mut half_turns = ((low - 90.0) / 180.0).floor() * 180.0;
    while half_turns <= high + 90.0 {
        for border in [-END_GRAIN, -ALONG, ALONG, END_GRAIN, 90.0] {
            if low < half_turns + border && half_turns + border < high {
                borders.push(half_turns + border);
            }
        }
        half_turns += 180.0;
    }
    if to < from {
        borders.reverse();
    }
    borders
}

/// Neighbouring runs of one band made one where they meet without a corner, round the loop.
fn joined(ring: &Loop, runs: Vec<BandRun>) -> Vec<BandRun> {
    let mut joined: Vec<BandRun> = Vec::new();
    for run in runs {
        match joined.last_mut() {
            Some(last) if goes_on(ring, last, &run) => grow(last, &run),
            Some(last) if last.span.length < SLIVER && meets(ring, last, &run) => {
                *last = BandRun {
                    span: Span {
                        length: last.span.length + run.span.length,
                        ..last.span
                    },
                    phi: (run.phi.0, run.phi.1),
                    band: run.band,
                };
            }
            Some(last) if run.span.length < SLIVER && meets(ring, last, &run) => {
                last.span.length += run.span.length;
            }
            _ => joined.push(run),
        }
    }
    if let [first, .., last] = joined.as_slice()
        && goes_on(ring, last, first)
    {
        let first = joined.remove(0);
        let end = joined.len() - 1;
        grow(&mut joined[end], &first);
    }
    joined
}

fn grow(run: &mut BandRun, by: &BandRun) {
    run.span.length += by.span.length;
    run.phi.1 = by.phi.1;
}

/// Whether `next` carries on where `run` ends: same band, no corner, no step in the angle.
fn goes_on(ring: &Loop, run: &BandRun, next: &BandRun) -> bool {
    meets(ring, run, next)
        && run.band == next.band
        && (run.phi.1 - next.phi.0).abs() < 2.0 * SMOOTH_TURN.to_degrees()
}

/// Whether `next` begins where `run` ends, without a corner between them.
fn meets(ring: &Loop, run: &BandRun, next: &BandRun) -> bool {
    let gap = ring.wrapped(next.span.from - run.span.to());
    let touch = gap < LEAST_RUN || ring.length() - gap < LEAST_RUN;
    touch && smooth_at(ring, next.span.from)
}

/// Whether the loop has no corner at this place.
fn smooth_at(ring: &Loop, along: f64) -> bool {
    let (index, t) = ring.place(along + LEAST_RUN);
    let from_start = t * ring.pieces()[index].length();
    2.0 * LEAST_RUN < from_start || ring.join(index) == Join::Smooth
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::outline::LoopKind;
    use std::f64::consts::PI;

    /// An outline of one loop, every edge of it routed, split at its corners.
    fn whole(ring: Loop) -> Outline {
        let corners: Vec<f64> = (0..ring.pieces().len())
            .filter(|&index| ring.join(index) == Join::Corner)
            .map(|index| ring.start_of(index))
            .collect();
        let starts = if corners.is_empty() { vec![0.0] } else { corners };
        let edges = (0..starts.len())
            .map(|index| {
                let next = starts.get(index + 1).copied();
                let to = next.unwrap_or(starts[0] + ring.length());
                let span =
                    Span { on: 0, from: starts[index], length: to - starts[index] };
                Edge { span, role: Role::Rout, name: None, side: None }
            })
            .collect();
        Outline {
            name: "test".to_owned(),
            drawn: vec![ring.clone()],
            loops: vec![ring],
            kinds: vec![LoopKind::Outside],
            edges,
            deviation: 0.0,
            mirrored: false,
        }
    }

    fn disc(radius: f64) -> Loop {
        let centre = Point::new(0.0, 0.0);
        let right = Piece::arc_about(centre, Point::new(radius, 0.0), PI);
        Loop::new(vec![right, Piece::arc_about(centre, right.to(), PI)])
    }

    fn assert_covered(outline: &Outline, runs: &[BandRun]) {
        let routed: f64 = outline
            .edges
            .iter()
            .filter(|edge| edge.role == Role::Rout)
            .map(|edge| edge.span.length)
            .sum();
        let in_runs: f64 = runs.iter().map(|run| run.span.length).sum();
        assert!((routed - in_runs).abs() < 1e-6, "every routed mm is in exactly one run");
    }

    /// The run that holds the point of the disc at this clock position (12 is +y).
    fn at_clock(outline: &Outline, runs: &[BandRun], hours: f64) -> BandRun {
        let angle = PI / 2.0 - hours * PI / 6.0;
        let point = Point::new(libm::cos(angle) * 100.0, libm::sin(angle) * 100.0);
        let ring = &outline.loops[0];
        let along = ring.nearest(point);
        *runs
            .iter()
            .find(|run| ring.wrapped(along - run.span.from) < run.span.length)
            .expect("the whole disc is routed")
    }

    /// Basis: geometry, and published: WOOD, "Reverse routing tames tear-out", woodmagazine.com,
    /// which gives the quadrants at the table (turned by the set-up, see `plan`); by hand with the
    /// motor on face A they are these.
    #[test]
    fn a_disc_with_the_grain_from_twelve_to_six() {
        let outline = whole(disc(100.0));
        let runs = bands(&outline, &Grain::plain(90.0));
        assert_covered(&outline, &runs);
        for (clock, by_hand) in [
            (10.5, Band::Uphill),
            (1.5, Band::Downhill),
            (4.5, Band::Uphill),
            (7.5, Band::Downhill),
        ] {
            let run = at_clock(&outline, &runs, clock);
            assert_eq!(run.band, by_hand, "by hand at {clock} o'clock");
        }
        for clock in [0.2, 5.8] {
            assert_eq!(
                at_clock(&outline, &runs, clock).band,
                Band::EndGrain,
                "near {clock}"
            );
        }
        for clock in [2.9, 8.9] {
            assert_eq!(
                at_clock(&outline, &runs, clock).band,
                Band::Along,
                "near {clock}"
            );
        }
        assert_eq!(
            runs.len(),
            2 + 4 + 4,
            "two along, four slopes, end grain parted at 12 and 6"
        );
    }

    /// Basis: geometry: phi is the angle walked from the grain, so on a disc each border lies at
    /// that angle from the place where the tangent is along the grain.
    #[test]
    fn borders_on_a_disc_are_where_they_should_be() {
        let outline = whole(disc(100.0));
        let runs = bands(&outline, &Grain::plain(90.0));
        for run in &runs {
            let middle = f64::midpoint(run.phi.0, run.phi.1);
            assert_eq!(run.band, Band::of(middle), "band of the middle");
            let expected = (run.phi.1 - run.phi.0).to_radians() * 100.0;
            assert!(
                (run.span.length - expected).abs() < 1e-9,
                "even along the arc: {run:?}"
            );
        }
        let downhill = at_clock(&outline, &runs, 1.5);
        assert!(
            (downhill.phi.0 - 5.0).abs() < 1e-9,
            "starts at the border: {downhill:?}"
        );
        assert!((downhill.phi.1 - 70.0).abs() < 1e-9, "ends at the border: {downhill:?}");
    }

    /// An ellipse of many short chords, walked counter-clockwise.
    fn ellipse(a: f64, b: f64) -> Loop {
        let points: Vec<Point> = (0..720)
            .map(|i| {
                let angle = f64::from(i) * PI / 360.0;
                Point::new(a * libm::cos(angle), b * libm::sin(angle))
            })
            .collect();
        Loop::polygon(&points)
    }

    /// Basis: geometry: any convex smooth outline has the disc's four quadrants.
    #[test]
    fn an_ellipse_has_the_same_quadrants() {
        let ring = ellipse(120.0, 50.0);
        for (quadrant, positive) in [(0, true), (1, false), (2, true), (3, false)] {
            let along_x = ring.length() * (f64::from(quadrant) + 0.5) / 4.0;
            let here = super::super::phi_after(&ring, along_x, 90.0);
            assert_eq!(0.0 < here, positive, "quadrant {quadrant}: {here}");
        }
    }

    /// Basis: geometry: off a hump both ways, into a hollow from both ends.
    #[test]
    fn off_the_hump_and_into_the_hollow() {
        let at = Point::new;
        // Far edge walked from right to left: a hump (the material bulges up).
        let hump = Piece::arc_about(at(0.0, -50.0), at(50.0, 0.0), PI / 2.0);
        let along = split(&Piece::arc_about(at(0.0, -50.0), at(30.0, 30.0), 0.6), 0.0);
        assert!(!along.is_empty(), "a hump has bands");
        let first = phi(degrees(hump.direction(0.1)), 0.0);
        assert!(
            first < 0.0,
            "up the hump's right flank the tooth of s = +1 climbs: {first}"
        );
        let left = phi(
            degrees(Piece::arc_about(at(0.0, 0.0), at(-10.0, 90.0), 0.3).direction(0.5)),
            0.0,
        );
        assert!(0.0 < left, "down its left flank it runs downhill: {left}");
        // A hollow in the far edge, walked from right to left: clockwise.
        let hollow = Piece::arc_about(at(0.0, 100.0), at(40.0, 60.0), -0.5);
        let down = phi(degrees(hollow.direction(0.1)), 0.0);
        assert!(0.0 < down, "into the hollow from the right is downhill: {down}");
        let up = Piece::arc_about(at(0.0, 100.0), at(-10.0, 40.0), -0.5);
        let up = phi(degrees(up.direction(0.5)), 0.0);
        assert!(up < 0.0, "out of it to the left is uphill: {up}");
    }

    /// Basis: geometry: an arc of radius 1145 whose grain is 6 degrees off has its split
    /// 1145 × 6° = 119.9 mm from the top of the hump.
    #[test]
    fn the_split_is_where_the_edge_is_parallel_to_the_grain() {
        let top = |grain: f64| {
            let arc = Piece::arc_about(Point::new(0.0, 0.0), Point::new(1145.0, 0.0), PI);
            let parts = split(&arc, grain);
            let (part, phi) = parts
                .iter()
                .find(|(_, phi)| phi.0 <= 0.0 && 0.0 <= phi.1)
                .expect("the half circle runs along the grain somewhere");
            let t = part.0 + (part.1 - part.0) * (0.0 - phi.0) / (phi.1 - phi.0);
            t * arc.length()
        };
        assert!((top(6.0) - top(0.0) - 119.9).abs() < 0.05, "{}", top(6.0) - top(0.0));
    }

    /// Basis: geometry: a split of the phi range never spans the step from 90 to -90.
    #[test]
    fn no_run_wraps() {
        for grain in [0.0, 31.0, 90.0, 179.0] {
            let outline = whole(disc(40.0));
            for run in bands(&outline, &Grain::plain(grain)) {
                assert!((run.phi.1 - run.phi.0).abs() <= 65.0 + 1e-9, "{run:?}");
                assert!(run.phi.0.abs() <= 90.0 && run.phi.1.abs() <= 90.0, "{run:?}");
            }
        }
    }

    /// Basis: geometry. Only routed edges have runs.
    #[test]
    fn edges_that_are_not_routed_have_no_runs() {
        let at = Point::new;
        let square =
            Loop::polygon(&[at(0.0, 0.0), at(80.0, 0.0), at(80.0, 80.0), at(0.0, 80.0)]);
        let mut outline = whole(square);
        outline.edges[0].role = Role::TrueAlready;
        outline.edges[2].role = Role::GoesOn;
        let runs = bands(&outline, &Grain::plain(0.0));
        assert_eq!(runs.len(), 2, "{runs:?}");
        assert!(runs.iter().all(|run| run.band == Band::EndGrain), "{runs:?}");
        assert_covered(&outline, &runs);
    }
}
