//! Puts a reach together from one closing, or from an opening and a closing.
//!
//! ```text
//!   bearing Rb on the template, cutter Rc in the wood:
//!
//!   part --opened by Rb - Rc--> what the bearing lets the cutter spare of it
//!        --closed by Rc-------> what the bit leaves standing
//! ```
//!
//! To open the material is to close the void. The template is the part set out by the difference of
//! the radii, so that discs add up to the two steps (geometry: a disc swept along a disc is a disc
//! of both radii). Nothing is offset twice: each piece keeps the stretch of the part that it is.

use super::enclosed::enclosed;
use super::site::site;
use super::{Radii, Reach};
use crate::diag::{Failure, Problem};
use crate::geom::tolerance::{JOIN_ENDS, REPORT_DEPTH, SAME_POINT};
use crate::geom::{
    Closing, Loop, Region, Span, Standing, Untrimmed, close_to_fit, merged,
};
use crate::units::Paper;

/// What a bit of these radii does to a part.
pub(super) fn reach(loops: &[Loop], radii: Radii) -> Result<Reach, Refusal> {
    let Radii { bearing, cutter } = radii;
    if !(0.0 < cutter && cutter.is_finite() && bearing.is_finite()) {
        return Err(Refusal::NoRadius);
    }
    let oversize = bearing - cutter;
    if oversize < -SAME_POINT {
        return Err(Refusal::EatsTheTemplate);
    }
    if oversize <= SAME_POINT {
        let whole = |(on, one): (usize, &Loop)| Standing::whole(on, one);
        let whole = loops.iter().enumerate().map(whole).collect();
        return closed(loops, whole, cutter);
    }
    let opened = opened(loops, oversize).map_err(Refusal::Unproved)?;
    if opened.is_empty() {
        return Err(Refusal::NothingLeft);
    }
    closed(loops, opened, cutter)
}

/// The part opened by the difference of the radii: what an oversize bearing lets the cutter
/// spare. Opening the material is closing the void.
fn opened(loops: &[Loop], by: f64) -> Result<Vec<Standing>, Untrimmed> {
    let void: Vec<Loop> = loops.iter().map(Loop::reversed).collect();
    let closing = close_to_fit(&void, by)?;
    Ok(closing.standing.iter().map(|one| turned(loops, one)).collect())
}

/// A loop of the void as a loop of the material, its origins too.
fn turned(loops: &[Loop], one: &Standing) -> Standing {
    let back = |span: &Span| {
        let ring = &loops[span.on];
        Span { from: ring.wrapped(ring.length() - span.to()), ..*span }
    };
    let origins =
        one.origins.iter().rev().map(|origin| origin.as_ref().map(back)).collect();
    Standing { outline: one.outline.reversed(), origins }
}

/// The cutter at work on the opened part.
fn closed(loops: &[Loop], opened: Vec<Standing>, cutter: f64) -> Result<Reach, Refusal> {
    let (standing, origins): (Vec<Loop>, Vec<Vec<Option<Span>>>) =
        opened.into_iter().map(|one| (one.outline, one.origins)).unzip();
    let closing = close_to_fit(&standing, cutter).map_err(Refusal::Unproved)?;
    let opening = Opening { loops, standing: &standing, origins: &origins };
    let area = |loops: &[Loop]| loops.iter().map(Loop::area).sum::<f64>();
    let lost = (area(loops) - area(&standing)).max(0.0);
    Ok(filled(&opening, closing, lost))
}

/// The part and what the opening left of it.
struct Opening<'a> {
    /// The part.
    loops: &'a [Loop],
    /// What the opening left of it.
    standing: &'a [Loop],
    /// Of each piece of that, the stretch of the part that it is.
    origins: &'a [Vec<Option<Span>>],
}

