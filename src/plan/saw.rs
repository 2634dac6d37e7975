//! Saw lines: the routed edges set out into the waste by what is left for the router.
//!
//! Inside an opening the line lies inside the opening. In an inside corner the two cuts meet.

use super::run_on::{Chain, chains};
use super::set_out::{Wall, set_out};
use super::{Part, SawLine, Stretch, engage};
use crate::diag::{Place, Problem, Source, Weight};
use crate::geom::{Loop, Piece, Span};
use crate::grain::{Band, END_GRAIN, Grain, ROUGH, phi};
use crate::outline::LoopKind;
use crate::shop::Shop;
use crate::shop::defaults::LEAVE_END_GRAIN;
use crate::units::MM_PER_INCH;

/// A bandsaw blade and the tightest radius it turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Blade {
    /// Its width as sold by the millimetre, in mm.
    pub(super) width: f64,
    /// Its width as sold by the inch, in mm.
    pub(super) inch_width: f64,
    /// The tightest radius it turns, in mm.
    pub(super) radius: f64,
}

const fn blade(width: f64, inch_width: f64, radius: f64) -> Blade {
    Blade { width, inch_width: inch_width * MM_PER_INCH, radius }
}

/// What each blade turns, the narrowest first; of several handbooks' figures the more careful
/// (common practice, no source).
pub(super) const BLADES: [Blade; 9] = [
    blade(3.0, 0.125, 5.0),
    blade(5.0, 0.1875, 10.0),
    blade(6.0, 0.25, 16.0),
    blade(10.0, 0.375, 38.0),
    blade(13.0, 0.5, 64.0),
    blade(16.0, 0.625, 102.0),
    blade(19.0, 0.75, 140.0),
    blade(25.0, 1.0, 194.0),
    blade(32.0, 1.25, 251.0),
];

/// Cuts nearer to each other than this are one cut, in mm.
const SAME_CUT: f64 = 1e-6;
/// What is left in the middle of an opening must be wider than this to be sawn, in mm (from
/// memory).
const LEAST_PLUG: f64 = crate::shop::defaults::LEAST_PLUG.value;
/// The saw lines of every part, and what there is to say about them.
pub(super) fn saw_lines(
    parts: &[Part],
    stretches: &[Stretch],
    shop: &Shop,
) -> (Vec<SawLine>, Vec<Problem>) {
    let (mut lines, mut notes) = (Vec::new(), Vec::new());
    let sawn = parts.iter().enumerate().filter(|(index, _)| shop.stock.is_sawn(*index));
    for (index, part) in sawn {
        let leaves = Leaves::of(part, shop);
        notes.extend(leaves.note(part, shop));
        for on in 0..part.guide.loops.len() {
            let mut here: Vec<&Stretch> = stretches
                .iter()
                .filter(|stretch| stretch.part == index && stretch.span.on == on)
                .collect();
            here.sort_by(|a, b| a.span.from.total_cmp(&b.span.from));
            let found = loop_lines((index, part, on), &here, &leaves);
            if let Some(note) = unsawn(part, on, &found) {
                notes.push(note);
            }
            lines.extend(found);
        }
    }
    (lines, notes)
}

/// What is left for the router on a part.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Leaves {
    plain: f64,
    end_grain: f64,
    grain: Grain,
    /// The smallest bit that holds the leave down, as its diameter.
    held_by: Option<f64>,
}

impl Leaves {
    /// The leave a shop asks for, no more than the smallest bit that may be used allows.
    pub(super) fn of(part: &Part, shop: &Shop) -> Self {
        let used = shop.bits.iter().zip(&part.reach).filter(|(_, reach)| reach.is_some());
        let smallest = used.map(|(bit, _)| bit.cutter.mm()).fold(f64::INFINITY, f64::min);
        let wanted = shop.leave.mm();
        let allowed = engage::waste_allowed(wanted, smallest);
        let plain = if allowed { wanted } else { engage::waste_limit(smallest) };
        Self {
            plain,
            end_grain: shop.leave_end_grain.mm().min(plain),
            grain: shop.stock.grain_of(&part.outline),
            held_by: (!allowed).then_some(smallest),
        }
    }

