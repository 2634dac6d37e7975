//! The order of the cuts, and what each one needs.

use super::by_grain::{self, ByGrain, Run};
use super::contour::{Contour, Edge, clearing, contours};
use super::lap::{ABOVE, Depths, Lap, POINT_LIKE, clear, scratch};
use super::lay::{Lay, moved_loop, pledges, recesses};
use super::lead::{Lead, Room, lead};
use super::relief::relieve;
use super::route::short_way;
use super::tabs::{Tab, place};
use super::walk::{Lift, Pen, Track};
use super::{Kind, Task, Toolpath};
use crate::diag::{Failure, Place, Problem, Problems, Source, Weight};
use crate::geom::{Bounds, Loop, Point};
use crate::plan::{Part, reliefs};
use crate::prove::{Hold, Pledge, Relief, tab_top};
use crate::read::Bottom;
use crate::shop::{LapWay, Machine, Tool};

/// What is the same for every cut.
struct Bench<'a> {
    edges: Vec<Edge>,
    /// The machine with this tool.
    machine: Machine,
    task: Task<'a>,
    thick: f64,
    notes: Problems,
}

/// A contour, where its finishing lap starts, its tabs, the runs of its finishing lap, and its
/// corners to be relieved.
struct Job<'a> {
    contour: &'a Contour,
    lead: Lead,
    tabs: &'a [&'a Tab],
    runs: &'a [Run],
    reliefs: &'a [Relief],
}

/// The whole toolpath.
pub(super) fn toolpath(
    parts: &[Part],
    lay: Lay,
    task: Task<'_>,
) -> Result<Toolpath, Failure> {
    let machine = task.machine.with(task.tool).unwrap_or_else(|| task.machine.clone());
    let mill = machine.end_mill.mm();
    let edges = edges(parts, &lay, &task);
    let thick = task.thick;
    let mut bench = Bench { edges, machine, task, thick, notes: vec![] };
    bench.check()?;
    let contours = match task.tool {
        Tool::Point => Vec::new(),
        Tool::SmallMill | Tool::EndMill => {
            contours(&bench.edges, (mill / 2.0, bench.machine.allowance.mm()))?
        }
    };
    bench.note_what_is_left(&contours);
    let clamps = clamps(&bench.machine, &lay);
    let room = bench.room(&clamps);
    let runs: Vec<Vec<Run>> = contours.iter().map(|c| bench.runs(c)).collect();
    let leads = contours.iter().zip(&runs);
    let leads: Vec<Lead> =
        leads.map(|(c, runs)| lead(&c.ring, room, by_grain::within(runs))).collect();
    let busy = contours.iter().zip(&runs);
    let busy: Vec<Vec<Lift>> =
        busy.map(|(c, runs)| by_grain::busy(runs, &c.ring, room.allowance)).collect();
    let grain = task.runs.and_then(|runs| runs.grain);
    let tabs =
        place(&contours, &bench.edges, (&leads, &busy), (mill, grain, task.paper))?;
    let first = contours.first().map_or(lay.blank.centre(), |c| c.ring.at(0.0));
    let mut pen = Pen::new(mill / 2.0, bench.machine.clear.mm(), first);
    let starts: Vec<Point> =
        contours.iter().zip(&leads).map(|(c, l)| c.ring.at(l.at)).collect();
    let order = bench.order(&contours, &starts);
    bench.scribe(&mut pen);
    if bench.machine.scratch_pass {
        for &index in order.iter().filter(|&&index| !contours[index].inside()) {
            bench.scratch(&mut pen, &contours[index])?;
        }
    }
    bench.drill(&mut pen);
    for index in order {
        let own: Vec<&Tab> = tabs.iter().filter(|tab| tab.contour == index).collect();
        let reliefs = reliefs_of(parts, &lay, (&bench, &contours[index]));
        let job = Job {
            contour: &contours[index],
            lead: leads[index],
            tabs: &own,
            runs: &runs[index],
            reliefs: &reliefs,
        };
        bench.cut(&mut pen, room, &job)?;
    }
    let air = if bench.machine.air_pass { corners(&pen) } else { Vec::new() };
    Ok(Toolpath {
        moves: pen.moves,
        air,
        lay,
        tool: task.tool,
        machine: bench.machine,
        thick,
        tabs: tabs.iter().map(|tab| tab.at).collect(),
        notes: bench.notes,
    })
}

/// Where clamps stand, in the frame of the parts as laid.
fn clamps(machine: &Machine, lay: &Lay) -> Vec<Bounds> {
    let by = lay.work_zero - Point::default();
    machine.stand().map(|area| area.moved(by)).collect()
}

/// The corners of the box of the path, and back to the first.
fn corners(pen: &Pen) -> Vec<Point> {
    let area = super::bounds(&pen.moves);
    area.corners().into_iter().chain([area.low]).collect()
}

