//! What the bit does: arrows, starts, ends, backers.

use super::canvas::Canvas;
use super::key;
use super::layout::Small;
use crate::draw::{Pen, Text, arrow_along, backer, exit_mark, star};
use crate::geom::{Bounds, Loop, Point, Vector};
use crate::plan::{Exit, Feed, Pass, Plan, SetUp, Start, Stretch};
use crate::shop::Machine;

/// Which way the bit goes along a walk with the part on the left of face A: `1.0` with the
/// walk, `-1.0` against it.
///
/// Basis: geometry. The tooth runs along `s` times the walk; conventional feed runs with it.
pub(in crate::sheet) fn way_along_walk(set_up: &SetUp, feed: Feed) -> f64 {
    let tooth = f64::from(set_up.s());
    match feed {
        Feed::Conventional => tooth,
        Feed::Climb => -tooth,
    }
}

/// How far off the edge an arrow runs.
const OFF: f64 = 5.6;
/// Half of what an arrow takes across, with room.
const ABOUT: f64 = 1.2;
/// The longest arrow, and the shortest stretch that gets one of its own.
const LONGEST: f64 = 30.0;
const SHORTEST: f64 = 9.0;

/// An arrow beside each stretch of this set-up that has room for one, and one for each pass
/// in any case: the bit goes this way round.
pub(super) fn arrows(canvas: &mut Canvas<'_>, set_up: usize) {
    let plan = canvas.plan;
    for pass in plan.passes.iter().filter(|pass| pass.set_up == set_up) {
        let way = way_along_walk(&plan.set_ups[set_up], pass.feed);
        let stretches = pass.stretches.iter().map(|&index| &plan.stretches[index]);
        let (long, short): (Vec<_>, Vec<_>) = stretches.partition(|stretch| {
            let scale = canvas.view_of(stretch.part, stretch.span).scale;
            SHORTEST <= stretch.span.length * scale
        });
        let longest = short
            .into_iter()
            .max_by(|a, b| a.span.length.total_cmp(&b.span.length))
            .filter(|_| long.is_empty());
        for stretch in long.into_iter().chain(longest) {
            let path = best_path(canvas, stretch, way);
            canvas.places.add_path(&path, ABOUT);
            canvas.named(
                key::stretch(stretch),
                || key::stretch_words(stretch),
                |canvas| {
                    arrow_along(&mut canvas.scene, &path);
                },
            );
        }
    }
}

/// Of several arrows along a stretch the one that covers least; the one in the middle first.
fn best_path(canvas: &Canvas<'_>, stretch: &Stretch, way: f64) -> Vec<Point> {
    let mut best: Option<(f64, Vec<Point>)> = None;
    for middle in [0.5, 0.4, 0.6, 0.3, 0.7] {
        let path = arrow_path(canvas, stretch, way, middle);
        let cost = canvas.places.path_cost(&path, ABOUT) + (middle - 0.5f64).abs() * 8.0;
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, path));
        }
    }
    best.map(|(_, path)| path).unwrap_or_default()
}

/// The points of an arrow beside a stretch about `middle` of its length (as a share), in the
/// order the bit goes.
///
/// It follows the edge; where the edge bends too tightly for that, it is straight along the
/// tangent at the middle.
fn arrow_path(
    canvas: &Canvas<'_>,
    stretch: &Stretch,
    way: f64,
    middle: f64,
) -> Vec<Point> {
    let span = stretch.span;
    let view = canvas.view_of(stretch.part, span);
    let on_page = span.length * view.scale;
    let length = (on_page * 0.7).clamp(SHORTEST, LONGEST);
    let share = length / on_page;
    let room = ((1.0 - share) / 2.0).max(0.0);
    let middle = middle.clamp(0.5 - room, 0.5 + room);
    let at = |step: f64| span.from + span.length * (middle + share * (step - 0.5));
    let steps = [0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0];
    let mut path: Vec<Point> = steps
        .iter()
        .map(|&step| {
            let (foot, out) = canvas.off_edge(stretch.part, span, at(step));
            foot + out * OFF
        })
        .collect();
    let ring = &canvas.plan.parts[stretch.part].guide.loops[span.on];
    let along = view.direction(ring.direction_after(at(0.5)));
    if 1.0 < share || !follows(&path, along, length) {
        let (foot, out) = canvas.off_edge(stretch.part, span, at(0.5));
        let middle = foot + out * OFF;
        path = vec![middle - along * (length / 2.0), middle + along * (length / 2.0)];
    }
    if way < 0.0 {
        path.reverse();
    }
    path
}