    /// What is left where nothing asks for less.
    pub(super) const fn plain(&self) -> f64 {
        self.plain
    }

    /// What is left where the edge runs in this band at this angle to the grain.
    pub(super) fn at(&self, band: Band, phi: f64) -> f64 {
        if band == Band::EndGrain {
            self.end_grain
        } else if ROUGH < phi.abs() {
            self.plain.min(LEAVE_END_GRAIN.value)
        } else {
            self.plain
        }
    }

    fn note(&self, part: &Part, shop: &Shop) -> Option<Problem> {
        let bit = shop.paper.length(self.held_by?);
        let (wanted, left) =
            (shop.paper.measured(shop.leave.mm()), shop.paper.measured(self.plain));
        Some(
            Problem::new(
                "leave-held-down",
                Weight::Hint,
                format!(
                    "{wanted} of waste is too much for the {bit} bit: {left} is left"
                ),
                format!("saw to {left}, or take the {bit} bit off the rack"),
            )
            .at(Place::whole(Source::Drawing, part.guide.name.as_str())),
        )
    }
}

/// The saw lines of one loop.
fn loop_lines(
    (index, part, on): (usize, &Part, usize),
    stretches: &[&Stretch],
    leaves: &Leaves,
) -> Vec<SawLine> {
    let chains = chains(&part.guide, on);
    let closed = chains.len() == 1;
    let bounds = part.guide.loops[on].bounds();
    let least = 2.0 * leaves.plain + LEAST_PLUG;
    let narrow = bounds.width().min(bounds.height()) < least;
    if narrow && part.guide.kinds[on] == LoopKind::Opening {
        return Vec::new();
    }
    let mut lines = Vec::new();
    for chain in chains.iter().filter(|chain| chain.rout) {
        let walls = walls(&part.guide.loops[on], chain, (stretches, leaves));
        let leave = walls.iter().map(|wall| wall.leave).fold(0.0, f64::max);
        let set = set_out(&part.outline.loops, &walls, closed);
        lines.extend(set.into_iter().map(|set| SawLine {
            part: index,
            pieces: set.pieces,
            closed: set.closed,
            leave,
        }));
    }
    lines
}

/// The walls of a routed chain, cut where the leave changes; the stretches in order of place.
fn walls(
    ring: &Loop,
    chain: &Chain,
    (stretches, leaves): (&[&Stretch], &Leaves),
) -> Vec<Wall> {
    let Span { from, length, .. } = chain.span;
    let ends =
        stretches.iter().flat_map(|stretch| [stretch.span.from, stretch.span.to()]);
    let mut borders: Vec<f64> = ends.map(|along| ring.wrapped(along - from)).collect();
    borders.sort_by(f64::total_cmp);
    let mut walls = Vec::new();
    let mut start = 0.0;
    for piece in ring.run(from, length) {
        let long = piece.length();
        let mut cuts = vec![0.0, 1.0];
        let first = borders.partition_point(|border| *border < start);
        let here = borders[first..].iter().take_while(|border| **border <= start + long);
        cuts.extend(here.map(|border| (border - start) / long));
        cuts.extend(leaves.grain.lines_on(&piece));
        cuts.extend(leaves.grain.axes().flat_map(|axis| turns_of_grain(&piece, axis)));
        cuts.retain(|t| (0.0..=1.0).contains(t));
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|b, a| (*b - *a) * long < SAME_CUT);
        if let Some(last) = cuts.last_mut() {
            *last = 1.0;
        }
        let leave = |t: f64| {
            let along = ring.wrapped(from + start + t * long);
            let axis = leaves.grain.at(piece.at(t));
            let angle = phi(piece.direction(t).angle().to_degrees(), axis);
            // The last that starts before it, or the one that passes the first point.
            let after = stretches.partition_point(|s| s.span.from <= along);
            let last = stretches[..after].last().or_else(|| stretches.last());
            let lies_on =
                |s: &&&Stretch| ring.wrapped(along - s.span.from) <= s.span.length;
            let band = last.filter(lies_on).map_or(Band::of(angle), |s| s.band);
            leaves.at(band, angle)
        };
        walls.extend(equal_leaves(&piece, &cuts, leave));
        start += long;
    }
    walls
}

