//! How one contour is cut: rough laps, each let in by ramps, then one finishing lap that rises
//! over the tabs and is let in again behind each.
//!
//! ```text
//!    top ____.                  .____
//!            |\                 |         a ramp, then a rough lap on its level, and so on down to
//!            |_\________________|         just above the underside;
//!            |  \_______________|
//!            |_______.---.______|         at last the finishing lap through, lifted over the tabs
//! ```
//!
//! Common practice, no source; the figures have their bases beside them.

use super::Kind;
use super::lead::{Lead, overlap};
use super::walk::{Pen, Stretch, Track};
use crate::diag::Failure;
use crate::geom::planted::{self, Slip};
use crate::geom::{Piece, Point};

/// The deepest pass, as a share of the mill's width (common practice, no source).
const PASS_DEPTH: f64 = crate::shop::defaults::PASS_DEPTH.value;
/// What rough laps leave above the underside, in mm (from memory).
const FLOOR: f64 = crate::shop::defaults::ROUGH_FLOOR.value;
/// How far above the blank a ramp starts, in mm (from memory).
pub(super) const ABOVE: f64 = 0.5;
/// How deep the outline is scratched, in mm (from memory).
const SCRATCH: f64 = crate::shop::defaults::SCRATCH.value;
/// A rough ring shorter than this is a point, and left out, in mm (geometry).
pub(super) const POINT_LIKE: f64 = 1.0;

/// The levels of one cut, above the blank's top.
#[derive(Debug, Clone, Copy)]
pub(super) struct Depths {
    /// The mill's width.
    pub mill: f64,
    /// The blank's thickness.
    pub thick: f64,
    /// Where the cut ends.
    pub bottom: f64,
}

impl Depths {
    /// Where rough laps end: just above the underside.
    pub(super) fn floor(&self) -> f64 {
        -(self.thick - FLOOR).max(self.thick / 2.0)
    }

    /// Even steps from one level down to another, none deeper than a pass.
    pub(super) fn steps(&self, high: f64, low: f64) -> impl Iterator<Item = f64> + use<> {
        let count = ((high - low) / (self.mill * PASS_DEPTH)).ceil().max(1.0);
        let steps = (1u32..).map(f64::from).take_while(move |&n| n <= count);
        let slips = planted::is(Slip::Depths);
        let steps = steps.map(move |n| if slips { count + 1.0 - n } else { n });
        steps.map(move |n| if n < count { high + (low - high) * n / count } else { low })
    }
}

/// One contour to be cut.
pub(super) struct Lap<'a> {
    /// The finished line.
    pub finish: &'a Track,
    /// The line of the rough laps, where there is room for one.
    pub rough: Option<&'a Track>,
    /// Where the finishing lap starts.
    pub lead: Lead,
    /// Whether the finishing lap goes the other way round, where there are rough laps before it.
    pub climb: bool,
    pub depths: Depths,
}

/// A finishing lap or a run of it: its line, that of the rough laps turned the same way, where it
/// starts, and how far it goes.
pub(super) struct Last {
    pub finish: Track,
    pub rough: Option<Track>,
    pub at: f64,
    pub length: f64,
}

