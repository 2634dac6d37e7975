//! What survives of each raw piece: it loses the exact intervals that lie within the radius of
//! another source piece. Our own (geometry).
//!
//! ```text
//!  raw piece  |---- lives ----|xxxxxx dead xxxxxx|-- lives --|
//!                             a     probe        b
//! ```
//!
//! An interval is probed at one place. If some piece is nearer to it than the radius, the disc
//! cannot be there, and that piece, the killer, tells in closed form from where to where about the
//! probe: a and b. What is left on either side is probed in turn. Where the probe is free, the
//! whole interval lives for now: it may hold a dead part still, but only behind a crossing with
//! another survivor, where it is cut and probed again (`survive`).

use super::Piece;
use super::crossing::{Carrier, parameter};
use super::raw::{Raw, Source, Stand};
use super::tolerance::{ON_BORDER, ROUNDING, SAME_POINT};

/// Where an interval is probed, as a share of its length: nowhere that a symmetric drawing puts
/// its tangencies, as the middle, or √2 − 1 where a disc about a square's corner meets a wall.
const PROBE: f64 = 0.436_871_250_3;
/// Dead probes for one raw piece; more mean that rounding is being chased, and what is left is
/// given up.
const MOST_PROBES: usize = 200;

/// An interval of a raw piece that lives.
#[derive(Debug, Clone, Copy)]
pub(super) struct Live {
    pub(super) raw: usize,
    pub(super) from: f64,
    pub(super) to: f64,
    /// A place in it that is known to live.
    pub(super) probe: f64,
}

/// Decides which intervals live.
#[derive(Debug)]
pub(super) struct Pruner<'a> {
    pub(super) source: &'a Source,
    pub(super) raws: &'a [Raw],
    radius: f64,
    /// The piece that killed last: it is likely to kill next.
    last: Option<usize>,
}

impl<'a> Pruner<'a> {
    /// Prunes these raw pieces of a source.
    pub(super) fn new(source: &'a Source, raws: &'a [Raw], radius: f64) -> Self {
        Self { source, raws, radius, last: None }
    }

    /// Adds what lives of `raw` between `from` and `to`, in order.
    pub(super) fn keep(
        &mut self,
        raw: usize,
        (from, to): (f64, f64),
        live: &mut Vec<Live>,
    ) {
        self.keep_within((raw, self.size(raw)), (from, to), (&mut 0, live));
    }

    /// The same for a raw piece whose size is known; `probes` counts those that were dead.
    fn keep_within(
        &mut self,
        (raw, size): (usize, f64),
        (from, to): (f64, f64),
        (probes, live): (&mut usize, &mut Vec<Live>),
    ) {
        if (to - from) * size < SAME_POINT {
            return;
        }
        let probe = from + PROBE * (to - from);
        let Some(killer) = self.killer(raw, probe) else {
            live.push(Live { raw, from, to, probe });
            return;
        };
        *probes += 1;
        if self.raws[raw].stand == Stand::Centre || MOST_PROBES < *probes {
            return;
        }
        let dead = self.forbidden(raw, probe, killer);
        if from < dead.0 {
            let before = (from, dead.0.min(probe));
            self.keep_within((raw, size), before, (probes, live));
        }
        if dead.1 < to {
            let after = (dead.1.max(probe), to);
            self.keep_within((raw, size), after, (probes, live));
        }
    }

    /// The length by which an interval of the raw piece is told to be long enough, the longer of
    /// its own and its source's: an arc that nearly vanishes is short, and still the disc touches
    /// all of what it is beside.
    fn size(&self, raw: usize) -> f64 {
        let raw = &self.raws[raw];
        let length = self.source.lengths[raw.source];
        match raw.curve {
            // As long as what it is beside.
            Piece::Line { .. } => length,
            Piece::Arc { .. } if raw.stand == Stand::About => raw.curve.length(),
            Piece::Arc { .. } => raw.curve.length().max(length),
        }
    }

    /// A source piece nearer than the radius to a point of a raw piece.
    fn killer(&mut self, raw: usize, t: f64) -> Option<usize> {
        let point = self.raws[raw].curve.at(t);
        // A kept point may lie this much inside the radius: rounding, nothing else.
        let bound = self.radius - ROUNDING;
        let pieces = &self.source.pieces;
        if let Some(last) = self.last
            && pieces[last].distance(point) < bound
        {
            return Some(last);
        }
        let beside = self.raws[raw].source;
        let found = self.source.tree.within(pieces, (point, bound), beside);
        if found.is_some() {
            self.last = found;
        }
        found
    }

    /// The interval about `t` of the raw piece in which it lies within the radius of `killer`.
    fn forbidden(&self, raw: usize, t: f64, killer: usize) -> (f64, f64) {
        let (curve, killer) = (&self.raws[raw].curve, &self.source.pieces[killer]);
        let (mut low, mut high) = (0.0, 1.0);
        let (borders, own) = (borders_of_reach(killer, self.radius), Carrier::of(curve));
        for place in borders.iter().filter_map(|border| own.meets(border)).flatten() {
            if (killer.distance(place) - self.radius).abs() < ON_BORDER {
                let at = parameter(curve, place);
                if low < at && at < t {
                    low = at;
                } else if t <= at && at < high {
                    high = at;
                }
            }
        }
        (low, high)
    }
}

/// The carriers on which the border of what is within `radius` of `piece` lies: circles about its
/// ends, and its parallels on either side.
fn borders_of_reach(piece: &Piece, radius: f64) -> [Carrier; 4] {
    let end = |centre| Carrier::circle(centre, radius);
    let (left, right) = match *piece {
        Piece::Line { from, .. } => {
            let way = piece.direction(0.0);
            let beside = |out| Carrier::Line { through: from + out, way };
            (beside(way.left() * radius), beside(way.right() * radius))
        }
        Piece::Arc { from, centre, .. } => {
            // Where the inner parallel has vanished, its carrier still is a circle, but what
            // that meets is no border, as its distance from the piece tells.
            let out = (from - centre) * (radius / from.distance(centre));
            let about = |start| Carrier::Circle { centre, start };
            (about(from + out), about(from - out))
        }
    };
    [end(piece.from()), end(piece.to()), left, right]
}
