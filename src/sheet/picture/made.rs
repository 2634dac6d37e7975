//! The template as it is made: its line thick, the part within it thin, its holes named.

use super::canvas::Canvas;
use crate::draw::{Label, Pen};
use crate::geom::{Bounds, Loop, Piece, Point, Vector};
use crate::plan::{Part, Plan};
use crate::read::Extra;
use crate::shop::Shop;

/// A plan of the parts that have a template of their own, without what is done with it.
pub(super) fn only_made(plan: &Plan) -> Plan {
    let none =
        |part: &Part| Part { reach: Vec::new(), light: Vec::new(), ..part.clone() };
    let own = plan.made().map(|(_, part)| part);
    Plan {
        parts: own.map(none).collect(),
        set_ups: Vec::new(),
        stands: Vec::new(),
        stretches: Vec::new(),
        passes: Vec::new(),
        hand: Vec::new(),
        saw: Vec::new(),
        sawn: Vec::new(),
        thick: Vec::new(),
        prepare: Vec::new(),
        trial: None,
        short_grain: Vec::new(),
        least_cut_length: plan.least_cut_length,
        cost: plan.cost,
        minutes: plan.minutes,
        notes: Vec::new(),
    }
}

/// The part thin, the template over it thick.
pub(super) fn lines(canvas: &mut Canvas<'_>) {
    let plan = canvas.plan;
    for (index, part) in plan.parts.iter().enumerate() {
        for (loops, pen) in
            [(&part.outline.loops, Pen::NotNow), (&part.template, Pen::Now)]
        {
            for ring in loops {
                canvas.draw(index, |view, scene| {
                    scene.line(view.pieces(ring.pieces()), pen);
                });
                let on_page = canvas.view(index).pieces(ring.pieces());
                canvas.places.add_line(&on_page);
            }
        }
    }
}

/// The names of the holes beside them.
pub(super) fn holes(canvas: &mut Canvas<'_>, shop: &Shop) {
    let plan = canvas.plan;
    for extra in &shop.template.extras {
        let (words, at, across) = match extra {
            Extra::Pin { at, diameter } => ("pin", *at, diameter.mm()),
            Extra::HangHole { at, diameter } => ("to hang it by", *at, diameter.mm()),
        };
        let words = format!("{words}, {}", shop.paper.measured(across));
        let holds = |ring: &Loop| ring.bounds().distance_squared(at) <= 0.0;
        let index = plan.parts.iter().position(|part| part.template.iter().any(holds));
        let view = canvas.view(index.unwrap_or(0));
        let (middle, off) = (view.point(at), across * view.scale / 2.0);
        for way in [Vector::new(off + 1.5, 0.0), Vector::new(0.0, off + 1.5)] {
            canvas.scene.straight(middle - way, middle + way, Pen::Centre);
        }
        canvas.places.add_box(Bounds { low: middle, high: middle }.grown(off + 1.5));
        let label = Label { text: words, size: 4.2, room: 0.5 };
        let wide = label.size_of_box().0 / 2.0;
        let candidates = [
            Vector::new(off + 3.0 + wide, 0.0),
            Vector::new(-off - 3.0 - wide, 0.0),
            Vector::new(0.0, off + 5.0),
            Vector::new(0.0, -off - 5.0),
        ];
        let places: Vec<Point> = [1.0, 1.5, 2.2]
            .iter()
            .flat_map(|far| candidates.map(|way| middle + way * *far))
            .collect();
        let text = canvas.places.label(&label, &places);
        canvas.scene.letters(text);
    }
}

/// PART within each outline, so that nobody takes the thin line for the template's.
pub(super) fn part_words(canvas: &mut Canvas<'_>) {
    let plan = canvas.plan;
    for (index, part) in plan.parts.iter().enumerate() {
        let view = canvas.view(index);
        let bounds = part.outline.bounds();
        let shares = [0.5, 0.35, 0.65, 0.2, 0.8];
        let places: Vec<Point> = shares
            .iter()
            .flat_map(|y| shares.map(|x| (x, *y)))
            .map(|(x, y)| {
                bounds.low + Vector::new(bounds.width() * x, bounds.height() * y)
            })
            .filter(|at| is_within(part.outline.loops.as_slice(), *at))
            .map(|at| view.point(at))
            .collect();
        let label = Label { text: "PART".to_owned(), size: 4.6, room: 0.6 };
        if !places.is_empty() {
            let text = canvas.places.label(&label, &places);
            canvas.scene.letters(text);
        }
    }
}

fn is_within(loops: &[Loop], at: Point) -> bool {
    0 < loops.iter().map(|ring| ring.winding(at)).sum::<i32>()
        && loops
            .iter()
            .flat_map(Loop::pieces)
            .all(|piece: &Piece| 1.0 < piece.distance(at))
}