impl Lap<'_> {
    /// Cuts it, from above the blank; ends at the bottom.
    pub(super) fn cut(&self, pen: &mut Pen) -> Result<(), Failure> {
        let (last, climbs) = self.last();
        let arcs = self.rough.and_then(|_| self.lead.arcs(&self.finish.ring));
        let turned = |(lead_in, lead_out): (Piece, Piece)| {
            if climbs {
                (lead_out.reversed(), lead_in.reversed())
            } else {
                (lead_in, lead_out)
            }
        };
        let arcs = arcs.map(turned);
        let touch = last.finish.ring.at(last.at);
        let start = arcs.map_or(touch, |(lead_in, _)| lead_in.from());
        self.down_to(pen, start)?;
        pen.line(start, Kind::LeadIn);
        if let Some((lead_in, _)) = arcs {
            pen.piece(&lead_in, self.depths.bottom, Kind::LeadIn);
        }
        finishing_lap(pen, &self.depths, &last)?;
        if let Some((_, lead_out)) = arcs {
            pen.piece(&lead_out, self.depths.bottom, Kind::LeadOut);
        }
        Ok(())
    }

    /// The finishing lap, the way round that was chosen, and whether it climbs.
    fn last(&self) -> (Last, bool) {
        let (finish, rough) = (self.finish, self.rough);
        let length = finish.ring.length() + overlap(&finish.ring);
        if self.climb && rough.is_some() {
            let at = self.lead.start_back(&finish.ring);
            let rough = rough.map(Track::turned_round);
            return (Last { finish: finish.turned_round(), rough, at, length }, true);
        }
        let (finish, rough) = (finish.clone(), rough.cloned());
        (Last { finish, rough, at: self.lead.at, length }, false)
    }

    /// Rough laps, and at last down to the bottom beside the start of the finishing lap.
    pub(super) fn down_to(&self, pen: &mut Pen, start: Point) -> Result<(), Failure> {
        let track = self.rough.unwrap_or(self.finish);
        let end = match self.rough {
            Some(rough) => rough.ring.nearest(start),
            None => self.lead.at,
        };
        let begin = track.gap_start(end);
        pen.line(track.ring.at(begin), Kind::Travel);
        pen.height(ABOVE, Kind::Down);
        let floor = self.depths.floor();
        let first = if track.lifts.is_empty() { floor } else { track.top };
        let mut high = 0.0;
        for low in self.depths.steps(high, first).filter(|&z| self.depths.bottom < z) {
            pen.sink(track, begin, low)?;
            pen.level(&track.ring, (begin, track.ring.length()), Kind::Rough);
            high = low;
        }
        if first <= floor {
            return pen.sink(track, end, self.depths.bottom);
        }
        for low in self.depths.steps(first, floor) {
            for stretch in track.stretches(begin, track.ring.length()) {
                rise_or_cut(pen, track, &stretch, (high, low))?;
            }
            high = low;
        }
        pen.height(high, Kind::Down);
        let there = track.ring.wrapped(end - begin);
        pen.level(&track.ring, (begin, there), Kind::Rough);
        pen.sink(track, end, self.depths.bottom)
    }
}

/// Along the finished line at full depth. Behind a tab the mill steps out to the rough line, where
/// the wood is gone down to the floor, and is let in there.
pub(super) fn finishing_lap(
    pen: &mut Pen,
    depths: &Depths,
    last: &Last,
) -> Result<(), Failure> {
    let finish = &last.finish;
    let (floor, bottom) = (depths.floor(), depths.bottom);
    let mut over_tab = false;
    for stretch in finish.stretches(last.at, last.length) {
        if stretch.lifted {
            pen.height(finish.top, Kind::Up);
            pen.level(&finish.ring, (stretch.from, stretch.length), Kind::OverTab);
        } else {
            if over_tab {
                let touch = finish.ring.at(stretch.from);
                let rough = last.rough.as_ref();
                let track = rough.unwrap_or(finish);
                let at = rough.map_or(stretch.from, |rough| rough.gap_near(touch));
                pen.line(track.ring.at(at), Kind::OverTab);
                pen.height(floor, Kind::Down);
                pen.sink(track, at, bottom)?;
                pen.line(touch, Kind::LeadIn);
            }
            pen.level(&finish.ring, (stretch.from, stretch.length), Kind::Finish);
        }
        over_tab = stretch.lifted;
    }
    Ok(())
}

/// One stretch of a rough lap: over a tab, or from the level the last lap left to the next.
fn rise_or_cut(
    pen: &mut Pen,
    track: &Track,
    stretch: &Stretch,
    (high, low): (f64, f64),
) -> Result<(), Failure> {
    if stretch.lifted {
        pen.height(track.top, Kind::Up);
        pen.level(&track.ring, (stretch.from, stretch.length), Kind::OverTab);
        return Ok(());
    }
    pen.height(high, Kind::Down);
    pen.sink(track, stretch.from, low)?;
    pen.level(&track.ring, (stretch.from, stretch.length), Kind::Rough);
    Ok(())
}

/// A shallow lap on a ring.
pub(super) fn scratch(pen: &mut Pen, track: &Track) -> Result<(), Failure> {
    pen.line(track.ring.at(0.0), Kind::Travel);
    pen.height(ABOVE, Kind::Down);
    pen.sink(track, 0.0, -SCRATCH)?;
    pen.level(&track.ring, (0.0, track.ring.length()), Kind::Rough);
    Ok(())
}

/// One ring of an opening that is cleared, down to the bottom.
pub(super) fn clear(
    pen: &mut Pen,
    track: &Track,
    depths: &Depths,
) -> Result<(), Failure> {
    pen.line(track.ring.at(0.0), Kind::Travel);
    pen.height(ABOVE, Kind::Down);
    for low in depths.steps(0.0, depths.bottom) {
        pen.sink(track, 0.0, low)?;
        pen.level(&track.ring, (0.0, track.ring.length()), Kind::Clear);
    }
    Ok(())
}
