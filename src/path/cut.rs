//! The order of the cuts, and each cut: ramp in, rough laps, one finishing lap.

use super::contour::{Contour, Edge, clearing, contours};
use super::lay::{Lay, moved_loop, pledges};
use super::lead::{Lead, lead, overlap};
use super::tabs::{Tab, place};
use super::walk::{Lift, Pen, Run, Track};
use super::{Kind, Toolpath};
use crate::diag::{Failure, Place, Problem, Problems, Source, Weight};
use crate::geom::Loop;
use crate::plan::Part;
use crate::prove::{Hold, Pledge, SKIN, tab_top};
use crate::shop::Machine;

/// The steepest ramp, in degrees (common practice, no source).
const RAMP: f64 = crate::shop::defaults::RAMP.value;
/// The deepest pass, as a share of the mill's width (common practice, no source).
const PASS_DEPTH: f64 = crate::shop::defaults::PASS_DEPTH.value;
/// What rough laps leave above the underside, in mm (from memory).
const FLOOR: f64 = crate::shop::defaults::ROUGH_FLOOR.value;
/// How far above the blank a ramp starts, in mm (from memory).
const ABOVE: f64 = 0.5;
/// A contour shorter than this is plunged, not ramped, in mm (geometry: it is a point).
const POINT_LIKE: f64 = 1.0;

/// What is the same for every cut.
struct Bench<'a> {
    edges: Vec<Edge>,
    machine: &'a Machine,
    thick: f64,
    notes: Problems,
}

/// A contour, where its finishing lap starts, and its tabs.
type Job<'a> = (&'a Contour, Lead, &'a [&'a Tab]);

/// The way down to the bottom: in rough laps of a kind, to end at a place along the track.
struct Down {
    end: f64,
    bottom: f64,
    kind: Kind,
}

/// The whole toolpath.
pub(super) fn toolpath(
    parts: &[Part],
    lay: Lay,
    machine: &Machine,
    thick: f64,
) -> Result<Toolpath, Failure> {
    let mill = machine.end_mill.mm();
    let mut bench =
        Bench { edges: edges(parts, &lay, mill), machine, thick, notes: vec![] };
    bench.check()?;
    let contours = contours(&bench.edges, mill / 2.0)?;
    bench.note_what_is_left(&contours);
    let leads: Vec<Lead> =
        contours.iter().map(|c| lead(&c.ring, &bench.edges, mill / 2.0)).collect();
    let tabs = place(&contours, &bench.edges, &leads, mill)?;
    let first = contours.first().map_or(lay.blank.centre(), |c| c.ring.at(0.0));
    let mut pen = Pen::new(machine.clear.mm(), first);
    bench.drill(&mut pen);
    for index in order(&contours) {
        let own: Vec<&Tab> = tabs.iter().filter(|tab| tab.contour == index).collect();
        bench.cut(&mut pen, (&contours[index], leads[index], &own))?;
    }
    Ok(Toolpath {
        moves: pen.moves,
        lay,
        machine: machine.clone(),
        thick,
        tabs: tabs.iter().map(|tab| tab.at).collect(),
        notes: bench.notes,
    })
}

/// The template's loops as laid, each with how its wood is held.
fn edges(parts: &[Part], lay: &Lay, mill: f64) -> Vec<Edge> {
    let mut edges = Vec::new();
    for (part, &shift) in parts.iter().zip(&lay.shifts) {
        let pledged = pledges(part, shift, mill);
        for ring in &part.template {
            let ring = moved_loop(ring, shift);
            let hold = hold_of(&ring, &pledged, mill);
            edges.push(Edge { ring, hold });
        }
    }
    edges
}

