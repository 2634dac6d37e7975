//! What survives of each raw piece: it loses the exact intervals that lie within the radius
//! of another source piece.
//!
//! ```text
//!  raw piece  |---- lives ----|xxxxxx dead xxxxxx|-- lives --|
//!                             a                  b
//! ```
//! A probe that is nearer than the radius to some piece finds where, about the probe, the raw
//! piece enters and leaves the reach of that piece: a and b. What is left is probed again.

use super::crossing::{Carrier, meets};
use super::raw::{Raw, Source, Stand};
use super::tolerance::{ON_BORDER, ROUNDING, SAME_POINT};
use super::{Piece, Point};

/// Where an interval is probed, as a share of its length: never where a symmetric drawing puts
/// its tangencies, as the middle, or √2 − 1 where a disc about a square's corner meets a wall.
const PROBE: f64 = 0.436_871_250_3;
/// Probes for one raw piece; more means that rounding is being chased.
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
    /// A kept point may lie this much inside the radius: rounding, nothing else. It grows
    /// with the largest arc, whose distances lose as many digits.
    slack: f64,
    /// The piece that killed last: it is likely to kill next.
    last: Option<usize>,
}

impl<'a> Pruner<'a> {
    pub(super) fn new(source: &'a Source, raws: &'a [Raw], radius: f64) -> Self {
        let slack = ROUNDING.max(2e-15 * source.largest_radius());
        Self { source, raws, radius, slack, last: None }
    }

    /// Adds what lives of `raw` between `from` and `to`, in order.
    pub(super) fn keep(
        &mut self,
        raw: usize,
        (from, to): (f64, f64),
        live: &mut Vec<Live>,
    ) {
        let first = live.len();
        let size = self.size(raw);
        let mut open = vec![(from, to)];
        let mut probes = 0;
        while let Some((from, to)) = open.pop() {
            if (to - from) * size < SAME_POINT {
                continue;
            }
            let probe = from + PROBE * (to - from);
            let Some(killer) = self.killer(self.raws[raw].curve.at(probe)) else {
                live.push(Live { raw, from, to, probe });
                continue;
            };
            probes += 1;
            if self.raws[raw].stand == Stand::Centre || MOST_PROBES < probes {
                continue;
            }
            let dead = self.forbidden(raw, probe, killer);
            if dead.1 < to {
                open.push((dead.1.max(probe), to));
            }
            if from < dead.0 {
                open.push((from, dead.0.min(probe)));
            }
        }
        live[first..].sort_by(|a, b| a.from.total_cmp(&b.from));
    }

    /// The length that makes an interval of the raw piece worth keeping, measured on the
    /// source too: an arc that vanishes to a point is short only on the raw curve.
    fn size(&self, raw: usize) -> f64 {
        let raw = &self.raws[raw];
        let own = raw.curve.length();
        if raw.stand == Stand::About {
            own
        } else {
            own.max(self.source.pieces[raw.source].length())
        }
    }

    /// A source piece nearer to `point` than the radius.
    fn killer(&mut self, point: Point) -> Option<usize> {
        let bound = self.radius - self.slack;
        let pieces = &self.source.pieces;
        if let Some(last) = self.last
            && pieces[last].distance(point) < bound
        {
            return Some(last);
        }
        let found =
            self.source.tree.nearest(pieces, point, bound).map(|(_, index)| index);
        if found.is_some() {
            self.last = found;
        }
        found
    }

    /// The interval about `t` of the raw piece in which it lies within the radius of `killer`.
    fn forbidden(&self, raw: usize, t: f64, killer: usize) -> (f64, f64) {
        let (curve, killer) = (&self.raws[raw].curve, &self.source.pieces[killer]);
        let (mut low, mut high) = (0.0, 1.0);
        let borders = borders_of_reach(killer, self.radius);
        for at in borders.iter().filter_map(|border| meets(curve, border)).flatten() {
            let between = low < at && at < high;
            let on_border =
                || (killer.distance(curve.at(at)) - self.radius).abs() < ON_BORDER;
            if between && on_border() {
                if at < t {
                    low = at;
                } else {
                    high = at;
                }
            }
        }
        (low, high)
    }
}

/// The carriers on which the border of "within `radius` of `piece`" lies.
fn borders_of_reach(piece: &Piece, radius: f64) -> [Carrier; 4] {
    let end = |centre| Carrier::Circle { centre, radius };
    let (left, right) = match *piece {
        Piece::Line { from, .. } => {
            let way = piece.direction(0.0);
            let beside = |out| Carrier::Line { through: from + out, way };
            (beside(way.left() * radius), beside(way.right() * radius))
        }
        Piece::Arc { from, centre, .. } => {
            let own = from.distance(centre);
            let about = |radius| Carrier::Circle { centre, radius };
            (about(own + radius), about(own - radius))
        }
    };
    [end(piece.from()), end(piece.to()), left, right]
}
