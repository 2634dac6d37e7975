//! The raw offset: each piece of the source moved sideways, and an arc about each outside corner.
//! Too many raw pieces do no harm, one too few would be fatal.
//!
//! ```text
//!     . - - .
//!    :  o--o :         o  an outside corner: an arc of the radius about it
//!    :  |  | :         i  an inside corner: the parallels of its walls go on past their crossing,
//!    :  |  |-+- - - .     and what is beyond it is within the radius of the other wall: it is
//!    :  |  i-:----o :     taken away later, when the raw pieces are pruned
//! ```
//!
//! Every place where the centre can be while the disc touches is on one of them (geometry: the
//! border of what a disc sweeps is at its radius from a foot where the way to it stands square).

use super::tolerance::SAME_POINT;
use super::{Loop, Piece, Point, Tree};
use std::ops::Range;

/// Below this radius an arc that is offset inwards has become a point (rounding of `R - r`).
const VANISHED: f64 = 1e-10;
/// An arc about a corner that is no longer than this, in mm, is none: the corner is no corner.
const NO_ARC: f64 = 1e-10;

/// All pieces of all loops in boundary order: what the disc rolls along.
#[derive(Debug)]
pub(super) struct Source {
    pub(super) pieces: Vec<Piece>,
    /// Which of the pieces are each loop's.
    pub(super) loops: Vec<Range<usize>>,
    /// The loop of each piece.
    pub(super) on: Vec<usize>,
    /// The length of each piece.
    pub(super) lengths: Vec<f64>,
    /// The turn from each piece to the one after it; zero where the piece has no length.
    pub(super) turns: Vec<f64>,
    /// The boxes of the pieces.
    pub(super) tree: Tree,
}

impl Source {
    /// The pieces of these loops.
    pub(super) fn new(loops: &[Loop]) -> Self {
        let count = loops.iter().map(|one| one.pieces().len()).sum();
        let (mut pieces, mut on) = (Vec::with_capacity(count), Vec::with_capacity(count));
        let mut ranges = Vec::with_capacity(loops.len());
        for (index, one) in loops.iter().enumerate() {
            let start = pieces.len();
            pieces.extend(one.pieces());
            ranges.push(start..pieces.len());
            on.resize(pieces.len(), index);
        }
        let tree = Tree::of(&pieces);
        let lengths = pieces.iter().map(Piece::length).collect();
        let turns = Vec::new();
        let mut source = Self { pieces, loops: ranges, on, lengths, turns, tree };
        source.turns = (0..source.pieces.len()).map(|index| source.turn(index)).collect();
        source
    }

    /// The piece after `index` on its loop; pieces without length are passed over.
    pub(super) fn next(&self, index: usize) -> usize {
        let range = &self.loops[self.on[index]];
        let mut next = index;
        loop {
            next = if next + 1 == range.end { range.start } else { next + 1 };
            if next == index || self.has_length(next) {
                return next;
            }
        }
    }

    /// The turn from a piece to the one after it.
    fn turn(&self, index: usize) -> f64 {
        if self.has_length(index) {
            self.pieces[index].turn_to(&self.pieces[self.next(index)])
        } else {
            0.0
        }
    }

    /// Whether a piece is longer than a point: only such a piece has a direction.
    pub(super) fn has_length(&self, index: usize) -> bool {
        SAME_POINT < self.lengths[index]
    }
}

/// How a raw piece stands to what it comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stand {
    /// Beside a piece: its parallel.
    Beside,
    /// In the centre of an arc of exactly the disc's radius: from that one point the disc touches
    /// all of the arc.
    Centre,
    /// About the corner at the end of a piece.
    About,
}

/// One raw piece.
#[derive(Debug, Clone, Copy)]
pub(super) struct Raw {
    /// The way of the disc's centre.
    pub(super) curve: Piece,
    /// Index of the source piece; for [`Stand::About`] the piece that ends there.
    pub(super) source: usize,
    pub(super) stand: Stand,
}

impl Raw {
    /// The foot of the raw piece's point `t`: the place on the source that the disc touches from
    /// there.
    pub(super) fn foot(&self, source: &Source, t: f64) -> Point {
        let piece = &source.pieces[self.source];
        if self.stand == Stand::About { piece.to() } else { piece.at(t) }
    }
}

/// The raw pieces on the right of the source, in boundary order.
pub(super) fn raw_pieces(source: &Source, radius: f64) -> Vec<Raw> {
    let mut raws = Vec::with_capacity(2 * source.pieces.len());
    for (index, piece) in source.pieces.iter().enumerate() {
        if !source.has_length(index) {
            continue;
        }
        if let Some((curve, stand)) = beside(piece, radius) {
            raws.push(Raw { curve, source: index, stand });
        }
        let next = &source.pieces[source.next(index)];
        if let Some(curve) = about_end((piece, next), source.turns[index], radius) {
            raws.push(Raw { curve, source: index, stand: Stand::About });
        }
    }
    raws
}

/// The parallel on the right of a piece, unless it has vanished: an arc that bends to the right
/// shrinks as it is moved there, to its centre and beyond.
fn beside(piece: &Piece, radius: f64) -> Option<(Piece, Stand)> {
    let (from, to, centre, sweep) = match *piece {
        Piece::Line { from, to } => {
            let out = piece.direction(0.0).right() * radius;
            return Some((Piece::line(from + out, to + out), Stand::Beside));
        }
        Piece::Arc { from, to, centre, sweep } => (from, to, centre, sweep),
    };
    let own = from.distance(centre);
    let more = if 0.0 < sweep { radius } else { -radius };
    let offset = own + more;
    if VANISHED < offset {
        let scaled = |p: Point| p + (p - centre) * (more / own);
        let arc = Piece::Arc { from: scaled(from), to: scaled(to), centre, sweep };
        Some((arc, Stand::Beside))
    } else if -VANISHED <= offset {
        let point = Piece::Arc { from: centre, to: centre, centre, sweep };
        Some((point, Stand::Centre))
    } else {
        None
    }
}

/// The arc about the end of `piece`, if an outside corner is there.
fn about_end((piece, next): (&Piece, &Piece), turn: f64, radius: f64) -> Option<Piece> {
    (NO_ARC < turn * radius).then(|| Piece::Arc {
        from: piece.to() + piece.direction(1.0).right() * radius,
        to: piece.to() + next.direction(0.0).right() * radius,
        centre: piece.to(),
        sweep: turn,
    })
}
