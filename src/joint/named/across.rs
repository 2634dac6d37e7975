//! Half B where it lies across half A: a rail with a socket, a post with a mortise.

use super::super::line::Line;
use super::{Drawer, Parted, laid, way};
use crate::geom::{Bounds, Loop, Piece, Point};
use crate::read::{Drawing, Drawn, JointName, Path, Role, Stroke};

/// Wood drawn at each side of what lies across, in mm (from memory).
const BESIDE: f64 = 150.0;

/// Puts half B as it really is in the place of what the line left, and an opening for a wedge
/// in half A.
pub(super) fn complete(
    drawer: &Drawer<'_>,
    (parted, line): (&Parted, &Line),
    (halves, joined): (&mut [Drawing; 2], &mut [Vec<Loop>; 2]),
) {
    let mate = drawer.wish.mate.unwrap_or(drawer.wish.width).mm();
    let corners: Vec<Point> = line.pieces.iter().map(|(piece, _)| piece.from()).collect();
    if drawer.wish.name == JointName::DovetailedLap {
        let (strokes, ring) = rail(&corners[1..], (mate, parted.board.1));
        joined[1] = vec![ring];
        let path = &mut halves[1].paths[0];
        path.strokes = strokes;
        return;
    }
    let Some(slot) = parted.slot else { return };
    // Half B gives its share of the gap by standing back from the shoulder.
    let (start, shoulder) = (corners[0].x, parted.lines[1][0].0.x);
    let (low, high) = (corners[1].y, parted.board.1 - corners[1].y);
    joined[1] = vec![
        block((start, -BESIDE), (start + mate, low)),
        block((start, high), (start + mate, parted.board.1 + BESIDE)),
    ];
    let inner = Point::new(shoulder + mate - drawer.set_in, parted.board.1 / 2.0);
    let size = way(slot.width + drawer.set_in, slot.height);
    let opening =
        hole((inner - way(0.0, size.y / 2.0), inner + way(size.x, size.y / 2.0)));
    let place = halves[0].paths[0].place.clone();
    let named = place.clone().element("half A, slot");
    halves[0].paths.push(Path {
        strokes: routed(&opening, "slot"),
        closed: true,
        place: named,
    });
    joined[0].push(opening);
    let post = drawer.wish.width.mm();
    halves[1].paths =
        post_paths(post, (high - low, slot.through + 2.0 * (start - shoulder)), &place);
}

/// A path's pieces as a loop.
pub(in crate::joint) fn ring(path: &Path) -> Loop {
    let pieces = path.strokes.iter().filter_map(|drawn| match drawn.stroke {
        Stroke::Piece(piece) => Some(piece),
        Stroke::Cubic(_) | Stroke::Ellipse { .. } => None,
    });
    Loop::new(pieces.collect())
}

/// A rail with a socket in its near edge: its strokes, laid along x, and its loop as it lies
/// across half A. `socket` are the corners of the socket from the near shoulder to the far one.
fn rail(socket: &[Point], (mate, width): (f64, f64)) -> (Vec<Drawn>, Loop) {
    let socket = &socket[..socket.len().min(4)];
    let edge = socket[0].x;
    let corner = Point::new;
    let far = [
        corner(edge, -BESIDE),
        corner(edge + mate, -BESIDE),
        corner(edge + mate, width + BESIDE),
        corner(edge, width + BESIDE),
    ];
    let all: Vec<Point> = far.into_iter().chain(socket.iter().rev().copied()).collect();
    let ends = all.iter().zip(all.iter().cycle().skip(1));
    let pieces: Vec<Piece> = ends.map(|(&from, &to)| Piece::line(from, to)).collect();
    let low = all.iter().fold(Bounds::EMPTY, |all, &point| all.with(laid(point))).low;
    let move_to = |point: Point| Point::new(0.0, 0.0) + (laid(point) - low);
    let drawn = |(index, piece): (usize, &Piece)| {
        let (role, name) = match index {
            0 | 2 => (Role::GoesOn, None),
            4..=6 => (Role::Rout, Some(if index == 5 { "tip" } else { "tail" })),
            _ => (Role::TrueAlready, None),
        };
        let piece = Piece::line(move_to(piece.from()), move_to(piece.to()));
        let name = name.map(str::to_owned);
        Drawn { stroke: Stroke::Piece(piece), name, role: Some(role) }
    };
    (pieces.iter().enumerate().map(drawn).collect(), Loop::new(pieces.clone()))
}

/// A post laid along x, with a mortise through its middle.
fn post_paths(width: f64, mortise: (f64, f64), place: &crate::diag::Place) -> Vec<Path> {
    let length = mortise.0 + 2.0 * BESIDE;
    let ring = block((0.0, 0.0), (length, width));
    let roles = [Role::TrueAlready, Role::GoesOn, Role::TrueAlready, Role::GoesOn];
    let strokes = ring.pieces().iter().zip(roles).map(|(&piece, role)| Drawn {
        stroke: Stroke::Piece(piece),
        name: None,
        role: Some(role),
    });
    let middle = Point::new(length / 2.0, width / 2.0);
    let half = way(mortise.0 / 2.0, mortise.1 / 2.0);
    let opening = hole((middle - half, middle + half));
    let outside = Path { strokes: strokes.collect(), closed: true, place: place.clone() };
    let place = place.clone().element("half B, mortise");
    vec![outside, Path { strokes: routed(&opening, "mortise"), closed: true, place }]
}

fn routed(ring: &Loop, name: &str) -> Vec<Drawn> {
    let drawn = |&piece: &Piece| Drawn {
        stroke: Stroke::Piece(piece),
        name: Some(name.to_owned()),
        role: Some(Role::Rout),
    };
    ring.pieces().iter().map(drawn).collect()
}

fn block(low: (f64, f64), high: (f64, f64)) -> Loop {
    let at = Point::new;
    Loop::polygon(&[
        at(low.0, low.1),
        at(high.0, low.1),
        at(high.0, high.1),
        at(low.0, high.1),
    ])
}

/// A rectangular opening, clockwise: the wood on its left.
fn hole((low, high): (Point, Point)) -> Loop {
    block((low.x, low.y), (high.x, high.y)).reversed()
}
