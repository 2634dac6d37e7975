//! Bits of routed edge so small that everything about them is one: one piece of the outline,
//! one band, one side of the grain, touched or not by each bit. Stretches are made of them.

use super::places::Places;
use super::{ShortGrain, engage, sides};
use crate::geom::{Loop, Piece, Span, tolerance};
use crate::grain::{self, Band, BandRun, Grain};
use crate::outline::Outline;
use crate::reach::Reach;
use crate::shop::{Bit, Shop, defaults};

/// A bit of routed edge.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Atom {
    /// Where it lies on the guide.
    pub(super) span: Span,
    /// The angle to the tooth for `s = +1` at its ends, in degrees.
    pub(super) phi: (f64, f64),
    /// Its band for `s = +1`.
    pub(super) band: Band,
    /// The axis of the grain there, in degrees counter-clockwise from +x.
    pub(super) axis: f64,
    /// For each bit of the rack.
    pub(super) bits: Vec<BitThere>,
    /// Whether the wood behind it is too weak for the router.
    pub(super) weak: bool,
}

/// What a bit of the rack meets there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct BitThere {
    /// It touches the edge.
    pub(super) touched: bool,
    /// Wood would stand on both sides of it.
    pub(super) wood_on_both_sides: bool,
    /// Its oversize bearing rides on the edge there.
    pub(super) light: bool,
}

impl Atom {
    /// How far along the loop its middle lies.
    pub(super) fn middle(&self) -> f64 {
        self.span.from + self.span.length / 2.0
    }

    /// The piece of the outline it is part of.
    pub(super) fn piece<'a>(&self, guide: &'a Outline) -> &'a Piece {
        let ring = &guide.loops[self.span.on];
        &ring.pieces()[ring.place(self.middle()).0]
    }

    /// Its band with this motor face.
    pub(super) const fn band_for(&self, s: i8) -> Band {
        if 0 < s { self.band } else { self.band.turned() }
    }

    /// The same atom cut in two, `length` from its start.
    pub(super) fn cut_at(&self, length: f64) -> (Self, Self) {
        let t = length / self.span.length;
        let phi = self.phi.0 + (self.phi.1 - self.phi.0) * t;
        let mut first = self.clone();
        let mut second = self.clone();
        first.span.length = length;
        first.phi.1 = phi;
        second.span.from += length;
        second.span.length -= length;
        second.phi.0 = phi;
        (first, second)
    }
}

/// The waste that stands before the router on an edge at this angle to the tooth, in mm.
pub(super) fn waste(shop: &Shop, phi: f64) -> f64 {
    if phi.abs() <= grain::ROUGH { shop.leave.mm() } else { shop.leave_end_grain.mm() }
}

/// So much waste, or what the bit may be given at most.
pub(super) fn waste_for(bit: &Bit, wanted: f64) -> f64 {
    let across = bit.cutter.mm();
    if engage::waste_allowed(wanted, across) {
        wanted
    } else {
        engage::waste_limit(across)
    }
}

/// Where a bit of the rack rides.
struct Rides {
    /// Where it touches the edge; nowhere known for a bit that is not used.
    touched: Option<Places>,
    /// Where its oversize bearing rides too.
    light: Places,
}

impl Rides {
    fn of(guide: &Outline, (reach, light): (&Option<Reach>, &Vec<Span>)) -> Self {
        let touched = reach.as_ref().map(|reach| reach.touched.iter().copied());
        Self {
            touched: touched.map(|spans| Places::new(&guide.loops, spans)),
            light: Places::new(&guide.loops, light.iter().copied()),
        }
    }
}

