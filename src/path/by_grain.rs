//! A finishing lap split by the grain: each run of it led in and out by itself, in the order of
//! the plan; where nothing may finish the edge the mill goes through on the line of the rough
//! laps.
//!
//! ```text
//!     rough laps   = = = = = = = = = = = = = =
//!                    i-> run 1 ->o    i-> run 2 ->o      i led in, o led out
//!     edge         ___________________________
//!                               |left to the hand|       here on the line of the rough laps
//! ```
//!
//! Our own; which way round each run goes: see the plan.

use super::contour::{Contour, Edge};
use super::lap::{ABOVE, Lap, Last, finishing_lap};
use super::lead::{Room, overlap, run_reach, swing_in, swing_out};
use super::walk::{Lift, Pen, Track};
use super::{Kind, Runs};
use crate::diag::{Failure, Place, Problem, Source};
use crate::geom::{Loop, Piece, Point, Span};
use crate::plan::{DoneBy, Feed, Pass};

/// A place so near to where two pieces of a ring meet is there, in mm (geometry: rounding).
const JOINT: f64 = 0.01;

/// How a run of a lap is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// Finished, the part on the left of the mill.
    Conventional,
    /// Finished, the part on its right.
    Climb,
    /// Cut through on the line of the rough laps; what stands is left to the hand.
    Standing,
}

/// A run of a finishing lap, on the mill's line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    pub lift: Lift,
    pub way: Way,
}

/// The runs of a contour in the order of the plan; none where its lap goes round in one.
pub(super) fn runs(
    contour: &Contour,
    edge: &Edge,
    (runs, mill): (&Runs<'_>, f64),
) -> Vec<Run> {
    let Some((part, on)) = edge.of else { return Vec::new() };
    let is_here = |pass: &&Pass| pass.part == part && pass.span.on == on;
    let passes: Vec<&Pass> = runs.passes.iter().filter(is_here).collect();
    if passes.iter().any(|pass| pass.closed) {
        return Vec::new();
    }
    let left = runs.stretches.iter().filter(|it| {
        it.part == part && it.span.on == on && it.touched && it.done_by == DoneBy::Hand
    });
    let way = |pass: &Pass| match pass.feed {
        Feed::Conventional => Way::Conventional,
        Feed::Climb => Way::Climb,
    };
    let passes = passes.iter().map(|pass| (pass.span, way(pass)));
    let left = left.map(|stretch| (stretch.span, Way::Standing));
    let on_ring = |(span, way): (Span, Way)| Run {
        lift: laid_on(&contour.ring, (&edge.ring, span), mill),
        way,
    };
    passes.chain(left).map(on_ring).filter(|run| 0.0 < run.lift.length).collect()
}

/// A run of an edge, as the mill of this radius follows it on its own line.
fn laid_on(ring: &Loop, (edge, span): (&Loop, Span), mill: f64) -> Lift {
    let place = |along: f64| {
        let (before, after) =
            (edge.direction_before(along - JOINT), edge.direction_after(along + JOINT));
        let out = (before.right() + after.right()).unit().unwrap_or(after.right());
        on_joint(ring, ring.nearest(edge.at(along) + out * mill))
    };
    let (from, to) = (place(edge.wrapped(span.from)), place(edge.wrapped(span.to())));
    let length = ring.wrapped(to - from);
    // An edge that the mill's line passes by in one point.
    let nothing = ring.length() - length < 1e-3 && span.length < edge.length() / 2.0;
    Lift { from, length: if nothing { 0.0 } else { length } }
}

/// The place itself, or the corner of a ring that it all but is: a lead must not take the line
/// beyond the corner for that of its run.
fn on_joint(ring: &Loop, along: f64) -> f64 {
    let (index, _) = ring.place(along);
    let count = ring.pieces().len();
    let starts = [index, (index + 1) % count].map(|at| ring.start_of(at));
    let off = |start: f64| {
        let past = ring.wrapped(along - start);
        past.min(ring.length() - past)
    };
    starts.into_iter().find(|&start| off(start) < JOINT).unwrap_or(along)
}

/// Where tabs may not stand: beside the ends of runs, and where the edge is left standing.
pub(super) fn busy(runs: &[Run], ring: &Loop, allowance: f64) -> Vec<Lift> {
    let reach = run_reach(allowance);
    let about =
        |along: f64| Lift { from: ring.wrapped(along - reach), length: 2.0 * reach };
    let of = |run: &Run| {
        let Lift { from, length } = run.lift;
        let whole = (run.way == Way::Standing).then(|| Lift {
            from: ring.wrapped(from - reach),
            length: length + 2.0 * reach,
        });
        [Some(about(from)), Some(about(from + length)), whole]
    };
    runs.iter().flat_map(of).flatten().collect()
}

/// A contour whose finishing lap is split.
pub(super) struct ByGrain<'a> {
    pub lap: Lap<'a>,
    pub runs: &'a [Run],
    pub room: Room<'a>,
    /// The height to travel at.
    pub clear: f64,
}

