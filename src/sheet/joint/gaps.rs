//! The gap picture: both halves together, and along each face how far its mate stands off,
//! drawn many times as wide as it is.

use super::JointJob;
use crate::draw::{
    Frame, Label, Mark, Pen, Places, Scene, Text, TitleBlock, View, box_about, column,
    hatched, numbered, part_cells,
};
use crate::geom::{Bounds, Loop, Piece, Point, Vector};
use crate::joint::{FaceFit, JointKind};
use crate::read::JointName;
use crate::sheet::model::Picture;
use crate::units::{MM_PER_INCH, Paper, Unit};

/// Room round the faces, on the page.
const ROOM: f64 = 16.0;
/// Off the face on paper for a millimetre of gap: a glue line is seen, a saw's slip stands out.
const MAGNIFIED: f64 = 25.0;
/// No gap is drawn wider than this on paper.
const WIDEST: f64 = 7.0;
/// A gap is none, on the picture as in the table, under this many mm.
pub(super) const NONE: f64 = 0.005;

/// The picture.
pub(super) fn picture(job: &JointJob<'_>) -> Picture {
    let title = "HALVES TOGETHER".to_owned();
    let mut scene = Scene::a4_lying(title.clone());
    let frame = Frame::below(&scene);
    let fit = &job.facts.fit;
    let faces: Bounds = fit.faces.iter().map(|face| face.piece.bounds()).collect();
    let cells = part_cells(&[faces], frame.drawing, ROOM, false);
    let view = cells.views[0];
    let block = TitleBlock {
        name: job.name.to_owned(),
        heading: title.clone(),
        lines: vec![
            format!("Plan {}", job.id),
            format!("Scale {}", cells.words),
            faces_up(job).to_owned(),
        ],
    };
    frame.draw(&mut scene, &block);
    halves(&mut scene, job, (&view, frame.drawing.grown(-1.0)));
    let mut places = Places::new(frame.drawing.grown(-2.0));
    for ring in job.facts.joined.iter().flatten() {
        places.add_line(&view.pieces(ring.pieces()));
    }
    for (number, face) in (1..).zip(&fit.faces) {
        gap(&mut scene, face, &view);
        label(&mut scene, &mut places, (number, face, job.paper), &view);
    }
    letters(&mut scene, &mut places, job, (&view, frame.drawing));
    column(&mut scene, frame.notes, &notes(job), 4.4);
    Picture { scene, title, file: None }
}