/// The template's loops as laid, each with how its wood is held.
fn edges(parts: &[Part], lay: &Lay, task: &Task<'_>) -> Vec<Edge> {
    let machine = task.machine;
    let mut edges = Vec::new();
    for (index, (part, &shift)) in parts.iter().zip(&lay.shifts).enumerate() {
        let pledged = pledges(part, shift, machine);
        for (on, ring) in part.template.iter().enumerate() {
            let ring = moved_loop(ring, shift);
            let (hold, tool) = held(&ring, &pledged, machine);
            let of = Some((index, on));
            edges.push(Edge { ring, hold, own: tool == task.tool, of });
        }
        let recesses = recesses(part, shift, machine).into_iter().map(|pledge| Edge {
            own: pledge.tool == task.tool,
            ring: pledge.drawn,
            hold: pledge.hold,
            of: None,
        });
        edges.extend(recesses);
    }
    edges
}

/// The corners of the part a contour belongs to that are relieved, as it lies.
fn reliefs_of(
    parts: &[Part],
    lay: &Lay,
    (bench, contour): (&Bench<'_>, &Contour),
) -> Vec<Relief> {
    let edge = &bench.edges[contour.edge()];
    let Some((part, _)) = edge.of.filter(|_| bench.machine.cuts_part()) else {
        return Vec::new();
    };
    let all = reliefs(&parts[part].outline, &bench.machine).into_iter();
    all.map(|it| Relief { corner: it.corner + lay.shifts[part], ..it }).collect()
}

/// How a template loop's wood is held and what cuts it: as pledged for the drawn loop it comes
/// from, or, for a hole of the template alone, by itself.
fn held(ring: &Loop, pledged: &[Pledge], machine: &Machine) -> (Hold, Tool) {
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
        || {
            let own = Pledge::new(ring.clone(), 0.0, machine);
            (own.hold, own.tool)
        },
        |(_, pledge)| (pledge.hold, pledge.tool),
    )
}