impl Opening<'_> {
    /// The stretches of the part's loops under a run of the opened part's; the arcs that the
    /// opening put in are no stretch of the part.
    fn on_part(&self, span: &Span) -> Vec<Span> {
        let one = &self.standing[span.on];
        let whole = one.length();
        let mut spans = Vec::new();
        // The span may pass the first point: see it once round as well.
        for shift in [0.0, whole] {
            for index in one.between(span.from - shift, span.to() - shift) {
                let Some(origin) = self.origins[span.on][index] else { continue };
                let (start, end) = (one.start_of(index), one.start_of(index + 1));
                let from = span.from.max(start + shift);
                let to = span.to().min(end + shift);
                if from < to {
                    let on = origin.on;
                    let at = origin.from + (from - start - shift);
                    let at = self.loops[on].wrapped(at);
                    spans.push(Span { on, from: at, length: to - from });
                }
            }
        }
        spans
    }

    /// The untouched walls of a region, on the part.
    fn walls_on_part(&self, region: &Region) -> Vec<Span> {
        let spans: Vec<Span> =
            region.walls.iter().flat_map(|wall| self.on_part(wall)).collect();
        merged(self.loops, &spans, JOIN_ENDS)
    }
}

/// The reach that a closing shows: places too shallow to be told count as touched.
fn filled(opening: &Opening<'_>, closing: Closing, lost: f64) -> Reach {
    let mut touched: Vec<Span> =
        closing.touched.iter().flat_map(|span| opening.on_part(span)).collect();
    let mut sites = Vec::new();
    let mut shallow = (0, 0.0);
    for region in &closing.regions {
        let walls = opening.walls_on_part(region);
        if 0 < region.knees && region.depth <= REPORT_DEPTH {
            shallow = (shallow.0 + 1, shallow.1 + region.area);
            touched.extend(walls);
        } else {
            sites.push(site(region, walls));
        }
    }
    sites.sort_by(|a, b| {
        let first = |site: &super::Site| {
            site.walls.first().map_or((usize::MAX, 0.0), |wall| (wall.on, wall.from))
        };
        let (a, b) = (first(a), first(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let centre = closing.trimmed.ring_loops();
    Reach {
        touched: merged(opening.loops, &touched, JOIN_ENDS),
        sites,
        shallow,
        exact_fits: closing.exact_fits,
        enclosed: enclosed(&centre),
        centre,
        finished: closing.standing.into_iter().map(|one| one.outline).collect(),
        lost,
        method: closing.trimmed.method,
    }
}

/// A point moved by this, in mm, is another case for the offset, and the same part (from memory).
const NUDGE: f64 = 0.01;

/// Why there is no reach.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Refusal {
    /// A radius is none.
    NoRadius,
    /// The cutter is larger than its bearing.
    EatsTheTemplate,
    /// The bearing spares nothing of the part.
    NothingLeft,
    /// No method gave a result that the check accepts.
    Unproved(Untrimmed),
}

impl Refusal {
    /// As it is told of these radii.
    pub(super) fn told(self, Radii { bearing, cutter }: Radii, paper: Paper) -> Failure {
        let [of_bearing, of_cutter] =
            [bearing, cutter].map(|radius| paper.decimals(2.0 * radius, 3));
        match self {
            Self::NoRadius => {
                let found =
                    format!("a cutter of {of_cutter} and a bearing of {of_bearing}");
                let hint = "give both diameters as lengths above zero";
                Failure::input(Problem::stop("reach-radius", found, hint))
            }
            Self::EatsTheTemplate => {
                let found =
                    format!("a cutter of {of_cutter} with a bearing of {of_bearing}");
                let hint = "use a bearing at least as large as its cutter";
                let problem = Problem::stop("cutter-over-bearing", found, hint);
                Failure::refused(problem.expected(
                    "a bearing no smaller than the cutter: a smaller one lets it eat the template",
                ))
            }
            Self::NothingLeft => {
                let off = paper.decimals(bearing - cutter, 3);
                let found = format!(
                    "the bearing stands {off} off the cutter, and the part is nowhere twice as wide"
                );
                let hint = "use a bearing nearer to the cutter's size";
                Failure::refused(Problem::stop("reach-nothing-left", found, hint))
            }
            Self::Unproved(Untrimmed { at, fault }) => {
                let found = format!("at {}: {fault}", paper.point((at.x, at.y)));
                let hint = format!(
                    "move a point of the outline there by {}, or use another bit",
                    paper.decimals(NUDGE, 3)
                );
                Failure::refused(Problem::stop("reach-unproved", found, hint))
            }
        }
    }
}