/// Whether a path set off from an edge still runs its way and has kept most of its length.
fn follows(path: &[Point], along: Vector, length: f64) -> bool {
    let [first, .., last] = path else { return false };
    let forward = path.windows(2).all(|two| 0.02 * length < two[0].distance(two[1]));
    forward && 0.4 * length < (*last - *first).dot(along)
}

/// Stars where passes start, bars where they end.
pub(super) fn stars_and_ends(canvas: &mut Canvas<'_>, set_up: usize) {
    ends(canvas, set_up, |canvas, at, numbers| {
        caption(canvas, at, &format!("end {numbers}"));
    });
    let plan = canvas.plan;
    let passes: Vec<&Pass> =
        plan.passes.iter().filter(|pass| pass.set_up == set_up).collect();
    for (numbers, pass) in grouped(&passes, |pass| pass.start.1) {
        let at = canvas.view_at(pass.part, pass.start.1).point(pass.start.1);
        canvas.places.add_box(Bounds { low: at, high: at }.grown(4.2));
        let inside = if numbers.len() < 2 { numbers.as_str() } else { "" };
        canvas.named(
            key::pass(pass),
            || key::pass_words(&numbers, "start"),
            |canvas| {
                star(&mut canvas.scene, at, inside);
                if inside.is_empty() {
                    caption(canvas, at, &format!("start {numbers}"));
                }
            },
        );
    }
}

/// Bars where runs of the machine end: it starts and ends them by itself, so that a person needs
/// no more than to see where one gives way to another.
pub(super) fn bars(canvas: &mut Canvas<'_>) {
    ends(canvas, 0, |_, _, _| {});
}