/// Which faces are up.
fn faces_up(job: &JointJob<'_>) -> &'static str {
    match job.facts.kind {
        JointKind::TwoOutlines(lie) if lie.turned_over => {
            "Half A face A up, half B face B up"
        }
        _ => "Both faces A up",
    }
}

fn notes(job: &JointJob<'_>) -> Vec<String> {
    let mut notes = general_notes(job.paper);
    if job.facts.slot.is_some() && job.facts.name() == Some(JointName::TabledScarf) {
        notes.push("The open place in the middle is the slot for the wedges.".to_owned());
    }
    notes
}

fn general_notes(paper: Paper) -> Vec<String> {
    let (off, gap) = match paper.unit {
        Unit::Mm => ("1 mm".to_owned(), paper.fine(1.0 / MAGNIFIED)),
        Unit::Inch => {
            let off = MM_PER_INCH / 16.0;
            (paper.length(off), paper.fine(off / MAGNIFIED))
        }
    };
    vec![
        "Thick: half A. Half thick: half B. The numbers are those of the table, with the least \
         and the widest gap."
            .to_owned(),
        format!(
            "The thin line beside a face is its gap, {MAGNIFIED} times as wide: {off} off the \
             face is {gap} of gap. Where it stops short, the gap is wider than it can show."
        ),
        "Hatched: there the halves want the same wood. Pare it before anything else.".to_owned(),
    ]
}

/// Both halves, as far as the page shows them.
fn halves(scene: &mut Scene, job: &JointJob<'_>, (view, room): (&View, Bounds)) {
    let mut inner = Scene::sized((0.0, 0.0), "");
    let [a, b] = &job.facts.joined;
    for (half, pen) in [(b, Pen::Border), (a, Pen::Now)] {
        for ring in half {
            inner.line(view.pieces(ring.pieces()), pen);
        }
    }
    scene.marks.push(Mark::Inside(room, inner.marks));
}

/// How far off the face the gap is drawn.
fn drawn(gap: f64) -> f64 {
    (gap * MAGNIFIED).clamp(-WIDEST, WIDEST)
}

fn gap(scene: &mut Scene, face: &FaceFit, view: &View) {
    let places: Vec<(Point, Point, f64)> = face
        .places
        .iter()
        .map(|&(at, out, gap)| {
            let foot = view.point(at);
            (foot, foot + view.direction(out) * drawn(gap), gap)
        })
        .collect();
    for two in places.windows(2) {
        let [(foot, far, gap), (next, beyond, other)] = [two[0], two[1]];
        scene.line(vec![Piece::line(far, beyond)], Pen::Fine);
        if gap < -NONE && other < -NONE {
            hatched(scene, &[foot, next, beyond, far]);
        }
    }
    for (foot, far, _) in places.iter().step_by(4) {
        scene.straight(*foot, *far, Pen::Fine);
    }
}

/// A face's number, and its gap beside it.
fn label(
    scene: &mut Scene,
    places: &mut Places,
    (number, face, paper): (u32, &FaceFit, Paper),
    view: &View,
) {
    let words = gap_words(face, paper);
    let text = Label { text: words.clone(), size: 3.8, room: 0.6 };
    let (wide, high) = text.size_of_box();
    let size = (wide + 9.0, high.max(8.4));
    let middle = view.point(face.piece.at(0.5));
    let out = view.direction(face.piece.direction(0.5).right());
    let along = out.left();
    let candidates: Vec<Point> = [13.0, 18.0, 24.0, -12.0, -18.0, 32.0, 42.0]
        .into_iter()
        .flat_map(|far| {
            [0.0, 14.0, -14.0, 30.0, -30.0].map(|slide| {
                middle + out * (far + size.0 / 2.0 * out.x.abs()) + along * slide
            })
        })
        .collect();
    let at = places.best(&candidates, size.0, size.1);
    let ring = at - Vector::new(size.0 / 2.0 - 4.2, 0.0);
    scene.straight(ring, middle, Pen::Fine);
    numbered(scene, ring, &number.to_string());
    scene.letters(Text::new(at + Vector::new(4.8, 0.0), words, 3.8).bold().centred());
}

/// The least and the widest gap of a face: `0.08 to 0.1 mm`.
pub(super) fn gap_words(face: &FaceFit, paper: Paper) -> String {
    let gap = |mm: f64| if mm.abs() < NONE { "none".to_owned() } else { paper.fine(mm) };
    let (least, most) = (gap(face.least), gap(face.most));
    if least == most { least } else { format!("{least} to {most}") }
}

/// A and B, each in its own wood.
fn letters(
    scene: &mut Scene,
    places: &mut Places,
    job: &JointJob<'_>,
    (view, room): (&View, Bounds),
) {
    /// How far beside the faces a letter may stand, on the page.
    const BESIDE: f64 = 45.0;
    let faces = job.facts.fit.faces.iter().map(|face| face.piece.bounds());
    let shown: Bounds = faces.collect();
    let shown = shown.grown(BESIDE / view.scale);
    let room = room.grown(-8.0);
    for (half, letter) in job.facts.joined.iter().zip(["A", "B"]) {
        let wood =
            |at: &Point| 0 < half.iter().map(|ring: &Loop| ring.winding(*at)).sum();
        let shares = [0.5, 0.3, 0.7, 0.15, 0.85, 0.03, 0.97];
        let grid = shares.into_iter().flat_map(|x| {
            shares.map(|y| shown.low + Vector::new(shown.width() * x, shown.height() * y))
        });
        let points = grid.filter(wood).map(|at| view.point(at));
        let points: Vec<Point> =
            points.filter(|at| room.distance_squared(*at) <= 0.0).collect();
        if !points.is_empty() {
            let at = places.best(&points, 14.0, 12.0);
            places.add_box(box_about(at, (8.0, 8.0)));
            scene.letters(Text::new(at, letter, 8.0).bold().centred());
        }
    }
}