/// The atoms of one part's guide, in order of loop and place; `reach` is in the rack's order.
pub(super) fn atoms(
    guide: &Outline,
    (shop, grain): (&Shop, &Grain),
    (reach, light, short): (&[Option<Reach>], &[Vec<Span>], &[ShortGrain]),
) -> Vec<Atom> {
    let mut all = Vec::new();
    let weak = short.iter().filter(|it| it.goes_to_the_hand());
    let weak = Places::new(&guide.loops, weak.map(|it| it.span));
    let rides: Vec<Rides> =
        reach.iter().zip(light).map(|of| Rides::of(guide, of)).collect();
    for run in grain::bands(guide, grain) {
        let ring = &guide.loops[run.span.on];
        let axis = grain.at(ring.at(run.span.from + run.span.length / 2.0));
        let mut cuts = before_points(ring, &run);
        cuts.extend(weak.borders_in(ring, &run.span));
        for (bit, rides) in shop.bits.iter().zip(&rides) {
            cuts.extend(rides.light.borders_in(ring, &run.span));
            let Some(touched) = &rides.touched else { continue };
            cuts.extend(touched.borders_in(ring, &run.span));
            cuts.extend(sides::borders(guide, &run.span, Bitten::of(bit, shop)));
        }
        cuts.sort_by(f64::total_cmp);
        for (span, phi) in split(ring, &run, axis, &cuts) {
            let mut atom =
                Atom { span, phi, band: run.band, axis, bits: Vec::new(), weak: false };
            atom.weak = weak.at((ring, span.on), atom.middle()).is_some();
            atom.bits = there(guide, shop, &rides, &atom);
            all.push(atom);
        }
    }
    all
}

/// A cutter's radius and the waste before it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bitten {
    /// The cutter's radius, in mm.
    pub(super) radius: f64,
    /// The waste, in mm.
    pub(super) waste: f64,
}

impl Bitten {
    fn of(bit: &Bit, shop: &Shop) -> Self {
        Self { radius: bit.cutter.radius(), waste: waste_for(bit, shop.leave.mm()) }
    }
}

fn there(guide: &Outline, shop: &Shop, rides: &[Rides], atom: &Atom) -> Vec<BitThere> {
    let ring = &guide.loops[atom.span.on];
    let middle = atom.middle();
    let of = |(bit, rides): (&Bit, &Rides)| {
        let Some(touched) = &rides.touched else { return BitThere::default() };
        let here = |spans: &Places| spans.at((ring, atom.span.on), middle).is_some();
        let touched = here(touched);
        let wood_on_both_sides =
            touched && sides::both(guide, (atom.span.on, middle), Bitten::of(bit, shop));
        BitThere { touched, wood_on_both_sides, light: touched && here(&rides.light) }
    };
    shop.bits.iter().zip(rides).map(of).collect()
}

/// Whether a span holds the place `along` on its loop.
pub(super) fn holds(ring: &Loop, span: &Span, along: f64) -> bool {
    ring.wrapped(along - span.from) <= span.length
}

/// End grain close to a point of wood that cannot be backed is parted off, at either end.
fn before_points(ring: &Loop, run: &BandRun) -> Vec<f64> {
    let away = defaults::BEFORE_CORNER.value;
    if run.band != Band::EndGrain || run.span.length <= away {
        return Vec::new();
    }
    let mut cuts = Vec::new();
    if is_point(ring, run.span.from) {
        cuts.push(away);
    }
    if is_point(ring, run.span.to()) {
        cuts.push(run.span.length - away);
    }
    cuts
}

/// Whether an outside corner here is a point of wood that cannot be backed.
pub(super) fn is_point(ring: &Loop, along: f64) -> bool {
    180.0 - defaults::POINT.value < turn_at(ring, along).to_degrees()
}

/// The turn of the loop at this place, in radians: positive at an outside corner, negative at
/// an inside corner, zero between corners and where the bearing rides on without a kink.
pub(super) fn turn_at(ring: &Loop, along: f64) -> f64 {
    let near = tolerance::CHECK;
    let (index, t) = ring.place(along + near);
    if 2.0 * near < t * ring.pieces()[index].length() {
        return 0.0;
    }
    let turn = ring.turn(index);
    if turn.abs().to_degrees() < defaults::CORNER.value { 0.0 } else { turn }
}

