//! Where care is due: short grain, much of the bit in wood, more left by the saw than its line
//! says.

use super::canvas::Canvas;
use super::key;
use crate::diag::{Problem, Source};
use crate::draw::{Circle, Ink, Label, Leader, Pen, Text};
use crate::geom::{Bounds, Piece, Point, Vector};
use crate::plan::{Part, TakeDown, Thick};
use crate::prove::Relief;
use crate::shop::Machine;
use crate::units::Paper;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

/// A place of short grain on the page, and where its sign stands.
pub(super) type Signed = (Point, Point);

/// `!` or `!!` on every narrow place whose fibres run out, once where two of its sides are one.
pub(super) fn short_grain(canvas: &mut Canvas<'_>) -> Vec<Signed> {
    let mut signs: Vec<Signed> = Vec::new();
    for place in &canvas.plan.short_grain {
        let middle = canvas.view_at(place.part, place.at).point(place.at);
        let same = signs.iter().find(|(other, _)| other.distance(middle) < MARKS_APART);
        if let Some(&(_, sign)) = same {
            signs.push((middle, sign));
            continue;
        }
        let label = Label { text: place.sign().to_owned(), size: 7.0, room: 0.6 };
        let text = canvas.places.label(&label, &near(middle));
        signs.push((middle, text.bounds().centre()));
        canvas.named(
            key::SHORT.to_owned(),
            || key::SHORT_WORDS.to_owned(),
            |canvas| {
                canvas.scene.letters(text);
            },
        );
    }
    signs
}

/// Where the notes have their places: a screen shows them, paper says them in words. One of short
/// grain stands at its sign.
pub(super) fn notes(canvas: &mut Canvas<'_>, signs: &[Signed]) {
    let plan = canvas.plan;
    for (index, note) in plan.notes.iter().enumerate() {
        let Some(place) = &note.place else { continue };
        let Some((x, y)) = place.at else { continue };
        let at = Point::new(x, y);
        let holds =
            |part: &Part| part.outline.bounds().grown(1.0).distance_squared(at) <= 0.0;
        let is_drawn = matches!(place.source, Source::Drawing | Source::Job);
        if let Some(part) = plan.parts.iter().position(holds).filter(|_| is_drawn) {
            let at = canvas.view_at(part, at).point(at);
            let is_there = |(middle, _): &&Signed| middle.distance(at) < 0.1;
            let own = (note.id == "short-grain").then(|| signs.iter().find(is_there));
            let at = own.flatten().map_or(at, |&(_, sign)| sign);
            canvas.spot(key::note(index), note.found.clone(), at);
        }
    }
}

/// Places on a point or right beside it: what has no line to its place stands there.
fn near(middle: Point) -> Vec<Point> {
    let beside = [3.5, 6.0].into_iter().flat_map(|distance| {
        (0..8).map(move |step| {
            let angle = f64::from(step) * FRAC_PI_4;
            middle + Vector::at_angle(angle) * distance
        })
    });
    std::iter::once(middle).chain(beside).collect()
}

/// Nearer to each other than this on paper, marks of short grain are one.
const MARKS_APART: f64 = 6.0;

/// A word beside every run of a set-up's passes with so much of the bit in wood that care or
/// less waste is due, and before the inside corners they end in.
pub(super) fn contact(canvas: &mut Canvas<'_>, set_up: usize) {
    let plan = canvas.plan;
    for pass in plan.passes.iter().filter(|pass| pass.set_up == set_up) {
        for contact in pass.contact.iter().filter(|it| it.asks_for().is_some()) {
            let middle = contact.span.from + contact.span.length / 2.0;
            let (foot, out) = canvas.off_edge(pass.part, contact.span, middle);
            beside(canvas, (foot, out), &format!("SLOW {:.0}°", contact.psi));
        }
        if let Some(psi) = pass.arrival {
            let at = canvas.view_at(pass.part, pass.exit.1).point(pass.exit.1);
            let ring = &plan.parts[pass.part].guide.loops[pass.span.on];
            let out = ring.direction_after(ring.nearest(pass.exit.1)).right();
            let out = canvas.view(pass.part).direction(out);
            beside(canvas, (at, out), &format!("EASE IN {psi:.0}°"));
        }
    }
}

/// The round end of every relieved corner as the mill cuts it, with its number: the notes tell
/// of each by it.
pub(super) fn reliefs(canvas: &mut Canvas<'_>, machine: &Machine) {
    let plan = canvas.plan;
    let radius = machine.end_mill.radius();
    let mut notes = relief_notes(&plan.notes);
    for (number, (part, relief)) in (1..).zip(plan.relieved(machine)) {
        let line = past_both_lines(&relief, radius);
        let note = notes.next().unwrap_or(plan.notes.len());
        canvas.named(
            key::note(note),
            || plan.notes.get(note).map_or_else(String::new, |note| note.found.clone()),
            |canvas| {
                canvas.draw(part, |view, scene| {
                    scene.line(view.pieces(&line), Pen::Now);
                });
                let view = canvas.view_at(part, relief.corner);
                let (foot, out) =
                    (view.point(relief.corner), view.direction(relief.away));
                beside(canvas, (foot, out), &format!("RELIEF {number}"));
            },
        );
    }
}

/// Which notes tell of relieved corners: one of each, in the order of their numbers. Two parts may
/// have a corner at the same place.
fn relief_notes(notes: &[Problem]) -> impl Iterator<Item = usize> + '_ {
    let all = notes.iter().enumerate();
    all.filter(|(_, note)| note.id == "corner-relieved").map(|(index, _)| index)
}