/// How a template loop's wood is held: as pledged for the drawn loop it comes from, or, for
/// a hole of the template alone, by itself.
fn hold_of(ring: &Loop, pledged: &[Pledge], mill: f64) -> Hold {
    let mut best: Option<(f64, &Pledge)> = None;
    for pledge in pledged {
        let gap = |share: f64| {
            let point = ring.at(ring.length() * share);
            pledge.drawn.at(pledge.drawn.nearest(point)).distance(point)
        };
        let far = gap(0.0).max(gap(0.3)).max(gap(0.7));
        let same_way = (0.0 < pledge.drawn.area()) == (0.0 < ring.area());
        if same_way && best.is_none_or(|(least, _)| far < least) {
            best = Some((far, pledge));
        }
    }
    let drawn = best.filter(|(far, pledge)| *far <= 2.0 * pledge.grow.abs() + 0.1);
    drawn.map_or_else(
        || Pledge::new(ring.clone(), 0.0, mill).hold,
        |(_, pledge)| pledge.hold,
    )
}

/// Openings, the small ones first, then islands, then outsides.
fn order(contours: &[Contour]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..contours.len()).collect();
    order.sort_by(|&a, &b| {
        let size = |index: usize| contours[index].ring.area().abs();
        let last = |index: usize| !contours[index].inside();
        last(a).cmp(&last(b)).then(size(a).total_cmp(&size(b)))
    });
    order
}

