//! Where a pass starts and ends: never with the teeth in wood before the bearing rides, never
//! off an end that nothing backs.

use super::able::Able;
use super::atom::{self, Atom};
use super::done::Done;
use super::holding::Holding;
use super::places::Places;
use super::run::{Run, Table};
use super::{Exit, Start};
use crate::geom::{Loop, Span, tolerance};
use crate::grain::Band;
use crate::outline::Outline;
use crate::read::{Role, Station};
use crate::shop::{Shop, defaults};

/// Everything about one run that its start and end depend on.
pub(super) struct Ground<'a> {
    /// The guide of the part.
    pub(super) guide: &'a Outline,
    /// The part as drawn.
    pub(super) outline: &'a Outline,
    /// The part's atoms.
    pub(super) atoms: &'a [Atom],
    /// The same by their place.
    pub(super) by_place: &'a Places,
    /// What each holding can do with each atom.
    pub(super) table: &'a Table,
    /// Which holding this is.
    pub(super) holding: (usize, &'a Holding),
    /// What is routed of the part before, and at what depth this run is.
    pub(super) done: (&'a Done, usize),
    /// What earlier passes left to the hand of what they routed.
    pub(super) trimmed: &'a [Span],
    /// The shop.
    pub(super) shop: &'a Shop,
    /// Whether the template is on.
    pub(super) template_on: bool,
}

/// How a pass starts or ends: what way, and how far from the run's own end, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Begin {
    /// The way it starts.
    pub(super) way: Start,
    /// How far before the run it starts; negative: inside the run, the rest is for the hand.
    pub(super) before: f64,
}

/// How a pass ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct End {
    /// The way it ends.
    pub(super) way: Exit,
    /// How far beyond the run it ends.
    pub(super) beyond: f64,
    /// Whether a block must back the end of the run.
    pub(super) backed: bool,
    /// Whether it runs off over a sharp point of wood.
    pub(super) over_point: bool,
}

/// What lies beyond an end of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Beside {
    /// The template's run-on, so long.
    RunOn(f64),
    /// An edge of another role.
    NotRouted,
    /// The edge goes on without a corner, or with a bend too flat for a block beside it.
    Smooth,
    /// An outside corner to a routed edge.
    Outside,
    /// A place the bit does not touch, or an inside corner.
    Touch,
}

/// A little beyond an end, to see what lies there, in mm.
const PROBE: f64 = 10.0 * tolerance::CHECK;

/// An untouched bit of smooth edge shorter than this does not stop a bit: chords of a curve
/// drawn straight leave such, in mm (from memory).
const SLIVER: f64 = 1.0;

