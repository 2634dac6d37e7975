//! The pieces of the bit-centre's region that are not joined to the outside.
//!
//! ```text
//!    .- - - - - .      a ring of the centre that goes round clockwise encloses one; a ring the
//!   :   .---.    :     other way round in it is the border of an island
//!   :   '---'    :
//!    '- - - - - '
//! ```
//!
//! Geometry.

use super::Enclosed;
use crate::geom::{Loop, largest_disc};

/// Each piece of the region on the right of `rings` that a clockwise ring encloses, with the
/// rings around islands in it.
pub(super) fn enclosed(rings: &[Loop]) -> Vec<Enclosed> {
    let areas: Vec<f64> = rings.iter().map(Loop::area).collect();
    let outer: Vec<usize> = (0..rings.len()).filter(|&ring| areas[ring] < 0.0).collect();
    let mut members: Vec<Vec<usize>> = outer.iter().map(|&ring| vec![ring]).collect();
    for island in (0..rings.len()).filter(|&ring| 0.0 <= areas[ring]) {
        let point = rings[island].pieces()[0].at(0.414);
        let around = outer
            .iter()
            .enumerate()
            .filter(|&(_, &ring)| areas[island] < -areas[ring])
            .filter(|&(_, &ring)| rings[ring].winding(point) != 0)
            .min_by(|a, b| areas[*b.1].total_cmp(&areas[*a.1]));
        if let Some((place, _)) = around {
            members[place].push(island);
        }
    }
    members.into_iter().map(|members| piece(rings, members)).collect()
}

/// The piece that these rings bound, with the place where it is best entered.
fn piece(rings: &[Loop], members: Vec<usize>) -> Enclosed {
    let border: Vec<Loop> = members.iter().map(|&ring| rings[ring].clone()).collect();
    let start = border[0].pieces()[0].from();
    // A ring hardly larger than a point has no room: enter at the point.
    let (entry, room) = largest_disc(&border).unwrap_or((start, 0.0));
    Enclosed { rings: members, entry, room }
}
