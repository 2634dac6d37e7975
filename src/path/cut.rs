//! The order of the cuts, and what each one needs.

use super::contour::{Contour, Edge, clearing, contours};
use super::lap::{ABOVE, Depths, Lap, POINT_LIKE, clear};
use super::lay::{Lay, moved_loop, pledges};
use super::lead::{Lead, lead};
use super::tabs::{Tab, place};
use super::walk::{Lift, Pen, Track};
use super::{Kind, Toolpath};
use crate::diag::{Failure, Place, Problem, Problems, Source, Weight};
use crate::geom::Loop;
use crate::plan::Part;
use crate::prove::{Hold, Pledge, SKIN, tab_top};
use crate::shop::Machine;

/// What is the same for every cut.
struct Bench<'a> {
    edges: Vec<Edge>,
    machine: &'a Machine,
    thick: f64,
    notes: Problems,
}

/// A contour, where its finishing lap starts, and its tabs.
type Job<'a> = (&'a Contour, Lead, &'a [&'a Tab]);

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
        let depths =
            Depths { mill: self.mill(), thick: self.thick, bottom: self.bottom(hold) };
        if tabs.is_empty() && contour.inside() {
            for ring in clearing(&self.edges, contour, self.mill() / 2.0)? {
                clear(pen, &self.track(&ring, Vec::new()), &depths)?;
                pen.height(self.machine.clear.mm(), Kind::Up);
            }
        }
        let finish = self.track(&contour.ring, tabs.iter().map(|tab| tab.lift).collect());
        let rough = contour.rough.as_ref().map(|ring| {
            self.track(ring, tabs.iter().filter_map(|tab| tab.rough).collect())
        });
        let rough = rough.as_ref().filter(|rough| POINT_LIKE <= rough.ring.length());
        Lap { finish: &finish, rough, lead, depths }.cut(pen)?;
        pen.height(self.machine.clear.mm(), Kind::Up);
        Ok(())
    }

    fn track(&self, ring: &Loop, lifts: Vec<Lift>) -> Track {
        Track { ring: ring.clone(), lifts, top: tab_top(self.thick) }
    }
}