impl ByGrain<'_> {
    /// Cuts it, from above the blank; ends at the bottom.
    pub(super) fn cut(&self, pen: &mut Pen) -> Result<(), Failure> {
        let ring = &self.lap.finish.ring;
        let Some(rough) = self.lap.rough else { return Err(no_room(ring.at(0.0))) };
        for (index, run) in self.in_order().iter().enumerate() {
            let line = self.line(run, rough);
            if index == 0 {
                self.lap.down_to(pen, line.start())?;
            } else {
                pen.height(self.clear, Kind::Up);
                self.let_in(pen, rough, line.start())?;
            }
            self.run(pen, run, &line)?;
        }
        Ok(())
    }

    /// The runs as they are cut: first those that go through beside what stands, then from the
    /// start of the lap on, and at last up to it.
    fn in_order(&self) -> Vec<Run> {
        let ring = &self.lap.finish.ring;
        let (mut order, finished): (Vec<Run>, Vec<Run>) =
            self.runs.iter().partition(|run| run.way == Way::Standing);
        let Some((first, others)) = finished.split_first() else { return order };
        let gone = ring.wrapped(self.lap.lead.at - first.lift.from);
        let Lift { from, length } = first.lift;
        let rest = Lift { from: ring.wrapped(from + gone), length: length - gone };
        order.push(Run { lift: rest, ..*first });
        order.extend(others);
        let begun = Lift { from, length: gone + overlap(ring).min(length - gone) };
        order.push(Run { lift: begun, ..*first });
        order
    }

    /// What a run's mill does beside the run itself.
    fn line(&self, run: &Run, rough: &Track) -> Line {
        let ring = &self.lap.finish.ring;
        let Lift { from, length } = run.lift;
        let onto = |at: f64| swing_in((ring, at), &self.room, &rough.ring);
        let off = |at: f64| swing_out((ring, at), &self.room, &rough.ring);
        let [lead_in, lead_out] = match run.way {
            Way::Conventional => [onto(from), off(from + length)],
            Way::Climb => {
                [off(from + length), onto(from)].map(|arc| arc.map(|arc| arc.reversed()))
            }
            Way::Standing => [None, None],
        };
        let begin = if run.way == Way::Climb { from + length } else { from };
        Line { lead_in, lead_out, touch: ring.at(begin) }
    }

    /// Down to the bottom where the rough laps have been, beside a point.
    fn let_in(&self, pen: &mut Pen, rough: &Track, beside: Point) -> Result<(), Failure> {
        let at = rough.ring.nearest(beside);
        pen.line(rough.ring.at(at), Kind::Travel);
        pen.height(ABOVE, Kind::Down);
        pen.height(self.lap.depths.floor(), Kind::Down);
        pen.sink(rough, at, self.lap.depths.bottom)
    }

    /// One run at full depth, from the line of the rough laps and back to it.
    fn run(&self, pen: &mut Pen, run: &Run, line: &Line) -> Result<(), Failure> {
        let (ring, bottom) = (&self.lap.finish.ring, self.lap.depths.bottom);
        let Some(rough) = self.lap.rough else { return Err(no_room(line.touch)) };
        let Lift { from, length } = run.lift;
        if run.way == Way::Standing {
            let [first, last] =
                [from, from + length].map(|at| rough.ring.nearest(ring.at(at)));
            let along = rough.ring.wrapped(last - first);
            pen.line(rough.ring.at(first), Kind::LeadIn);
            pen.level(&rough.ring, (first, along), Kind::Rough);
            return Ok(());
        }
        pen.line(line.start(), Kind::LeadIn);
        if let Some(arc) = &line.lead_in {
            pen.piece(arc, bottom, Kind::LeadIn);
        }
        let climb = run.way == Way::Climb;
        let last = Last {
            finish: if climb {
                self.lap.finish.turned_round()
            } else {
                self.lap.finish.clone()
            },
            rough: Some(if climb { rough.turned_round() } else { rough.clone() }),
            at: if climb { ring.wrapped(ring.length() - from - length) } else { from },
            length,
        };
        finishing_lap(pen, &self.lap.depths, &last)?;
        if let Some(arc) = &line.lead_out {
            pen.piece(arc, bottom, Kind::LeadOut);
        } else {
            let back = rough.ring.at(rough.ring.nearest(pen.place()));
            pen.line(back, Kind::LeadOut);
        }
        Ok(())
    }
}

/// How a run is led in and out.
struct Line {
    lead_in: Option<Piece>,
    lead_out: Option<Piece>,
    /// Where the run begins.
    touch: Point,
}

impl Line {
    /// Where the mill is let in: at the start of the arc, or at the run itself.
    fn start(&self) -> Point {
        self.lead_in.as_ref().map_or(self.touch, Piece::from)
    }
}

/// Where the lap of the first run starts.
pub(super) fn within(runs: &[Run]) -> Option<Lift> {
    runs.iter().find(|run| run.way != Way::Standing).map(|run| run.lift)
}

/// Why a finishing lap cannot be split.
fn no_room(at: Point) -> Failure {
    let found = "there is no room for a rough lap all round here, and the grain asks for a \
                 finishing lap in several runs";
    let hint = "use a narrower end mill, or a smaller `allowance` under [machine]";
    let place = Place::whole(Source::Drawing, "part").at(at.x, at.y);
    Failure::refused(Problem::stop("no-finish-room", found, hint).at(place))
}
