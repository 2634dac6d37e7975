//! A picture drawn from the programs alone: what they will leave standing.

use crate::draw::{
    Cells, Frame, Ink, Mark, Scene, Text, TitleBlock, View, column, part_cells, svg,
};
use crate::geom::{Bounds, Piece, Point, Vector};
use crate::prove::Way;
use crate::sheet::model::Picture;

/// What stands beside the picture.
#[derive(Debug, Clone, Copy)]
pub struct Standing<'a> {
    /// Every way of every tool.
    pub ways: &'a [Way],
    /// The blank, in the same frame.
    pub blank: Bounds,
    /// The program's zero in that frame.
    pub work_zero: Point,
    /// The job's name.
    pub name: &'a str,
    /// The plan's short id.
    pub id: &'a str,
}

/// What the picture says of itself.
const NOTES: [&str; 4] = [
    "Drawn from the finished programs alone, not from the plan.",
    "GREY stands, WHITE is cut as deep as the programs go.",
    "BLACK is cut part of the way: tabs across a white cut, marks on a grey face, recesses.",
    "Compare it with the picture of what is to be cut before the spindle starts.",
];

/// The picture as a file.
pub fn standing(what: &Standing<'_>) -> String {
    svg(&picture(what).scene)
}

/// The picture for a sheet.
pub(super) fn picture(what: &Standing<'_>) -> Picture {
    let title = "LEFT STANDING".to_owned();
    let mut scene = Scene::a4_lying(title.clone());
    let (frame, cells) = laid(&scene, what);
    let view = cells.views[0];
    let block = TitleBlock {
        name: what.name.to_owned(),
        heading: title.clone(),
        lines: vec![
            format!("Plan {}", what.id),
            format!("Scale {}", cells.words),
            "As you stand before the machine, X to the right".to_owned(),
        ],
    };
    frame.draw(&mut scene, &block);
    let area = view.bounds(what.blank);
    scene.filled(&area.corners(), Ink::Grey);
    for full in [false, true] {
        let ink = if full { Ink::White } else { Ink::Black };
        let ways = what.ways.iter().filter(|way| way.full == full);
        swept(&mut scene, &view, (ways, ink));
    }
    let zero = view.point(what.work_zero);
    scene.letters(Text::new(zero - Vector::new(0.0, 6.0), "X0 Y0", 4.2).bold().centred());
    let notes = NOTES.map(str::to_owned);
    column(&mut scene, frame.notes, &notes, 4.2);
    Picture { scene, title, file: None }
}

/// How the page is divided, and how the blank lies on it.
pub(super) fn laid(scene: &Scene, what: &Standing<'_>) -> (Frame, Cells) {
    let frame = Frame::beside(scene);
    let cells = part_cells(&[what.blank], frame.drawing, 20.0, false);
    (frame, cells)
}

/// Ways as bands with round ends, one for each run without a gap.
fn swept<'a>(
    scene: &mut Scene,
    view: &View,
    (ways, ink): (impl Iterator<Item = &'a Way>, Ink),
) {
    let mut runs: Vec<(Vec<Piece>, f64)> = Vec::new();
    for way in ways {
        match runs.last_mut() {
            Some((run, wide))
                if goes_on(run, &way.piece) && *wide <= way.wide && way.wide <= *wide =>
            {
                run.push(way.piece);
            }
            _ => runs.push((vec![way.piece], way.wide)),
        }
    }
    for (run, wide) in runs {
        let pieces = view.pieces(&run);
        scene.marks.push(Mark::Band(pieces, wide * view.scale, ink));
    }
}

fn goes_on(run: &[Piece], next: &Piece) -> bool {
    run.last().is_some_and(|last| last.to() == next.from())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ways_that_follow_each_other_are_one_band_and_the_deep_ones_lie_on_top() {
        let at = |x: f64| Point::new(x, 50.0);
        let way = |from: f64, to: f64, full: bool| Way {
            piece: Piece::line(at(from), at(to)),
            wide: 6.0,
            full,
        };
        let ways = [way(10.0, 20.0, true), way(20.0, 30.0, true), way(5.0, 10.0, false)];
        let blank = Bounds { low: Point::default(), high: Point::new(100.0, 100.0) };
        let what = Standing {
            ways: &ways,
            blank,
            work_zero: blank.low,
            name: "plate",
            id: "abc",
        };
        let text = standing(&what);
        let bands: Vec<&str> =
            text.lines().filter(|line| line.contains("stroke-linecap")).collect();
        assert_eq!(bands.len(), 2, "{bands:?}");
        assert!(bands[0].contains("#000") && bands[1].contains("#fff"), "{bands:?}");
        assert_eq!(bands[1].matches('L').count(), 2, "two ways, one band");
    }
}