impl Bench<'_> {
    /// Refuses figures no machine can work with.
    fn check(&self) -> Result<(), Failure> {
        let machine = self.machine;
        let whole = [
            ("feed", machine.feed),
            ("plunge", machine.plunge),
            ("turns a minute", machine.rpm),
            ("template thickness", self.thick),
            ("clearance", machine.clear.mm() - ABOVE),
        ];
        let bad = whole.iter().find(|(_, value)| !(0.0 < *value && value.is_finite()));
        match bad {
            None => Ok(()),
            Some((name, value)) => Err(Failure::input(Problem::stop(
                "machine-figure",
                format!("the machine's {name} comes to {value}"),
                "give a larger figure (`--feed`, `--plunge`, `--rpm`, `--template-thick`, `--clear`)",
            ))),
        }
    }

    fn mill(&self) -> f64 {
        self.machine.end_mill.mm()
    }

    fn bottom(&self, hold: Hold) -> f64 {
        match hold {
            Hold::Skin => SKIN - self.thick,
            _ => -self.thick - self.machine.through.mm(),
        }
    }

    /// The levels of the rough laps: even steps down to just above the underside.
    fn levels(&self) -> Vec<f64> {
        let floor = (self.thick - FLOOR).max(self.thick / 2.0);
        let steps = (floor / (self.mill() * PASS_DEPTH)).ceil().max(1.0);
        let count = (1u32..).take_while(|&n| f64::from(n) <= steps);
        count.map(|n| -floor * f64::from(n) / steps).collect()
    }

    fn note_what_is_left(&mut self, contours: &[Contour]) {
        for (index, edge) in self.edges.iter().enumerate() {
            let (at, what, hint) = match edge.hold {
                Hold::Drilled(_) => continue,
                Hold::Skin => (
                    edge.ring.at(0.0),
                    "this piece is too small for tabs: a skin of 0.5 mm is left under it",
                    "cut it free with a knife",
                ),
                Hold::ByHand(centre) => (
                    centre,
                    "this hole is smaller than the end mill: it is not cut",
                    "drill it by hand",
                ),
                _ if contours.iter().any(|c| c.marks.iter().any(|m| m.edge == index)) => {
                    continue;
                }
                _ => (
                    edge.ring.at(0.0),
                    "the end mill does not fit into this opening: it is not cut",
                    "saw it by hand, or use a smaller end mill",
                ),
            };
            let place = Place::whole(Source::Drawing, "template").at(at.x, at.y);
            let id =
                if edge.hold == Hold::Skin { "held-by-skin" } else { "opening-not-cut" };
            let note = Problem::new(id, Weight::Caution, what, hint);
            self.notes.push(note.at(place));
        }
    }

    /// Holes of the mill's own width: straight down and up again.
    fn drill(&self, pen: &mut Pen) {
        for edge in &self.edges {
            let Hold::Drilled(centre) = edge.hold else { continue };
            pen.line(centre, Kind::Travel);
            pen.height(self.bottom(edge.hold), Kind::Down);
            pen.height(self.machine.clear.mm(), Kind::Up);
        }
    }

    /// One contour, with all that it needs.
    fn cut(&self, pen: &mut Pen, (contour, lead, tabs): Job<'_>) -> Result<(), Failure> {
        let hold = self.edges[contour.edge()].hold;
        if matches!(hold, Hold::Drilled(_) | Hold::ByHand(_)) {
            return Ok(());
        }
        let bottom = self.bottom(hold);
        if tabs.is_empty() && contour.inside() {
            for ring in clearing(&self.edges, contour, self.mill() / 2.0)? {
                self.clear(pen, &ring, bottom);
            }
        }
        let finish = self.track(&contour.ring, tabs.iter().map(|tab| tab.lift).collect());
        let rough = contour.rough.as_ref().map(|ring| {
            self.track(ring, tabs.iter().filter_map(|tab| tab.rough).collect())
        });
        match &rough {
            Some(rough) => self.finish_from(pen, (&finish, rough), (lead, bottom)),
            None => self.finish_alone(pen, &finish, (lead.at, bottom)),
        }
        pen.height(self.machine.clear.mm(), Kind::Up);
        Ok(())
    }

    fn track(&self, ring: &Loop, lifts: Vec<Lift>) -> Track {
        Track { ring: ring.clone(), lifts, top: tab_top(self.thick) }
    }

    /// One ring of an opening that is cleared, down to the bottom.
    fn clear(&self, pen: &mut Pen, ring: &Loop, bottom: f64) {
        let track = self.track(ring, Vec::new());
        self.rough(pen, &track, &Down { end: 0.0, bottom, kind: Kind::Clear });
        pen.walk(&track, &Run::level(0.0, ring.length(), bottom, Kind::Clear));
        pen.height(self.machine.clear.mm(), Kind::Up);
    }

    /// Rough laps on a track, and at last a ramp down to the bottom.
    fn rough(&self, pen: &mut Pen, track: &Track, down: &Down) {
        let slope = libm::tan(RAMP.to_radians());
        if track.ring.length() < POINT_LIKE {
            pen.line(track.ring.at(down.end), Kind::Travel);
            pen.height(down.bottom, Kind::Down);
            return;
        }
        let whole = track.ring.length();
        let mut along = track.ring.wrapped(down.end - (ABOVE - down.bottom) / slope);
        pen.line(track.ring.at(along), Kind::Travel);
        pen.height(ABOVE, Kind::Down);
        let mut high = ABOVE;
        let levels = self.levels().into_iter().filter(|&low| down.bottom < low);
        for low in levels.chain([down.bottom]) {
            let length = (high - low) / slope;
            pen.walk(track, &Run { from: along, length, high, low, kind: Kind::Ramp });
            along = track.ring.wrapped(along + length);
            if down.bottom < low {
                pen.walk(track, &Run::level(along, whole, low, down.kind));
            }
            high = low;
        }
    }

    /// Rough laps beside the finished line, then the finishing lap with its leads; straight
    /// over where there is no room for them.
    fn finish_from(
        &self,
        pen: &mut Pen,
        (finish, rough): (&Track, &Track),
        (lead, bottom): (Lead, f64),
    ) {
        let arcs = lead.arcs(&finish.ring);
        let touch = finish.ring.at(lead.at);
        let start = arcs.map_or(touch, |(lead_in, _)| lead_in.from());
        let end = rough.ring.nearest(start);
        self.rough(pen, rough, &Down { end, bottom, kind: Kind::Rough });
        pen.line(start, Kind::LeadIn);
        if let Some((lead_in, _)) = arcs {
            pen.piece(&lead_in, bottom, Kind::LeadIn);
        }
        let length = finish.ring.length() + overlap(&finish.ring);
        pen.walk(finish, &Run::level(lead.at, length, bottom, Kind::Finish));
        if let Some((_, lead_out)) = arcs {
            pen.piece(&lead_out, bottom, Kind::LeadOut);
        }
    }

    /// Where there is no room for a rough line: all laps on the finished one.
    fn finish_alone(&self, pen: &mut Pen, finish: &Track, (lead, bottom): (f64, f64)) {
        self.rough(pen, finish, &Down { end: lead, bottom, kind: Kind::Rough });
        let length = finish.ring.length() + overlap(&finish.ring);
        pen.walk(finish, &Run::level(lead, length, bottom, Kind::Finish));
    }
}