/// The parts of a piece between cuts, those alike taken together.
fn equal_leaves(piece: &Piece, cuts: &[f64], leave: impl Fn(f64) -> f64) -> Vec<Wall> {
    let mut runs: Vec<(f64, f64, f64)> = Vec::new();
    for ends in cuts.windows(2) {
        let here = leave(f64::midpoint(ends[0], ends[1]));
        match runs.last_mut() {
            Some(run) if (run.2 - here).abs() < SAME_CUT => run.1 = ends[1],
            _ => runs.push((ends[0], ends[1], here)),
        }
    }
    let wall = |(from, to, leave)| Wall { piece: piece.part(from, to), leave };
    runs.into_iter().map(wall).collect()
}

/// Where along an arc its angle to the grain passes a border at which the leave changes.
fn turns_of_grain(piece: &Piece, grain: f64) -> Vec<f64> {
    let Piece::Arc { sweep, .. } = *piece else { return Vec::new() };
    let start = piece.direction(0.0).angle().to_degrees() - grain;
    let sweep = sweep.to_degrees();
    let borders = [ROUGH, END_GRAIN, 180.0 - END_GRAIN, 180.0 - ROUGH];
    let mut places = Vec::new();
    for border in borders {
        // An arc of at most half a turn passes each border at most twice.
        let first = (border - start).rem_euclid(180.0);
        let ahead = if 0.0 < sweep {
            [first, first + 180.0]
        } else {
            [first - 180.0, first - 360.0]
        };
        places.extend(ahead.map(|turn| turn / sweep));
    }
    places
}

/// A note where a routed opening is too small for any saw line.
fn unsawn(part: &Part, on: usize, found: &[SawLine]) -> Option<Problem> {
    let routed = chains(&part.guide, on).iter().any(|chain| chain.rout);
    if !routed || !found.is_empty() || part.guide.kinds[on] != LoopKind::Opening {
        return None;
    }
    let at = part.guide.loops[on].bounds().centre();
    Some(
        Problem::new(
            "opening-without-saw-line",
            Weight::Hint,
            "an opening is so small that what is left for the router fills it",
            "it is not sawn: bore it as the hand list says",
        )
        .at(Place::whole(Source::Drawing, part.guide.name.as_str()).at(at.x, at.y)),
    )
}

#[cfg(test)]
mod tests {
    use super::super::set_out::RUN_OUT;
    use super::super::shapes::{
        apron, circle, outline, outlines, part, polygon, random, shop, sides,
    };
    use super::*;
    use crate::geom::Point;
    use crate::geom::shapes::{Dice, NOTCHED};
    use crate::outline::Outline;
    use crate::read::Role;
    use std::f64::consts::PI;

    const LEAVE: f64 = 1.5875;
    /// No saw is truer than this, in mm.
    const FINE: f64 = 5e-3;
    /// So little that it is the same whatever the grain.
    const EVEN: f64 = 0.7;

    /// The walls and the saw lines of an outline in this shop.
    fn sawn(outline: &Outline, shop: &Shop) -> (Vec<Wall>, Vec<SawLine>) {
        let part = part(outline);
        let leaves = Leaves::of(&part, shop);
        let mut all = Vec::new();
        for on in 0..outline.loops.len() {
            for chain in chains(&part.guide, on).iter().filter(|chain| chain.rout) {
                all.extend(walls(&part.guide.loops[on], chain, (&[], &leaves)));
            }
        }
        (all, saw_lines(&[part], &[], shop).0)
    }

    fn marks() -> impl Iterator<Item = f64> {
        (0..=40_u32).map(|i| f64::from(i) / 40.0)
    }