/// The run cut at the joints of its pieces, where it runs along the grain, and at `cuts`
/// (sorted, from its start); each part with the angle to the tooth at its ends.
fn split(
    ring: &Loop,
    run: &BandRun,
    grain: f64,
    cuts: &[f64],
) -> Vec<(Span, (f64, f64))> {
    let mut parts = Vec::new();
    let mut at = 0.0;
    for piece in ring.run(run.span.from, run.span.length) {
        let length = piece.length();
        let phi = (phi_on(&piece, 0.0, run, grain), phi_on(&piece, 1.0, run, grain));
        let mut ends: Vec<f64> = cuts.iter().map(|cut| cut - at).collect();
        if run.band == Band::Along && phi.0 * phi.1 < 0.0 {
            ends.push(length * phi.0 / (phi.0 - phi.1));
            ends.sort_by(f64::total_cmp);
        }
        let mut from = 0.0;
        ends.push(length);
        for end in ends {
            let last = length <= end;
            let to = if last { length } else { end };
            let long_enough = tolerance::CHECK < to - from;
            let leaves_enough = last || tolerance::CHECK < length - to;
            if long_enough && leaves_enough || last && from <= 0.0 {
                let along = |way: f64| {
                    (phi.0 + (phi.1 - phi.0) * way / length).clamp(-90.0, 90.0)
                };
                let span = Span {
                    on: run.span.on,
                    from: ring.wrapped(run.span.from + at + from),
                    length: to - from,
                };
                parts.push((span, (along(from), along(to))));
                from = to;
            }
            if last {
                break;
            }
        }
        at += length;
    }
    parts
}

/// The angle to the tooth on a piece of a run, on the run's side of 90 degrees.
fn phi_on(piece: &Piece, t: f64, run: &BandRun, grain: f64) -> f64 {
    let way = piece.direction(t);
    let phi = grain::phi(way.angle().to_degrees(), grain);
    let side = f64::midpoint(run.phi.0, run.phi.1);
    match run.band {
        Band::EndGrain if phi * side < 0.0 => phi - 180.0 * phi.signum(),
        Band::EndGrain | Band::Along | Band::Downhill | Band::Uphill => phi,
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::geom::Point;

    /// Basis: geometry: the angles at the ends go on from one atom to the next, and lengths
    /// sum to the run.
    #[test]
    fn atoms_cover_their_run() {
        let at = Point::new;
        let arc =
            Piece::arc_about(at(0.0, -300.0), at(100.0, -300.0 + 80000f64.sqrt()), 0.7);
        let line = Piece::line(arc.to(), at(-120.0, -300.0));
        let ring = Loop::new(vec![arc, line, Piece::line(line.to(), arc.from())]);
        let first = ring.start_of(1);
        let run = BandRun {
            span: Span { on: 0, from: 0.0, length: first },
            phi: (-20.0, 20.0),
            band: Band::Along,
        };
        let parts = split(&ring, &run, 0.0, &[10.0, 10.0, first - 1e-9]);
        let sum: f64 = parts.iter().map(|(span, _)| span.length).sum();
        assert!((sum - first).abs() < 1e-9, "all of it: {parts:?}");
        assert_eq!(parts.len(), 3, "cut at 10 and along the grain: {parts:?}");
        for pair in parts.windows(2) {
            assert!((pair[0].1.1 - pair[1].1.0).abs() < 1e-9, "goes on: {parts:?}");
        }
        assert!(parts[1].1.1.abs() < 1e-9, "along the grain: {parts:?}");
    }

    #[test]
    fn corners_turn_and_edges_do_not() {
        let at = Point::new;
        let ring = Loop::polygon(&[at(0.0, 0.0), at(40.0, 0.0), at(0.0, 10.0)]);
        assert!(turn_at(&ring, 20.0).abs() < 1e-12, "mid edge");
        assert!(0.0 < turn_at(&ring, 40.0), "outside corner");
        assert!(is_point(&ring, 40.0), "14 degrees is a point");
        assert!(!is_point(&ring, 0.0), "a square corner is none");
    }
}