impl Ground<'_> {
    fn ring(&self, run: &Run) -> &Loop {
        &self.guide.loops[self.atoms[run.atoms[0]].span.on]
    }

    /// Whether the bit goes along the walk.
    pub(super) fn forward(&self) -> bool {
        0 < self.holding.1.set_up.s()
    }

    /// Where on its loop the run starts and ends in the order of work.
    pub(super) fn ends(&self, run: &Run) -> (f64, f64) {
        let first = &self.atoms[run.atoms[0]];
        let last = &self.atoms[run.atoms[run.atoms.len() - 1]];
        if self.forward() {
            (first.span.from, last.span.to())
        } else {
            (last.span.to(), first.span.from)
        }
    }

    fn station(&self) -> Station {
        self.holding.1.set_up.station
    }

    /// The start of a run that does not go right round.
    pub(super) fn begin(&self, run: &Run) -> Begin {
        let (start, _) = self.ends(run);
        let back = !self.forward();
        match self.beside(run, start, back) {
            Beside::RunOn(length) => Begin { way: Start::RunOn, before: length },
            Beside::NotRouted => Begin { way: Start::Block, before: 0.0 },
            Beside::Smooth => {
                let before = self.room(run, (start, back), defaults::OVERLAP.value);
                Begin { way: self.swing_in(), before }
            }
            Beside::Outside => {
                let most = defaults::BEFORE_CORNER.value;
                let before = self.room(run, (start, back), most);
                if before < most - PROBE {
                    return Begin { way: Start::Block, before: 0.0 };
                }
                let way = match self.station() {
                    Station::Hand => Start::BeforeCorner,
                    Station::Table => Start::StartingPin,
                };
                Begin { way, before }
            }
            Beside::Touch => self.begin_at_touch(run, start, back),
        }
    }

    const fn swing_in(&self) -> Start {
        match self.holding.1.set_up.station {
            Station::Hand => Start::SwingIn,
            Station::Table => Start::StartingPin,
        }
    }

    /// Beside a place the bit does not touch: on the wall beyond it where that is routed
    /// already, else far enough off that the bit clears the other wall's waste by 1 mm.
    fn begin_at_touch(&self, run: &Run, start: f64, back: bool) -> Begin {
        let on = self.atoms[run.atoms[0]].span.on;
        let mut gap = 0.0;
        let mut void = 180.0_f64;
        let mut at = start;
        while let Some(index) = self.atom_beyond(on, at, back) {
            let turn = atom::turn_at(self.ring(run), at).to_degrees();
            void = void.min(180.0 + turn);
            if self.is_done(index) {
                let room = self.room(run, (at, back), defaults::BEFORE_CORNER.value);
                return Begin { way: self.swing_in(), before: gap + room };
            }
            if self.table[index][self.holding.0] != Able::Past {
                break;
            }
            gap += self.atoms[index].span.length;
            at = self.step(run, (at, back), self.atoms[index].span.length);
        }
        let sine = libm::sin(void.to_radians()).max(0.2);
        let clear = (self.shop.leave.mm() + defaults::ENTRY_CLEARANCE.value) / sine;
        let clear = if 179.0 < void { clear * sine } else { clear };
        Begin { way: self.swing_in(), before: -clear }
    }

    /// The place `by` mm from `at`, along the walk when `onward`.
    fn step(&self, run: &Run, (at, onward): (f64, bool), by: f64) -> f64 {
        self.ring(run).wrapped(if onward { at + by } else { at - by })
    }

    /// The atom just beyond a place on a loop.
    fn atom_beyond(&self, on: usize, at: f64, onward: bool) -> Option<usize> {
        let ring = &self.guide.loops[on];
        let probe = if onward { at + PROBE } else { at - PROBE };
        self.by_place.at((ring, on), probe)
    }

    fn beside(&self, run: &Run, at: f64, onward: bool) -> Beside {
        let ring = self.ring(run);
        let on = self.atoms[run.atoms[0]].span.on;
        let probe = ring.wrapped(if onward { at + PROBE } else { at - PROBE });
        match self.guide.role_at(on, probe) {
            Role::RunOn if self.template_on => {
                let (index, t) = ring.place(probe);
                let length = ring.pieces()[index].length();
                let left = if onward { length * (1.0 - t) } else { length * t };
                return Beside::RunOn((left + PROBE).min(self.shop.template.run_on.mm()));
            }
            Role::RunOn | Role::TrueAlready | Role::GoesOn => return Beside::NotRouted,
            Role::Rout => {}
        }
        let touched = self.atom_beyond(on, at, onward).is_some_and(|index| {
            self.atoms[index].bits[self.holding.1.set_up.bit].touched
        });
        let turn = atom::turn_at(ring, at);
        let sliver = self.atom_beyond(on, at, onward).is_some_and(|index| {
            self.table[index][self.holding.0] == Able::Past
                && self.atoms[index].span.length < SLIVER
        });
        if turn.abs() <= 0.0 && sliver {
            Beside::Smooth
        } else if !touched || turn < 0.0 {
            Beside::Touch
        } else if defaults::FLAT_BEND.value <= turn.to_degrees() {
            Beside::Outside
        } else {
            Beside::Smooth
        }
    }

    /// Whether an atom is routed already, all of it.
    fn is_done(&self, index: usize) -> bool {
        let span = &self.atoms[index].span;
        let ring = &self.guide.loops[span.on];
        let meets = |trim: &Span| {
            trim.on == span.on
                && (atom::holds(ring, span, trim.from + trim.length / 2.0)
                    || atom::holds(ring, trim, span.from + span.length / 2.0))
        };
        self.is_begun(index) && !self.trimmed.iter().any(meets)
    }

    /// Whether an atom is routed already at this depth, or part of it.
    fn is_begun(&self, index: usize) -> bool {
        let (done, depth) = self.done;
        done.has(index, depth)
    }

    /// How far, at most `most`, the bit may go on beyond a place: over edge that is routed
    /// already or that this set-up may cut, up to the next corner.
    fn room(&self, run: &Run, (at, onward): (f64, bool), most: f64) -> f64 {
        let on = self.atoms[run.atoms[0]].span.on;
        let mut room = 0.0;
        while room < most {
            let place = self.step(run, (at, onward), room);
            if 0.0 < room && atom::turn_at(self.ring(run), place).abs() > 0.0 {
                break;
            }
            let Some(index) = self.atom_beyond(on, place, onward) else { break };
            let free = self.is_done(index)
                || matches!(self.table[index][self.holding.0], Able::Cut { .. });
            if !free || run.atoms.contains(&index) {
                break;
            }
            room += self.atoms[index].span.length;
        }
        room.min(most)
    }

    /// The end of a run that does not go right round.
    pub(super) fn end(&self, run: &Run) -> End {
        let (_, at) = self.ends(run);
        let onward = self.forward();
        let plain =
            End { way: Exit::Backer, beyond: 0.0, backed: false, over_point: false };
        match self.beside(run, at, onward) {
            Beside::RunOn(length) => {
                let backed = self.ends_there(run, at, onward);
                End { way: Exit::RunOn, beyond: length, backed, ..plain }
            }
            Beside::NotRouted => End { backed: true, ..plain },
            Beside::Smooth => {
                let beyond = self.room(run, (at, onward), defaults::OVERLAP.value);
                End { way: Exit::Overlap, beyond, ..plain }
            }
            Beside::Outside => self.end_at_corner(run, at, onward),
            Beside::Touch => End { way: Exit::AtTouch, ..plain },
        }
    }

    /// Round an outside corner: end grain may run off while the next edge is still full.
    fn end_at_corner(&self, run: &Run, at: f64, onward: bool) -> End {
        let on = self.atoms[run.atoms[0]].span.on;
        let last = if onward { run.atoms.last() } else { run.atoms.first() };
        let end_grain =
            last.is_some_and(|&index| self.atoms[index].band == Band::EndGrain);
        let next_full =
            self.atom_beyond(on, at, onward).is_some_and(|index| !self.is_begun(index));
        let over_point = atom::is_point(self.ring(run), at);
        let runs_off = end_grain && next_full && !over_point;
        let way = if runs_off { Exit::NextEdgeFull } else { Exit::Backer };
        End { way, beyond: 0.0, backed: !runs_off, over_point }
    }

    /// Whether the wood ends at this corner: the edge of the part beyond it is true already.
    fn ends_there(&self, run: &Run, at: f64, onward: bool) -> bool {
        let on = self.atoms[run.atoms[0]].span.on;
        let part = &self.outline.loops[on];
        let along = part.nearest(self.ring(run).at(at));
        let probe = part.wrapped(if onward { along + PROBE } else { along - PROBE });
        self.outline.role_at(on, probe) != Role::GoesOn
    }

    /// How far a lap right round goes on past its start: no farther than the edge it began on.
    pub(super) fn lap_overlap(&self, run: &Run, at: f64) -> f64 {
        let on = self.atoms[run.atoms[0]].span.on;
        let ring = self.ring(run);
        let left = self.atom_beyond(on, at, self.forward()).map_or(0.0, |index| {
            let span = &self.atoms[index].span;
            let from_start = ring.wrapped(at - span.from);
            if self.forward() { span.length - from_start } else { from_start }
        });
        left.min(defaults::OVERLAP.value)
    }

    /// Where a lap right round its loop starts: by hand 25 mm before an outside corner, best
    /// one that leads to end grain; else swinging in where the edge runs best to the grain.
    pub(super) fn begin_lap(&self, run: &Run) -> (Start, f64) {
        if self.station() == Station::Hand
            && let Some(at) = self.before_a_corner(run)
        {
            return (Start::BeforeCorner, at);
        }
        let roomy = 2.0 * defaults::OVERLAP.value;
        let worth = |index: &&usize| {
            let atom = &self.atoms[**index];
            let kind = match atom.band {
                Band::Along => 2,
                Band::Downhill | Band::Uphill => 1,
                Band::EndGrain => 0,
            };
            let curved = atom.piece(self.guide).radius().is_some();
            (roomy <= atom.span.length, kind, !curved, atom.span.length)
        };
        let best = run
            .atoms
            .iter()
            .max_by(|a, b| worth(a).partial_cmp(&worth(b)).expect("lengths are finite"));
        let best = best.expect("a run has atoms");
        (self.swing_in(), self.atoms[*best].middle())
    }

    fn before_a_corner(&self, run: &Run) -> Option<f64> {
        let back = defaults::BEFORE_CORNER.value;
        let n = run.atoms.len();
        let mut best: Option<((u8, f64), f64)> = None;
        for at in 0..n {
            let (here, next) = if self.forward() {
                (run.atoms[at], run.atoms[(at + 1) % n])
            } else {
                (run.atoms[(at + 1) % n], run.atoms[at])
            };
            let (here, next) = (&self.atoms[here], &self.atoms[next]);
            let ring = &self.guide.loops[here.span.on];
            let corner = if self.forward() { here.span.to() } else { here.span.from };
            let straight = here.piece(self.guide).radius().is_none();
            if atom::turn_at(ring, corner) <= 0.0
                || here.span.length < back
                || here.band == Band::EndGrain
                || !straight
            {
                continue;
            }
            let leads_to_end = u8::from(next.band == Band::EndGrain);
            let worth = (leads_to_end, here.span.length);
            if best.is_none_or(|(other, _)| other < worth) {
                best = Some((worth, self.step(run, (corner, !self.forward()), back)));
            }
        }
        best.map(|(_, at)| at)
    }
}

/// The run of a loop from `from`, so long, as a span.
pub(super) fn span(ring: &Loop, on: usize, from: f64, length: f64) -> Span {
    Span { on, from: ring.wrapped(from), length: length.min(ring.length()) }
}
