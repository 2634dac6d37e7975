//! The blank on the machine: where it lies, where the zero is, what is in the way; and the
//! holes that are left to the drill.

use super::{Job, Written};
use crate::draw::{
    Frame, Ink, Label, Mark, Pen, Places, Scene, Text, TitleBlock, View, box_about,
    column, hatched, part_cells,
};
use crate::geom::{Bounds, Piece, Point, Vector};
use crate::path::{Lay, by_hand, centres, lay, marks, moved_loop, recesses};
use crate::prove::{Figures, Hold, Pledge};
use crate::sheet::model::{Block, Picture, Sheet};
use crate::sheet::standing::{self, Standing};
use crate::shop::Machine;
use crate::units::Paper;

/// Adds the picture, and the holes to drill by hand.
pub(super) fn add(
    sheet: &mut Sheet,
    job: &Job<'_>,
    (written, paper): (&Written<'_>, Paper),
) {
    let figures = written.proved.figures();
    let Some(machine) = &job.shop.machine else { return };
    let Ok(lay) = lay(&job.plan.parts, machine, job.shop.paper) else { return };
    holes(sheet, job, (machine, &lay, paper));
    let line = written.proved.tools().first().map_or(0.0, |(_, wide)| *wide);
    let picture = Page { job, machine, lay: &lay, figures, paper, line }.picture();
    sheet.blocks.push(Block::Picture(picture));
    let left = Standing {
        ways: written.proved.ways(),
        blank: lay.blank,
        work_zero: lay.work_zero,
        name: &job.shop.name,
        id: job.id,
    };
    sheet.blocks.push(Block::Picture(standing::picture(&left)));
}

/// The holes that the end mill does not fit, from the program's zero.
fn holes(
    sheet: &mut Sheet,
    job: &Job<'_>,
    (machine, lay, paper): (&Machine, &Lay, Paper),
) {
    let rows =
        by_hand(&job.plan.parts, lay, machine).into_iter().map(|(centre, wide)| {
            let at = Point::default() + (centre - lay.work_zero);
            [at.x, at.y, wide].map(|mm| paper.fine(mm)).to_vec()
        });
    let rows: Vec<_> = rows.collect();
    if !rows.is_empty() {
        sheet.heading("Holes to drill by hand");
        // The display shows other figures where the axes are off.
        let heads = if machine.axes.is_some() {
            ["X by a rule on the wood", "Y by a rule on the wood", "Hole"]
        } else {
            ["X from the zero", "Y from the zero", "Hole"]
        };
        sheet.table(&heads, rows, &[0, 1, 2]);
    }
}

/// Half the side of a tab's square, in mm on the page.
const TAB: f64 = 1.6;

/// What the picture is made from.
struct Page<'a> {
    job: &'a Job<'a>,
    machine: &'a Machine,
    lay: &'a Lay,
    figures: &'a Figures,
    /// The program's unit: what the controller shows.
    paper: Paper,
    /// How wide the first tool is, which makes the marks.
    line: f64,
}