/// What a mill of this radius cuts of the part at a relieved corner, from one edge to the other:
/// an arc through the corner, and in a sharp corner its sides, which meet the edges farther out.
fn past_both_lines(relief: &Relief, radius: f64) -> Vec<Piece> {
    let [_, centre] = relief.stem(radius);
    // Each edge is a chord of 2 r cos(half) from the corner on: so much of the circle lies past it.
    let turn = (PI - 2.0 * relief.half).min(FRAC_PI_2);
    let start = Vector::at_angle((-relief.away).angle() - turn) * radius;
    let arc = Piece::arc_about(centre, centre + start, 2.0 * turn);
    let farther = radius / libm::tan(relief.half) - radius;
    if relief.half < FRAC_PI_4 {
        let out = relief.away * farther;
        let (from, to) = (arc.from(), arc.to());
        vec![Piece::line(from + out, from), arc, Piece::line(to, to + out)]
    } else {
        vec![arc]
    }
}

/// A few words beside a point of an edge, with a line to it.
fn beside(canvas: &mut Canvas<'_>, (foot, out): (Point, Vector), words: &str) {
    let label = Label { text: words.to_owned(), size: 3.8, room: 0.4 };
    let mut places: Vec<Point> =
        [10.0, 15.0, 21.0].iter().map(|far| foot + out * *far).collect();
    places.extend(round(foot));
    led(canvas, &label, (&places, foot));
}

/// A drop at every place where the saw leaves more than its line says, with how much is left
/// and how it is taken down.
pub(super) fn left_by_the_saw(canvas: &mut Canvas<'_>, paper: Paper) {
    for thick in &canvas.plan.thick {
        let at = canvas.view_at(thick.part, thick.at).point(thick.at);
        let drop = Circle { centre: at, radius: 1.6 };
        canvas.scene.marks.push(crate::draw::Mark::Fill(vec![drop.pieces()], Ink::Black));
        canvas.places.add_box(Bounds { low: at, high: at }.grown(1.8));
        let label = Label { text: left_words(thick, paper), size: 3.8, room: 0.4 };
        led(canvas, &label, (&round(at), at));
    }
}

/// How much is left, and the way to take it down.
fn left_words(thick: &Thick, paper: Paper) -> String {
    let way = match thick.way {
        TakeDown::Drill(wide) => format!("drill {}", paper.length(wide)),
        TakeDown::Drum(wide) => format!("drum {}", paper.length(wide)),
        TakeDown::Rasp => "rasp".to_owned(),
    };
    format!("{} left: {way}", paper.length(thick.left))
}

/// Words at the best of some places, with a line to what they are about where they stand off it.
fn led(canvas: &mut Canvas<'_>, label: &Label, (places, to): (&[Point], Point)) {
    let leader = Leader { to, size: label.size_of_box(), beyond: 7.0 };
    let (at, line) = canvas.places.best_led(places, &leader);
    canvas.leader(line);
    canvas.scene.letters(Text::new(at, label.text.clone(), label.size).bold().centred());
}

/// Places round a point, near ones first.
fn round(middle: Point) -> Vec<Point> {
    let mut places = Vec::new();
    for distance in [0.0, 6.0, 9.0, 13.0, 18.0] {
        for step in 0..8 {
            let angle = f64::from(step) * FRAC_PI_4;
            let way = Vector::at_angle(angle);
            places.push(middle + Vector::new(way.x * 1.8, way.y) * distance);
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::{Place, Weight};
    use crate::shop::Tool;

    /// Basis: geometry: the rim of all that a mill cuts from where it touches both edges to where
    /// it passes through the corner.
    #[test]
    fn a_relief_is_drawn_from_edge_to_edge_in_sharp_corners_too() {
        let (radius, corner) = (3.0, Point::new(10.0, 20.0));
        for (degrees, sides) in [(40.0, 2), (60.0, 2), (88.0, 2), (90.0, 0), (120.0, 0)] {
            let half = f64::to_radians(degrees / 2.0);
            let away = Vector::at_angle(0.7);
            let relief = Relief { corner, away, half, tool: Tool::EndMill };
            let line = past_both_lines(&relief, radius);
            assert_eq!(line.len(), 1 + sides, "{degrees} degrees");
            for (end, side) in [(line[0].from(), 1.0), (line[line.len() - 1].to(), -1.0)]
            {
                let edge = Vector::at_angle(0.7 + side * half);
                let off = edge.cross(end - corner);
                assert!(off.abs() < 1e-9, "{degrees}: {off} off its edge");
                assert!(0.0 < edge.dot(end - corner), "{degrees}: on its edge");
            }
            let [touch, centre] = relief.stem(radius);
            let stem = Piece::line(centre, touch);
            for at in line.iter().flat_map(|it| [0.1, 0.5, 0.9].map(|share| it.at(share)))
            {
                assert!((stem.distance(at) - radius).abs() < 1e-9, "{degrees}: the rim");
                let way = at - corner;
                let turn = libm::atan2(away.cross(way), away.dot(way)).abs();
                let is_there = way.length() < 1e-9 || half - 1e-9 <= turn;
                assert!(is_there, "{degrees}: in the wood");
            }
        }
    }

    #[test]
    fn corners_of_two_parts_at_one_place_have_a_note_each() {
        let note = |id| {
            let place = Place::whole(Source::Drawing, "part").at(10.0, 20.0);
            Problem::new(id, Weight::Hint, "found", "hint").at(place)
        };
        let notes = ["grain", "corner-relieved", "held", "corner-relieved"].map(note);
        assert_eq!(relief_notes(&notes).collect::<Vec<_>>(), [1, 3]);
    }
}