    fn distance<'a>(pieces: impl Iterator<Item = &'a Piece>, point: Point) -> f64 {
        pieces.map(|piece| piece.distance(point)).fold(f64::INFINITY, f64::min)
    }

    /// Judges saw lines of one leave by points alone. Basis: geometry. No point of the line is
    /// nearer to a wall than the leave, and every place a leave away from a wall that no other
    /// wall claims has the line on it.
    fn sound(what: &str, outline: &Outline, leave: f64) {
        let mut shop = shop(0.0, &[]);
        (shop.leave, shop.leave_end_grain) = (mm(leave), mm(leave));
        let (walls, lines) = sawn(outline, &shop);
        let walls: Vec<Piece> = walls.iter().map(|wall| wall.piece).collect();
        let cut: Vec<Piece> = lines.iter().flat_map(|line| line.pieces.clone()).collect();
        for piece in &cut {
            for t in marks() {
                let off = distance(walls.iter(), piece.at(t));
                assert!(leave - FINE <= off, "{what}: {off} at {:?}", piece.at(t));
            }
        }
        for wall in &walls {
            for t in marks() {
                let beside = wall.at(t) + wall.direction(t).right() * leave;
                let in_wood: i32 =
                    outline.loops.iter().map(|ring| ring.winding(beside)).sum();
                if leave - 1e-7 <= distance(walls.iter(), beside) && in_wood == 0 {
                    let missed = distance(cut.iter(), beside);
                    assert!(missed < FINE, "{what}: {missed} from {beside:?}");
                }
            }
        }
        for line in &lines {
            for ends in line.pieces.windows(2) {
                assert!(ends[0].to().distance(ends[1].from()) < 1e-5, "{what}: a gap");
            }
        }
    }

    fn mm(value: f64) -> crate::units::Mm {
        crate::units::Mm::new(value).expect("finite")
    }

    /// A square with a hollow of this radius let into its far edge, its lips square.
    fn with_hollow(radius: f64) -> Outline {
        let at = Point::new;
        let (right, left) = (at(50.0 + radius, 80.0), at(50.0 - radius, 80.0));
        let hollow = Piece::arc_about(at(50.0, 80.0), right, -PI);
        let pieces = vec![
            Piece::line(at(0.0, 0.0), at(100.0, 0.0)),
            Piece::line(at(100.0, 0.0), at(100.0, 80.0)),
            Piece::line(at(100.0, 80.0), right),
            Piece::Arc { from: right, to: left, centre: at(50.0, 80.0), sweep: -PI },
            Piece::line(left, at(0.0, 80.0)),
            Piece::line(at(0.0, 80.0), at(0.0, 0.0)),
        ];
        assert!(hollow.to().distance(left) < 1e-9, "the hollow is half a circle");
        outline(pieces, &[Role::Rout; 6])
    }

    #[test]
    fn the_line_is_everywhere_a_leave_from_the_part() {
        let rout = [Role::Rout; 24];
        sound("notched square", &polygon(&NOTCHED, &rout[..6]), EVEN);
        sound(
            "disc",
            &outline(circle(Point::new(0.0, 0.0), 90.0, 1.0), &rout[..2]),
            EVEN,
        );
        sound("arched apron", &apron(), EVEN);
        for radius in [0.5, EVEN, 0.9, 2.0, 5.0, 30.0] {
            sound(&format!("hollow of {radius}"), &with_hollow(radius), EVEN);
        }
        let star: Vec<(f64, f64)> = (0..14)
            .map(|i| {
                let far = if i % 2 == 0 { 60.0 } else { 22.0 };
                let way = f64::from(i) * PI / 7.0;
                (far * libm::cos(way), far * libm::sin(way))
            })
            .collect();
        sound("star of sharp points", &polygon(&star, &rout[..14]), EVEN);
        // A slot 1 mm wide: its two lines would cross, so the line passes over its mouth.
        let slotted = [
            (0.0, 0.0),
            (49.5, 0.0),
            (49.5, 30.0),
            (50.5, 30.0),
            (50.5, 0.0),
            (100.0, 0.0),
            (100.0, 60.0),
            (0.0, 60.0),
        ];
        sound("slot narrower than two leaves", &polygon(&slotted, &rout[..8]), EVEN);
        // A step shorter than the leave in an inside corner.
        let stepped = [
            (0.0, 0.0),
            (80.0, 0.0),
            (80.0, 40.0),
            (40.5, 40.0),
            (40.5, 40.5),
            (40.0, 40.5),
            (40.0, 80.0),
            (0.0, 80.0),
        ];
        sound("small step in a corner", &polygon(&stepped, &rout[..8]), EVEN);
        let holes = outlines(vec![
            (sides(&NOTCHED), &rout[..6]),
            (circle(Point::new(30.0, 30.0), 10.0, -1.0), &rout[..2]),
            (circle(Point::new(30.0, 70.0), 0.6, -1.0), &rout[..2]),
        ]);
        sound("openings", &holes, EVEN);
    }

    /// Basis: geometry.
    #[test]
    fn the_line_is_a_leave_from_random_parts() {
        let mut dice = Dice::new(11);
        for turn in 0..300 {
            let pieces = random(&mut dice, 1.0);
            let roles = vec![Role::Rout; pieces.len()];
            sound(&format!("star {turn}"), &outline(pieces, &roles), EVEN);
        }
    }

    /// Basis: geometry.
    #[test]
    fn the_line_is_a_leave_from_the_routed_edges_of_random_parts() {
        let mut dice = Dice::new(13);
        for turn in 0..300 {
            let pieces = random(&mut dice, 8.0);
            let all = [Role::Rout, Role::TrueAlready];
            let roles: Vec<Role> = pieces.iter().map(|_| all[dice.below(2)]).collect();
            sound(&format!("part {turn}"), &outline(pieces, &roles), EVEN);
        }
    }

    /// Basis: geometry. Inside an opening the line has the opening's radius less the leave; an
    /// opening no wider than two leaves has none, and that is said.
    #[test]
    fn inside_an_opening_the_line_lies_inside_it() {
        let rout = [Role::Rout; 6];
        let holes = outlines(vec![
            (sides(&NOTCHED), &rout),
            (circle(Point::new(30.0, 30.0), 10.0, -1.0), &rout[..2]),
            (circle(Point::new(30.0, 70.0), 1.5, -1.0), &rout[..2]),
        ]);
        let mut shop = shop(0.0, &[]);
        shop.leave_end_grain = shop.leave;
        let (lines, notes) = saw_lines(&[part(&holes)], &[], &shop);
        assert_eq!(lines.len(), 2, "the outside and the larger opening");
        assert!(lines.iter().all(|line| line.closed), "both close");
        let radii: Vec<f64> = lines[1].pieces.iter().filter_map(Piece::radius).collect();
        for expected in [10.0 - LEAVE, 10.0 - 0.8] {
            let there = radii.iter().any(|radius| (radius - expected).abs() < 1e-9);
            assert!(there, "10 less the leave: {radii:?}");
        }
        let ids: Vec<&str> = notes.iter().map(|note| note.id).collect();
        assert_eq!(ids, ["opening-without-saw-line"], "the small one is named");
    }

    /// Basis: geometry (rules for end grain from memory). On a square along the grain the ends
    /// keep 0.8 and the long edges 1/16 in; the corner lies where the two lines meet.
    #[test]
    fn end_grain_keeps_less() {
        let square = [(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)];
        let (_, lines) = sawn(&polygon(&square, &[Role::Rout; 4]), &shop(0.0, &[]));
        let bounds = Loop::new(lines[0].pieces.clone()).bounds();
        let expected = (100.8, 60.0 + LEAVE);
        assert!((bounds.high.x - expected.0).abs() < 1e-9, "end: {bounds:?}");
        assert!((bounds.high.y - expected.1).abs() < 1e-9, "long edge: {bounds:?}");
        assert_eq!(lines[0].pieces.len(), 4, "four sides that meet in points");
    }

    /// Basis: geometry. Over 60 degrees downhill at most 0.8 is left: on a disc the leave
    /// changes at 60 degrees to the grain, and the line goes on in one piece.
    #[test]
    fn the_leave_changes_where_the_grain_turns_steep() {
        let disc = outline(circle(Point::new(0.0, 0.0), 100.0, 1.0), &[Role::Rout; 2]);
        let (walls, lines) = sawn(&disc, &shop(0.0, &[]));
        for wall in &walls {
            let angle = phi(wall.piece.direction(0.5).angle().to_degrees(), 0.0).abs();
            let expected = if 60.0 < angle { 0.8 } else { LEAVE };
            assert!((wall.leave - expected).abs() < 1e-9, "{angle}: {}", wall.leave);
            let ends = [0.0, 1.0]
                .map(|t| phi(wall.piece.direction(t).angle().to_degrees(), 0.0).abs());
            let whole = |end: f64| {
                (end - 60.0).abs() < 1e-6 || end < 1e-6 || (end - 90.0).abs() < 1e-6
            };
            assert!(ends.into_iter().all(whole), "cut at 60 degrees: {ends:?}");
        }
        assert_eq!(lines.len(), 1, "one line");
        assert!(lines[0].closed, "that closes");
        let ring = Loop::new(lines[0].pieces.clone());
        let sharpest =
            (0..ring.pieces().len()).map(|i| ring.turn(i).abs()).fold(0.0, f64::max);
        assert!(sharpest < f64::to_radians(10.0), "without steps: {sharpest}");
        let pieces: Vec<Piece> = walls.iter().map(|wall| wall.piece).collect();
        for piece in &lines[0].pieces {
            for t in marks() {
                let off = distance(pieces.iter(), piece.at(t));
                assert!((0.8 - FINE..=LEAVE + FINE).contains(&off), "between: {off}");
            }
        }
    }

    /// Basis: geometry. A run that ends at a true edge runs straight on 10 mm past it.
    #[test]
    fn an_open_run_runs_on_past_its_ends() {
        let (_, lines) = sawn(&apron(), &shop(0.0, &[]));
        assert_eq!(lines.len(), 1, "the arch only");
        assert!(!lines[0].closed, "it is open");
        let (first, last) =
            (lines[0].pieces[0], lines[0].pieces[lines[0].pieces.len() - 1]);
        for piece in [first, last] {
            assert!((piece.length() - RUN_OUT).abs() < 1e-9, "straight on: {piece:?}");
        }
        assert!(first.from().y < -2.0 && last.to().y < -2.0, "out below the edge");
    }

    /// Basis: geometry. A run into an inside corner ends at the true wall, not in it.
    #[test]
    fn a_run_into_a_true_wall_stops_at_it() {
        let kept = Role::TrueAlready;
        let roles = [kept, kept, kept, Role::Rout, kept, kept];
        let points = [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 100.0),
            (60.0, 100.0),
            (60.0, 60.0),
            (0.0, 60.0),
        ];
        let (_, lines) = sawn(&polygon(&points, &roles), &shop(0.0, &[]));
        let last = lines[0].pieces[lines[0].pieces.len() - 1].to();
        assert!((last.y - 60.0).abs() < 1e-9, "at the wall: {last:?}");
    }

    /// Basis: geometry. The smallest bit that may be used holds the leave down.
    #[test]
    fn no_more_is_left_than_the_smallest_bit_allows() {
        let square = [(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)];
        let mut part = part(&polygon(&square, &[Role::Rout; 4]));
        let shop = shop(0.0, &[4.0, 12.7]);
        let reach = crate::reach::Reach {
            touched: Vec::new(),
            sites: Vec::new(),
            shallow: (0, 0.0),
            exact_fits: Vec::new(),
            centre: Vec::new(),
            enclosed: Vec::new(),
            finished: Vec::new(),
            lost: 0.0,
            method: crate::reach::Method::Exact,
        };
        part.reach = vec![Some(reach.clone()), Some(reach.clone())];
        let (lines, notes) = saw_lines(&[part.clone()], &[], &shop);
        assert!((lines[0].leave - 1.0).abs() < 1e-12, "a quarter of 4 mm");
        assert_eq!(notes[0].id, "leave-held-down", "and says so");
        part.reach = vec![None, Some(reach)];
        let (lines, notes) = saw_lines(&[part], &[], &shop);
        assert!((lines[0].leave - LEAVE).abs() < 1e-12, "the 4 mm bit is not used");
        assert!(notes.is_empty(), "nothing to say: {notes:?}");
    }
}