impl Page<'_> {
    fn picture(&self) -> Picture {
        let title = "ON THE MACHINE".to_owned();
        let mut scene = Scene::a4_lying(title.clone());
        let frame = Frame::beside(&scene);
        let clamps = self.clamps();
        let all = clamps.iter().fold(self.lay.blank, Bounds::joined);
        let cells = part_cells(&[all], frame.drawing, 20.0, false);
        let view = cells.views[0];
        let block = TitleBlock {
            name: self.job.shop.name.clone(),
            heading: title.clone(),
            lines: vec![
                format!("Plan {}", self.job.id),
                format!("Scale {}", cells.words),
                "As you stand before the machine, X to the right".to_owned(),
            ],
        };
        frame.draw(&mut scene, &block);
        scene.ring(&view.bounds(self.lay.blank).corners(), Pen::NotNow);
        self.on_the_face(&mut scene, &view);
        self.template(&mut scene, &view);
        for (index, area) in clamps.iter().enumerate() {
            let on_page = view.bounds(*area);
            hatched(&mut scene, &on_page.corners());
            let name = format!("K{}", index + 1);
            scene.letters(Text::new(on_page.centre(), name, 4.2).bold().centred());
        }
        self.zero(&mut scene, &view);
        self.tabs(&mut scene, &frame, &view);
        column(&mut scene, frame.notes, &self.notes(), 4.2);
        Picture { scene, title, file: None }
    }

    /// What is cut into the template's face: recesses, marks, and the centres of holes.
    fn on_the_face(&self, scene: &mut Scene, view: &View) {
        for recess in self.recesses() {
            let border = view.pieces(recess.drawn.pieces());
            scene.marks.push(Mark::Fill(vec![border.clone()], Ink::Grey));
            scene.line(border, Pen::Fine);
        }
        for line in self.scribed() {
            let ends = line.windows(2);
            let pieces = ends.map(|two| Piece::line(two[0], two[1]));
            scene.line(view.pieces(&pieces.collect::<Vec<_>>()), Pen::Fine);
        }
        for centre in self.centres() {
            let at = view.point(centre);
            for arm in [Vector::new(1.8, 0.0), Vector::new(0.0, 1.8)] {
                scene.line(vec![Piece::line(at + arm * -1.0, at + arm)], Pen::Fine);
            }
        }
    }

    fn recesses(&self) -> Vec<Pledge> {
        let parts = self.job.plan.parts.iter().zip(&self.lay.shifts);
        parts.flat_map(|(part, &shift)| recesses(part, shift, self.machine)).collect()
    }

    /// The lines of the marks.
    fn scribed(&self) -> Vec<Vec<Point>> {
        if !self.machine.scribe {
            return Vec::new();
        }
        marks(self.job.plan, self.job.shop, self.lay, self.line).lines
    }

    /// The marked centres of holes to drill by hand.
    fn centres(&self) -> Vec<Point> {
        centres(&self.job.plan.parts, self.lay, (self.machine, self.line))
    }

    /// What the lighter lines stand for.
    fn key_of_the_face(&self) -> Vec<String> {
        let mut key = Vec::new();
        let mut depths: Vec<String> = Vec::new();
        for recess in self.recesses() {
            if let Hold::Recess(deep) = recess.hold {
                depths.push(self.paper.fine(deep));
            }
        }
        depths.dedup();
        if !depths.is_empty() {
            key.push(format!("Grey: recesses, cleared {} deep.", depths.join(" and ")));
        }
        if !self.scribed().is_empty() {
            let deep = self.paper.fine(self.machine.scribe_depth.mm());
            key.push(format!("Fine lines: marks scribed on the face, {deep} deep."));
        }
        if !self.centres().is_empty() {
            key.push("Small crosses: centres marked for the drill.".to_owned());
        }
        key
    }

    /// The template's edges and the box of the path.
    fn template(&self, scene: &mut Scene, view: &View) {
        for (part, &shift) in self.job.plan.parts.iter().zip(&self.lay.shifts) {
            for ring in &part.template {
                let pieces = view.pieces(moved_loop(ring, shift).pieces());
                scene.line(pieces, Pen::Now);
            }
        }
        let by = self.lay.work_zero - Point::default();
        let on_wood = |told: Point| {
            let way = told - Point::default();
            let axes = self.machine.axes.as_ref();
            view.point(Point::default() + axes.map_or(way, |axes| axes.on_wood(way)) + by)
        };
        scene.ring(&self.figures.travel.corners().map(on_wood), Pen::Hidden);
    }

    /// A square at every tab, with its name where that covers nothing.
    fn tabs(&self, scene: &mut Scene, frame: &Frame, view: &View) {
        let mut places = Places::of(scene, frame.drawing.grown(-2.0));
        let squares = self
            .figures
            .tabs
            .iter()
            .map(|&tab| box_about(view.point(tab), (2.0 * TAB, 2.0 * TAB)));
        let squares: Vec<Bounds> = squares.collect();
        for &square in &squares {
            scene.filled(&square.corners(), Ink::Black);
            places.add_box(square);
        }
        for (number, square) in (1..).zip(&squares) {
            let label = Label { text: format!("T{number}"), size: 3.6, room: 0.3 };
            let (wide, high) = label.size_of_box();
            let beside = |far: f64| {
                let (x, y) = (TAB + far + wide / 2.0, TAB + far + high / 2.0);
                let ways = [(x, y), (x, 0.0), (-x, 0.0), (0.0, y), (0.0, -y)];
                let corners = [(-x, y), (x, -y), (-x, -y)];
                ways.into_iter().chain(corners)
            };
            let ways = [0.0, 1.5, 3.0].into_iter().flat_map(beside);
            let spots: Vec<Point> =
                ways.map(|(x, y)| square.centre() + Vector::new(x, y)).collect();
            let text = places.label(&label, &spots);
            scene.letters(text);
        }
    }

    /// The program's zero, with the ways X and Y count.
    fn zero(&self, scene: &mut Scene, view: &View) {
        let at = view.point(self.lay.work_zero);
        for (way, name) in [(Vector::new(14.0, 0.0), "X"), (Vector::new(0.0, 14.0), "Y")]
        {
            crate::draw::arrow_along(scene, &[at, at + way]);
            let end = at + way * 1.25;
            scene.letters(Text::new(end, name, 4.2).bold().centred());
        }
        let under = at - Vector::new(0.0, 6.0);
        scene.letters(Text::new(under, "X0 Y0", 4.2).bold().centred());
    }

    /// Clamps and screws where they stand.
    fn clamps(&self) -> Vec<Bounds> {
        let by = self.lay.work_zero - Point::default();
        self.machine.stand().map(|area| area.moved(by)).collect()
    }

    fn notes(&self) -> Vec<String> {
        let paper = self.paper;
        let (blank, travel) = (self.lay.blank, self.figures.travel);
        let fine = |mm: f64| paper.fine(mm);
        let shown =
            if self.machine.axes.is_some() { ", as the DISPLAY shows it" } else { "" };
        let mut notes = vec![
            format!("Blank {} by {}.", fine(blank.width()), fine(blank.height())),
            format!(
                "The dashed box is the path{shown}: X {} to {}, Y {} to {}. Run the mill round it in the air.",
                fine(travel.low.x),
                fine(travel.high.x),
                fine(travel.low.y),
                fine(travel.high.y)
            ),
            format!(
                "Its far corner reads X {} Y {}.",
                fine(travel.high.x),
                fine(travel.high.y)
            ),
        ];
        if !self.figures.tabs.is_empty() {
            notes.push("Black squares T1, T2, …: tabs, to be sawn and pared.".to_owned());
        }
        notes.extend(self.key_of_the_face());
        for (index, keep_out) in self.machine.keep_outs.iter().enumerate() {
            let Bounds { low, high } = keep_out.area;
            notes.push(format!(
                "K{}, {}: X {} to {}, Y {} to {}, at most {} above the blank; {} all round it are kept clear.",
                index + 1,
                keep_out.name,
                fine(low.x),
                fine(high.x),
                fine(low.y),
                fine(high.y),
                fine(keep_out.high.mm()),
                fine(crate::shop::defaults::KEEP_OUT_MARGIN.value)
            ));
        }
        notes
    }
}
