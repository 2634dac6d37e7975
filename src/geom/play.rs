//! How much play a disc has among the loops: where it fits exactly, and by how much its radius must
//! shrink so that what fits has room.
//!
//! ```text
//!      |<- 2r ->|        a slot of exactly 2r: the disc enters at r - δ and not at r + δ.
//!  ____|        |____    At r itself rounding decides, and turning or moving the drawing
//!      |  (  )  |        would decide otherwise. So it is asked at radii on either side,
//!      |________|        and where the answers differ the disc is made a little smaller.
//! ```
//!
//! Our own.

use super::check::check;
use super::near::Near;
use super::spans::less;
use super::tolerance::{FIT, RADIUS_STEP};
use super::trace::trace;
use super::trim::{Trimmed, touched_at, trim_at};
use super::{Loop, Point, Span};

/// A stretch shorter than this, in mm, is no exact fit: the touch on the walls of a sharp
/// corner alone moves by up to a tenth of this when the radius does.
const SHORTEST_FIT: f64 = 0.1;
/// What fits at a radius smaller by this, in mm, and not at one larger by it, fits exactly:
/// rounding, a kilometre from the origin too, is far below it. It is not half a step, for a slot
/// drawn a step too narrow lacks just that on either side.
const PART_OF_A_STEP: f64 = 0.437 * RADIUS_STEP;
/// A disc too large by this, in mm, still fits: a slot drawn 2 µm too narrow lacks the fit's
/// tolerance on either side, and a step more keeps rounding from deciding there.
const LACK: f64 = FIT + RADIUS_STEP;
/// Where rounding spoils an answer, it is asked for at a radius this much smaller or larger, in mm.
const HARDLY: f64 = 0.03 * RADIUS_STEP;

/// How a disc fits.
pub(super) struct Play {
    /// By how much the radius must shrink so that what fits has room, in mm: 0 where nothing
    /// fits exactly, one step where it does, 1 µm where it would but for that.
    pub(super) lacks: f64,
    /// Where the disc's centre is when it fits to within 1 µm of the radius: one point a place.
    pub(super) fits: Vec<Point>,
}

/// What a disc does.
struct Touch {
    /// The stretches of edge that it touches, not joined.
    spans: Vec<Span>,
    /// None where rounding spoils them.
    counts: Option<Counts>,
}

/// How many of each there are.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Counts {
    rings: usize,
    knees: usize,
    /// Places that the disc leaves.
    places: usize,
}

/// What a disc of `radius` on the right of the loops does; where rounding spoils it, what one
/// of hardly another radius does.
fn touch_at(loops: &[Loop], radius: f64) -> Touch {
    touch(loops, radius, |_, _| true)
}

/// The same, checked: so near to an exact fit rounding spoils what nothing else tells.
fn checked_touch_at(loops: &[Loop], radius: f64) -> Touch {
    touch(loops, radius, |near, trimmed| check(near, trimmed).is_ok())
}

/// What a disc does by an offset that is accepted, at the radius or hardly beside it.
fn touch(
    loops: &[Loop],
    radius: f64,
    accept: impl Fn(&[Loop], &Trimmed) -> bool,
) -> Touch {
    let near = Near::of(loops).loops;
    let counted = |by: f64| {
        let trimmed = trim_at(&near, radius + by).ok();
        trimmed
            .filter(|trimmed| accept(&near, trimmed))
            .and_then(|one| counted(&near, &one))
    };
    [0.0, -HARDLY, HARDLY]
        .into_iter()
        .find_map(counted)
        .unwrap_or_else(|| Touch { spans: touched_at(&near, radius), counts: None })
}

/// What is counted of one trimmed offset.
fn counted(near: &[Loop], trimmed: &Trimmed) -> Option<Touch> {
    let traced = trace(near, trimmed).ok()?;
    let counts = Counts {
        rings: trimmed.rings.len(),
        knees: trimmed.knees.len(),
        places: traced.cycles.len() + traced.voids.len(),
    };
    Some(Touch { spans: trimmed.touched(near), counts: Some(counts) })
}

/// How a disc of `radius` on the right of the loops fits.
pub(super) fn play(loops: &[Loop], radius: f64) -> Play {
    let [loose, tight] = [-LACK, LACK].map(|by| touch_at(loops, radius + by));
    let gained = gained(loops, &loose, &tight);
    if gained.is_empty() && loose.counts == tight.counts {
        return Play { lacks: 0.0, fits: Vec::new() };
    }
    let [below, above] =
        [-PART_OF_A_STEP, PART_OF_A_STEP].map(|by| checked_touch_at(loops, radius + by));
    let lacks = if opens(loops, &loose, &below) {
        LACK
    } else if below.counts != above.counts || opens(loops, &below, &above) {
        RADIUS_STEP
    } else {
        0.0
    };
    Play { lacks, fits: centres(loops, &gained, radius) }
}

/// The stretches that the smaller disc touches and the larger does not.
fn gained(loops: &[Loop], smaller: &Touch, larger: &Touch) -> Vec<Span> {
    less(loops, &smaller.spans, &larger.spans, SHORTEST_FIT)
}

/// Whether the smaller disc goes where the larger does not. Knees alone do not tell: a noisy
/// edge makes and loses many over a micrometre.
fn opens(loops: &[Loop], smaller: &Touch, larger: &Touch) -> bool {
    let both = smaller.counts.zip(larger.counts);
    let parted = both.is_some_and(|(one, other)| one.rings != other.rings);
    parted || !gained(loops, smaller, larger).is_empty()
}

/// Where the disc's centre is on each stretch that it only just touches.
fn centres(loops: &[Loop], fits: &[Span], radius: f64) -> Vec<Point> {
    let mut centres: Vec<Point> = Vec::new();
    for fit in fits {
        let (one, middle) = (&loops[fit.on], fit.from + fit.length / 2.0);
        let centre = one.at(middle) + one.direction_after(middle).right() * radius;
        // Both walls of a slot put the disc in one place.
        if centres.iter().all(|other| radius < other.distance(centre)) {
            centres.push(centre);
        }
    }
    centres
}