/// A bar where passes end, and what is said of it there with their numbers.
fn ends(
    canvas: &mut Canvas<'_>,
    set_up: usize,
    say: impl Fn(&mut Canvas<'_>, Point, &str),
) {
    let plan = canvas.plan;
    let passes: Vec<&Pass> =
        plan.passes.iter().filter(|pass| pass.set_up == set_up).collect();
    for (numbers, pass) in grouped(&passes, |pass| pass.exit.1) {
        if pass.exit.0 != Exit::Closed {
            let at = canvas.view_at(pass.part, pass.exit.1).point(pass.exit.1);
            let leaving = leaving(canvas, pass);
            canvas.places.add_box(Bounds { low: at, high: at }.grown(3.0));
            canvas.named(
                key::pass(pass),
                || key::pass_words(&numbers, "end"),
                |canvas| {
                    exit_mark(&mut canvas.scene, at, leaving);
                    say(canvas, at, &numbers);
                },
            );
        }
    }
}

/// Passes that share a point, with their numbers together: `1`, `1, 3`.
fn grouped<'p>(
    passes: &[&'p Pass],
    point: impl Fn(&Pass) -> Point,
) -> Vec<(String, &'p Pass)> {
    let mut groups: Vec<(String, &Pass)> = Vec::new();
    for &pass in passes {
        let same = groups.iter_mut().find(|(_, first)| {
            first.part == pass.part && point(first).distance(point(pass)) < 0.5
        });
        match same {
            Some((numbers, _)) => *numbers = format!("{numbers}, {}", pass.number),
            None => groups.push((pass.number.to_string(), pass)),
        }
    }
    groups
}

/// A few small words near a mark.
fn caption(canvas: &mut Canvas<'_>, at: Point, words: &str) {
    let wide = Text::width_of(words, 3.8) / 2.0;
    let mut candidates = Vec::new();
    for far in [5.0, 9.0, 14.0] {
        for (x, y) in [
            (1.0, 0.0),
            (-1.0, 0.0),
            (0.0, 1.0),
            (0.0, -1.0),
            (0.7, 0.7),
            (-0.7, 0.7),
            (0.7, -0.7),
            (-0.7, -0.7),
        ] {
            candidates.push(at + Vector::new(x * (far + wide), y * (far + 1.0)));
        }
    }
    let label = crate::draw::Label { text: words.to_owned(), size: 3.8, room: 0.4 };
    let text = canvas.places.label(&label, &candidates);
    canvas.scene.letters(text);
}

/// How the bit leaves at the end of a pass, on the page.
fn leaving(canvas: &Canvas<'_>, pass: &Pass) -> Vector {
    let ring = &canvas.plan.parts[pass.part].guide.loops[pass.span.on];
    let way = way_along_walk(&canvas.plan.set_ups[pass.set_up], pass.feed);
    let (leaving, _) = leaves(ring, pass.exit.1, way);
    canvas.view(pass.part).direction(leaving)
}

/// Blocks behind the places where the bit leaves end grain, and before those where it starts on
/// one.
pub(super) fn backers(canvas: &mut Canvas<'_>, set_up: usize) {
    let plan = canvas.plan;
    for pass in plan.passes.iter().filter(|pass| pass.set_up == set_up) {
        let way = way_along_walk(&plan.set_ups[set_up], pass.feed);
        let start = (pass.start.0 == Start::Block).then_some((pass.start.1, -way));
        let ends = pass.backers.iter().map(|&point| (point, way));
        for (point, way) in ends.chain(start) {
            // The block stands against the part's own edge, whatever the template does there.
            let ring = &plan.parts[pass.part].outline.loops[pass.span.on];
            let (leaving, next) = leaves(ring, point, way);
            let view = canvas.view_at(pass.part, point);
            let (at, leaving, next) =
                (view.point(point), view.direction(leaving), view.direction(next));
            backer(&mut canvas.scene, at, leaving, next);
            let block = [at, at + leaving * 7.0, at + next * 15.0];
            canvas.places.add_box(
                block.iter().fold(Bounds::EMPTY, |all, &corner| all.with(corner)),
            );
        }
    }
}

/// How the bit leaves the edge at a corner: its own way there, and the way of the edge behind;
/// where there is no corner, straight onto the part.
fn leaves(ring: &Loop, point: Point, way: f64) -> (Vector, Vector) {
    let along = ring.nearest(point);
    let near = nearest_corner(ring, along);
    let (leaving, next, onto_part) = if 0.0 < way {
        let leaving = ring.direction_before(near);
        (leaving, ring.direction_after(near), leaving.left())
    } else {
        let leaving = -ring.direction_after(near);
        (leaving, -ring.direction_before(near), leaving.right())
    };
    if leaving.cross(next).abs() < 0.1 { (leaving, onto_part) } else { (leaving, next) }
}

/// The joint of pieces nearest to a place, if within a millimetre; else the place itself.
fn nearest_corner(ring: &Loop, along: f64) -> f64 {
    (0..ring.pieces().len())
        .map(|index| ring.start_of(index))
        .find(|&start| {
            let apart = (start - along).abs();
            apart.min(ring.length() - apart) < 1.0
        })
        .unwrap_or(along)
}

/// What needs room on the picture of a set-up: stars, ends, numbers, letters of the
/// stretches; where the machine cuts the part no stars, but the corners it relieves.
pub(super) fn small_things(
    plan: &Plan,
    set_up: usize,
    solid: Option<&Machine>,
) -> Vec<Small> {
    let fixed = |part, at| Small { part, at, free: 0.0 };
    let mut small: Vec<Small> =
        plan.hand.iter().map(|work| fixed(work.part, work.at)).collect();
    let relieved = solid.into_iter().flat_map(|machine| plan.relieved(machine));
    small.extend(relieved.map(|(part, relief)| fixed(part, relief.corner)));
    for pass in plan.passes.iter().filter(|pass| pass.set_up == set_up) {
        if solid.is_none() {
            small.push(fixed(pass.part, pass.start.1));
        }
        if pass.exit.0 != Exit::Closed {
            small.push(fixed(pass.part, pass.exit.1));
        }
    }
    let lettered = super::edges::routed_in(plan, set_up).map(|stretch| {
        let ring = &plan.parts[stretch.part].guide.loops[stretch.span.on];
        let at = ring.at(stretch.span.from + stretch.span.length / 2.0);
        Small { part: stretch.part, at, free: stretch.span.length }
    });
    small.extend(lettered);
    small
}

/// The number of each run beside its longest stretch, and how its mill is fed: an arrow alone does
/// not say where the part is.
pub(super) fn feeds(canvas: &mut Canvas<'_>) {
    let plan = canvas.plan;
    for pass in &plan.passes {
        let stretches = pass.stretches.iter().map(|&index| &plan.stretches[index]);
        let longest = stretches.max_by(|a, b| a.span.length.total_cmp(&b.span.length));
        let Some(stretch) = longest else { continue };
        let span = stretch.span;
        let (foot, out) =
            canvas.off_edge(stretch.part, span, span.from + span.length / 2.0);
        let feed = match pass.feed {
            Feed::Conventional => "conv.",
            Feed::Climb => "CLIMB",
        };
        caption(canvas, foot + out * (2.0 * OFF), &format!("{} {feed}", pass.number));
    }
}

/// The key to the lines where the machine cuts the part.
pub(super) const MACHINE_KEY: [(Pen, &str); 2] = [
    (Pen::Now, "finished now, ticks on the waste"),
    (Pen::Hand, "by hand, see the number"),
];

/// The key to the lines.
pub(super) const KEY: [(Pen, &str); 5] = [
    (Pen::Now, "rout now, ticks on the waste"),
    (Pen::NotNow, "thin: not now"),
    (Pen::NeverCut, "thin, with KEEP: never cut"),
    (Pen::Saw, "saw line"),
    (Pen::Hand, "by hand, see the number"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Turn;
    use crate::read::Station;
    use crate::sheet::fixture;

    /// How an arrow beside a stretch goes round a point of the page.
    fn turn_about(path: &[Point], middle: Point) -> Turn {
        let (first, last) = (path[0], path[path.len() - 1]);
        let turn = (first - middle).cross(last - middle);
        if 0.0 < turn { Turn::Ccw } else { Turn::Cw }
    }

    fn canvas(plan: &Plan) -> Canvas<'_> {
        Canvas::new(plan, "arrows", plan.set_ups[0].face_up(), &[])
    }

    /// Basis: geometry, and what never changes at the bench: by hand the wood is on the left
    /// of the bit as it goes, so it goes counter-clockwise round an outside as seen from
    /// above; at the table clockwise; openings the other way.
    #[test]
    fn arrows_go_as_the_person_sees_it_in_all_eight_holdings() {
        let holdings = fixture::holdings();
        assert_eq!(holdings.len(), 8, "station, bearing end, face");
        for set_up in holdings {
            let plan = fixture::plan(vec![set_up]);
            let canvas = canvas(&plan);
            let way = way_along_walk(&set_up, Feed::Conventional);
            let outside = match set_up.station {
                Station::Hand => Turn::Ccw,
                Station::Table => Turn::Cw,
            };
            for stretch in &plan.stretches {
                let path = arrow_path(&canvas, stretch, way, 0.5);
                let opening = stretch.span.on == 1;
                let about =
                    if opening { Point::new(30.0, 55.0) } else { Point::new(30.0, 30.0) };
                let seen = turn_about(&path, canvas.view(0).point(about));
                let expected = if opening { outside.other() } else { outside };
                assert_eq!(seen, expected, "{set_up:?}, stretch {}", stretch.name);
                let named =
                    if opening { set_up.seen_opening() } else { set_up.seen_outside() };
                assert_eq!(seen, named, "the same as the set-up says");
            }
        }
    }

    /// Basis: geometry. By hand the wood lies on the left of every arrow as drawn, at the
    /// table on its right.
    #[test]
    fn the_wood_lies_on_the_left_by_hand_and_on_the_right_at_the_table() {
        for set_up in fixture::holdings() {
            let plan = fixture::plan(vec![set_up]);
            let canvas = canvas(&plan);
            for stretch in &plan.stretches {
                let way = way_along_walk(&set_up, Feed::Conventional);
                let path = arrow_path(&canvas, stretch, way, 0.5);
                let middle = stretch.span.from + stretch.span.length / 2.0;
                let (foot, _) = canvas.off_edge(0, stretch.span, middle);
                let (first, last) = (path[0], path[path.len() - 1]);
                let side = (last - first).cross(foot - first);
                match set_up.station {
                    Station::Hand => assert!(0.0 < side, "{set_up:?} {}", stretch.name),
                    Station::Table => assert!(side < 0.0, "{set_up:?} {}", stretch.name),
                }
            }
        }
    }

    #[test]
    fn a_climb_goes_the_other_way() {
        let set_up = fixture::holdings()[0];
        let conventional = way_along_walk(&set_up, Feed::Conventional);
        assert!(
            (way_along_walk(&set_up, Feed::Climb) + conventional).abs() < 1e-12,
            "opposite"
        );
    }

    /// Basis: geometry. A backer stands beyond the edge in the bit's own way.
    #[test]
    fn a_backer_stands_behind_the_corner_the_bit_leaves() {
        let ring = &fixture::outline().loops[0];
        let corner = Point::new(100.0, 60.0);
        let (with, next) = leaves(ring, corner, 1.0);
        assert!(0.99 < with.y && next.x < -0.99, "up the right side, off its top");
        let (against, next) = leaves(ring, corner, -1.0);
        assert!(
            0.99 < against.x && next.y < -0.99,
            "along the notch, off the right side"
        );
    }
}