impl Bench<'_> {
    /// Refuses figures no machine can work with.
    fn check(&self) -> Result<(), Failure> {
        let machine = &self.machine;
        let whole = [
            ("feed", machine.feed),
            ("plunge", machine.plunge),
            ("turns a minute", machine.rpm),
            ("blank's thickness", self.thick),
            ("clearance", machine.clear.mm() - ABOVE),
        ];
        let thin = self.machine.deepest(self.thick) < 0.0;
        let bad = whole.iter().find(|(_, value)| !(0.0 < *value && value.is_finite()));
        match bad {
            None if !thin => Err(Failure::input(Problem::stop(
                "skin-over-blank",
                "the skin is as thick as the blank",
                "give a thinner `skin`, or a thicker blank",
            ))),
            None => Ok(()),
            Some((name, value)) => Err(Failure::input(Problem::stop(
                "machine-figure",
                format!("the machine's {name} comes to {value}"),
                "give a larger figure (`--feed`, `--plunge`, `--rpm`, `--template-thick`, `--clear`)",
            ))),
        }
    }

    /// The runs of a contour's finishing lap, where it is split by the grain.
    fn runs(&self, contour: &Contour) -> Vec<Run> {
        let edge = &self.edges[contour.edge()];
        let split = |runs| by_grain::runs(contour, edge, (runs, self.mill() / 2.0));
        self.task.runs.as_ref().map_or_else(Vec::new, split)
    }

    /// What leads keep clear of.
    fn room<'b>(&'b self, clamps: &'b [Bounds]) -> Room<'b> {
        let allowance = self.machine.allowance.mm();
        Room { edges: &self.edges, clamps, mill: self.mill() / 2.0, allowance }
    }

    fn mill(&self) -> f64 {
        self.machine.end_mill.mm()
    }

    fn bottom(&self, hold: Hold) -> f64 {
        match hold {
            Hold::Skin => self.machine.skin_level(self.thick),
            Hold::Recess(depth) => -depth,
            _ => self.machine.deepest(self.thick),
        }
    }

    fn note_what_is_left(&mut self, contours: &[Contour]) {
        for (index, edge) in self.edges.iter().enumerate().filter(|(_, edge)| edge.own) {
            let (at, what, hint) = match edge.hold {
                Hold::Drilled(_) => continue,
                Hold::Skin if self.machine.bottom == Bottom::Skin => continue,
                Hold::Skin => (
                    edge.ring.at(0.0),
                    "this piece is too small for tabs: a skin is left under it",
                    "cut it free with a knife",
                ),
                Hold::ByHand(centre) if self.mill() < edge.ring.bounds().width() => (
                    centre,
                    "this hole is so little wider than the end mill that a helix in it would \
                     hardly fall and rub in one place: its centre is marked, it is not cut",
                    "drill it by hand, or use a smaller end mill",
                ),
                Hold::ByHand(centre) => (
                    centre,
                    "this hole is smaller than the end mill: its centre is marked, it is not cut",
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

    /// Marks on the template's face, each line in one go.
    fn scribe(&self, pen: &mut Pen) {
        let marks = self.task.marks;
        let starts: Vec<Point> =
            marks.iter().filter_map(|mark| mark.first().copied()).collect();
        for index in short_way(pen.place(), &starts) {
            pen.line(starts[index], Kind::Travel);
            pen.height(ABOVE, Kind::Down);
            let deep = match marks[index][..] {
                [_] => self.machine.dimple_depth(self.task.tool),
                _ => self.machine.scribe_depth.mm(),
            };
            pen.height(-deep, Kind::Down);
            for &to in &marks[index][1..] {
                pen.line(to, Kind::Scribe);
            }
            pen.height(self.machine.clear.mm(), Kind::Up);
        }
    }

    /// Holes of the mill's own width: straight down, lifted after each width to clear the
    /// chips.
    fn drill(&self, pen: &mut Pen) {
        let own = self.edges.iter().filter(|edge| edge.own);
        let drilled = own.filter_map(|edge| match edge.hold {
            Hold::Drilled(centre) => Some(centre),
            _ => None,
        });
        let centres: Vec<Point> = drilled.collect();
        let bottom = self.machine.deepest(self.thick);
        for index in short_way(pen.place(), &centres) {
            pen.line(centres[index], Kind::Travel);
            let pecks = (-bottom / self.mill()).ceil().max(1.0);
            for peck in (1u32..).map(f64::from).take_while(|&peck| peck <= pecks) {
                pen.height(bottom * peck / pecks, Kind::Down);
                pen.height(
                    if peck < pecks { ABOVE } else { self.machine.clear.mm() },
                    Kind::Up,
                );
            }
        }
    }

    /// A shallow lap that shows where the outline will be.
    fn scratch(&self, pen: &mut Pen, contour: &Contour) -> Result<(), Failure> {
        let ring = contour.rough.as_ref().unwrap_or(&contour.ring);
        scratch(pen, &self.track(ring, Vec::new()))?;
        pen.height(self.machine.clear.mm(), Kind::Up);
        Ok(())
    }

    /// Openings, the small ones first, then islands, then outsides; those alike by the short
    /// way from one to the next.
    fn order(&self, contours: &[Contour], starts: &[Point]) -> Vec<usize> {
        let (inside, mut outside): (Vec<usize>, Vec<usize>) =
            (0..contours.len()).partition(|&index| contours[index].inside());
        let small = |index: &usize| {
            let hold = self.edges[contours[*index].edge()].hold;
            !matches!(hold, Hold::Tabs { .. })
        };
        let (small, large): (Vec<usize>, Vec<usize>) =
            inside.into_iter().partition(small);
        let mut order = Vec::new();
        let mut at = Point::default();
        for group in [small, large] {
            let places: Vec<Point> = group.iter().map(|&index| starts[index]).collect();
            order.extend(short_way(at, &places).into_iter().map(|n| group[n]));
            at = order.last().map_or(at, |&index| starts[index]);
        }
        outside.sort_by(|&a, &b| {
            let size = |index: usize| contours[index].ring.area();
            size(a).total_cmp(&size(b))
        });
        order.extend(outside);
        order
    }

    /// One contour, with all that it needs.
    fn cut(&self, pen: &mut Pen, room: Room<'_>, job: &Job<'_>) -> Result<(), Failure> {
        let Job { contour, lead, tabs, .. } = *job;
        let hold = self.edges[contour.edge()].hold;
        if matches!(hold, Hold::Drilled(_) | Hold::ByHand(_)) {
            return Ok(());
        }
        let thick = match hold {
            Hold::Recess(depth) => depth,
            _ => self.thick,
        };
        let depths = Depths { mill: self.mill(), thick, bottom: self.bottom(hold) };
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
        let climb = self.machine.finish == LapWay::Climb;
        let lap = Lap { finish: &finish, rough, lead, climb, depths };
        let clear = self.machine.clear.mm();
        if job.runs.is_empty() {
            lap.cut(pen)?;
        } else {
            ByGrain { lap, runs: job.runs, room, clear }.cut(pen)?;
        }
        let ends = (&depths, self.mill() / 2.0, clear);
        relieve(pen, (&contour.ring, job.reliefs), ends);
        pen.height(clear, Kind::Up);
        Ok(())
    }

    fn track(&self, ring: &Loop, lifts: Vec<Lift>) -> Track {
        Track { ring: ring.clone(), lifts, top: tab_top(self.thick, &self.machine) }
    }
}
