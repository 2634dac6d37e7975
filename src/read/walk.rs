//! Walks: a start and steps, in plain words, to a path of lines and arcs.

use super::{Checked, Drawn, Path, Step, Stroke, Walk};
use crate::diag::{Place, Problem};
use crate::geom::{Piece, Point, Vector, orientation, tolerance};
use crate::units::Paper;
use std::f64::consts::{PI, TAU};

/// The path of a walk; a `closed` one must come back to its start. `paper` says how messages
/// write lengths.
///
/// # Errors
/// A [`Problem`] that names the step: one without length, an arc that cannot be, a step that
/// needs one before it, numbers that are not finite; or the loop that stays open.
///
/// ```
/// use spelch::diag::{Place, Source};
/// use spelch::geom::Point;
/// use spelch::read::{Step, Walk, walk_path};
/// use spelch::units::Paper;
/// let walk = Walk {
///     start: Point::new(0.0, 0.0),
///     steps: vec![
///         (Step::By(30.0, 0.0), None),
///         (Step::Square(20.0), Some("end".to_owned())),
///         (Step::Close, None),
///     ],
///     place: Place::whole(Source::Job, "foot.toml"),
///     step_places: Vec::new(),
/// };
/// let path = walk_path(&walk, true, Paper::MM).unwrap();
/// assert_eq!(path.strokes.len(), 3);
/// assert_eq!(path.strokes[1].name.as_deref(), Some("end"));
/// ```
pub fn walk_path(walk: &Walk, closed: bool, paper: Paper) -> Checked<Path> {
    if !walk.start.is_finite() {
        return Err(not_finite(&walk.place, "the start").into());
    }
    let mut strokes: Vec<Drawn> = Vec::with_capacity(walk.steps.len() + 1);
    let mut feet = Feet { start: walk.start, at: walk.start, way: None };
    for (index, (step, name)) in walk.steps.iter().enumerate() {
        let place = place_of_step(walk, index);
        let last = index + 1 == walk.steps.len();
        let pieces = feet.step(step, last && closed);
        for piece in pieces.map_err(|fault| fault.at(&place, paper))? {
            feet.at = piece.to();
            feet.way = Some(piece.direction(1.0));
            let name = name.clone();
            strokes.push(Drawn { stroke: Stroke::Piece(piece), name, role: None });
        }
    }
    if strokes.is_empty() {
        let hint =
            "add steps, for example `steps = [\"right 100\", \"up 40\", \"close\"]`";
        let problem = Problem::stop("walk-empty", "the walk has no steps", hint);
        return Err(problem.at(walk.place.clone()).into());
    }
    if closed && tolerance::REPAIR < feet.at.distance(feet.start) {
        return Err(open(walk, feet, paper).into());
    }
    Ok(Path { strokes, closed, place: walk.place.clone() })
}

/// Why a loop that does not come back to its start is refused.
fn open(walk: &Walk, feet: Feet, paper: Paper) -> Problem {
    let Feet { start, at, .. } = feet;
    let found = format!(
        "the walk ends at {}: {} from its start at {}",
        paper.point((at.x, at.y)),
        paper.decimals(at.distance(start), 3),
        paper.point((start.x, start.y))
    );
    let hint = "close the walk with a last step `close`; if it is the line of a joint across a board, put it under `[board.line]`";
    Problem::stop("walk-open", found, hint)
        .expected("a walk that comes back to its start")
        .at(walk.place.clone().at(at.x, at.y))
}

/// The place of one step: its own if it was read from a job.
fn place_of_step(walk: &Walk, index: usize) -> Place {
    let element = walk.place.element.as_deref().unwrap_or("walk");
    let element = format!("{element} step {}", index + 1);
    let place = walk.step_places.get(index).unwrap_or(&walk.place);
    place.clone().element(element)
}

/// Where a walker stands, and the way of the last step.
#[derive(Debug, Clone, Copy)]
struct Feet {
    start: Point,
    at: Point,
    way: Option<Vector>,
}

/// What is wrong with a step.
#[derive(Debug, Clone, PartialEq)]
enum Fault {
    NoLength,
    NotFinite,
    NothingBefore,
    TurnOutOfRange,
    RadiusTooSmall { radius: f64, chord: f64 },
    ThreeOnALine,
    CloseBeforeTheEnd,
}

impl Feet {
    /// The pieces of a step: one, or none for a `close` where the walk has come back already.
    fn step(&self, step: &Step, may_close: bool) -> Result<Vec<Piece>, Fault> {
        let at = self.at;
        match *step {
            Step::By(x, y) => straight(at, at + Vector::new(x, y)),
            Step::To(to) => straight(at, to),
            Step::At { degrees, length } => {
                straight(at, at + direction(degrees) * length)
            }
            Step::Square(length) => {
                let way = self.way.ok_or(Fault::NothingBefore)?;
                straight(at, at + way.left() * length)
            }
            Step::On(length) => {
                let way = self.way.ok_or(Fault::NothingBefore)?;
                straight(at, at + way * length)
            }
            Step::Turn { radius, degrees, left } => {
                let way = self.way.ok_or(Fault::NothingBefore)?;
                turned(
                    at,
                    if left { way.left() } else { way.right() },
                    radius,
                    (degrees, left),
                )
            }
            Step::Arc { to, radius, left } => arc(at, to, radius, left),
            Step::Through { through, to } => arc_through(at, through, to),
            Step::Close if !may_close => Err(Fault::CloseBeforeTheEnd),
            Step::Close if at.distance(self.start) <= tolerance::REPAIR => Ok(Vec::new()),
            Step::Close => straight(at, self.start),
        }
    }
}

fn straight(from: Point, to: Point) -> Result<Vec<Piece>, Fault> {
    if !to.is_finite() {
        return Err(Fault::NotFinite);
    }
    if from.distance(to) <= tolerance::REPAIR {
        return Err(Fault::NoLength);
    }
    Ok(vec![Piece::line(from, to)])
}

/// The way at an angle in degrees, exact at the quarter turns.
fn direction(degrees: f64) -> Vector {
    let right = Vector::new(1.0, 0.0);
    match degrees.rem_euclid(360.0) {
        d if d <= 0.0 => right,
        d if (d - 90.0).abs() <= 0.0 => right.left(),
        d if (d - 180.0).abs() <= 0.0 => -right,
        d if (d - 270.0).abs() <= 0.0 => right.right(),
        d => Vector::at_angle(d.to_radians()),
    }
}

/// The shorter arc of a radius to a point, turning left or right.
fn arc(from: Point, to: Point, radius: f64, left: bool) -> Result<Vec<Piece>, Fault> {
    straight(from, to)?;
    if !radius.is_finite() {
        return Err(Fault::NotFinite);
    }
    let chord = from.distance(to);
    let short = chord / 2.0 - radius;
    if tolerance::REPAIR < short || radius <= 0.0 {
        return Err(Fault::RadiusTooSmall { radius, chord });
    }
    let half = (chord / 2.0).min(radius);
    let rise = (radius * radius - half * half).max(0.0).sqrt();
    let side = (to - from).left() * (1.0 / chord);
    let centre = from.middle(to) + side * if left { rise } else { -rise };
    let turn = (from - centre).turn_to(to - centre).abs().min(PI);
    let sweep = if left { turn } else { -turn };
    Ok(vec![Piece::Arc { from, to, centre, sweep }])
}

/// The arc that goes on smoothly: its centre lies square to the walk, on the side it turns to.
fn turned(
    from: Point,
    side: Vector,
    radius: f64,
    (degrees, left): (f64, bool),
) -> Result<Vec<Piece>, Fault> {
    let in_range = 0.0 < radius && 0.0 < degrees && degrees < 360.0;
    if !in_range {
        return Err(Fault::TurnOutOfRange);
    }
    let centre = from + side * radius;
    let sweep = degrees.to_radians() * if left { 1.0 } else { -1.0 };
    let first = Piece::arc_about(
        centre,
        from,
        if PI < sweep.abs() { sweep / 2.0 } else { sweep },
    );
    if first.length() <= tolerance::REPAIR {
        return Err(Fault::NoLength);
    }
    if sweep.abs() <= PI {
        return Ok(vec![first]);
    }
    Ok(vec![first, Piece::arc_about(centre, first.to(), sweep / 2.0)])
}

/// The arc through a point to another; two pieces where it turns by more than a half turn.
fn arc_through(from: Point, through: Point, to: Point) -> Result<Vec<Piece>, Fault> {
    if !(through.is_finite() && to.is_finite()) {
        return Err(Fault::NotFinite);
    }
    let nearest = from.distance(through).min(through.distance(to)).min(from.distance(to));
    if nearest <= tolerance::REPAIR {
        return Err(Fault::NoLength);
    }
    let side = orientation(from, through, to);
    if side.abs() <= tolerance::REPAIR * from.distance(to) {
        return Err(Fault::ThreeOnALine);
    }
    let (a, b) = (through - from, to - from);
    let (aa, bb) = (a.dot(a), b.dot(b));
    let across = 2.0 * a.cross(b);
    let out = Vector::new(b.y * aa - a.y * bb, a.x * bb - b.x * aa) * (1.0 / across);
    let centre = from + out;
    let turn = (from - centre).turn_to(to - centre);
    let sweep =
        if 0.0 < side { turn.rem_euclid(TAU) } else { turn.rem_euclid(TAU) - TAU };
    if sweep.abs() <= PI {
        return Ok(vec![Piece::Arc { from, to, centre, sweep }]);
    }
    let first = Piece::arc_about(centre, from, sweep / 2.0);
    let second = Piece::Arc { from: first.to(), to, centre, sweep: sweep / 2.0 };
    Ok(vec![first, second])
}

impl Fault {
    fn at(self, place: &Place, paper: Paper) -> Box<Problem> {
        let step = place.element.as_deref().unwrap_or("the step");
        let problem = match self {
            Self::NotFinite => return not_finite(place, step).into(),
            Self::NoLength => Problem::stop(
                "walk-step-without-length",
                format!("{step} goes nowhere"),
                "give the step a length, or leave it out",
            )
            .expected(format!(
                "a step of more than {}",
                paper.decimals(tolerance::REPAIR, 3)
            )),
            Self::NothingBefore => Problem::stop(
                "walk-nothing-before",
                format!("{step} goes on from the step before it, but there is none"),
                "begin with `right`, `up`, `to` or `at`; `square`, `on` and `turn` follow another step",
            ),
            Self::TurnOutOfRange => Problem::stop(
                "walk-turn-out-of-range",
                format!("{step} turns by nothing or by more than a whole turn"),
                "give the turn a radius of more than zero and more than 0 and less than 360 degrees",
            ),
            Self::RadiusTooSmall { radius, chord } => Problem::stop(
                "walk-radius-too-small",
                format!(
                    "{step}: a radius of {} does not reach over {}",
                    paper.decimals(radius, 3),
                    paper.decimals(chord, 3)
                ),
                format!(
                    "make the radius at least {}, or bring the end nearer",
                    paper.decimals(chord / 2.0, 3)
                ),
            ),
            Self::ThreeOnALine => Problem::stop(
                "walk-three-on-a-line",
                format!(
                    "{step}: start, middle and end lie on one line, so no arc goes through them"
                ),
                "move the middle point off the line, or walk straight with `to`",
            ),
            Self::CloseBeforeTheEnd => Problem::stop(
                "walk-close-not-last",
                format!("{step} is `close`, but the walk goes on or is an open line"),
                "put `close` last in a loop, and leave it out of a line across a board",
            ),
        };
        problem.at(place.clone()).into()
    }
}

fn not_finite(place: &Place, what: &str) -> Problem {
    let hint = "write a finite number";
    Problem::stop(
        "walk-not-finite",
        format!("{what} has a number that is not finite"),
        hint,
    )
    .at(place.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Source;

    fn at(x: f64, y: f64) -> Point {
        Point::new(x, y)
    }

    fn walk(steps: &[Step]) -> Walk {
        let steps = steps.iter().map(|step| (step.clone(), None)).collect();
        let place = Place::whole(Source::Job, "job.toml").element("outline");
        Walk { start: at(0.0, 0.0), steps, place, step_places: Vec::new() }
    }

    fn pieces(steps: &[Step]) -> Vec<Piece> {
        pieces_of(steps, false)
    }

    fn pieces_of(steps: &[Step], closed: bool) -> Vec<Piece> {
        let path = walk_path(&walk(steps), closed, Paper::MM).expect("a sound walk");
        let strokes = path.strokes.into_iter();
        strokes
            .map(|drawn| match drawn.stroke {
                Stroke::Piece(piece) => piece,
                other => panic!("{other:?}"),
            })
            .collect()
    }

    fn fault(steps: &[Step], closed: bool) -> Box<Problem> {
        walk_path(&walk(steps), closed, Paper::MM).expect_err("a fault")
    }

    /// Basis: geometry; the sagitta of chord 700 and radius 900 is 900 − √(900² − 350²).
    #[test]
    fn an_arc_bulges_to_the_side_it_turns_from() {
        let to = at(700.0, 0.0);
        let left = pieces(&[Step::Arc { to, radius: 900.0, left: true }])[0];
        let sagitta = 900.0 - f64::sqrt(900.0 * 900.0 - 350.0 * 350.0);
        assert!(left.at(0.5).distance(at(350.0, -sagitta)) < 1e-9, "below, turning left");
        let right = pieces(&[Step::Arc { to, radius: 900.0, left: false }])[0];
        assert!(
            right.at(0.5).distance(at(350.0, sagitta)) < 1e-9,
            "above, turning right"
        );
        let half = pieces(&[Step::Arc { to, radius: 350.0, left: true }])[0];
        assert!((half.length() - 350.0 * PI).abs() < 1e-9, "a half circle");
    }

    /// Basis: geometry; the same sagitta gives back the radius, and three points on the unit
    /// circle its centre.
    #[test]
    fn an_arc_goes_through_its_middle_point() {
        let sagitta = 900.0 - f64::sqrt(900.0 * 900.0 - 350.0 * 350.0);
        let (through, to) = (at(350.0, sagitta), at(700.0, 0.0));
        let arc = pieces(&[Step::Through { through, to }])[0];
        assert!((arc.radius().expect("an arc") - 900.0).abs() < 1e-9, "its radius");
        assert!(arc.distance(through) < 1e-9, "it goes through");
        let long = pieces(&[Step::Through { through: at(3.0, 9.0), to: at(0.0, 6.0) }]);
        assert_eq!(long.len(), 2, "more than a half turn is two pieces");
        let passed = long.iter().map(|piece| piece.distance(at(3.0, 9.0)));
        assert!(passed.fold(f64::MAX, f64::min) < 1e-9, "it goes through");
        assert_eq!(long[1].to(), at(0.0, 6.0), "the end exactly");
    }

    /// Basis: geometry; a slope of 54 degrees and its square.
    #[test]
    fn steps_go_on_from_each_other() {
        let walked = pieces(&[
            Step::At { degrees: 90.0, length: 10.0 },
            Step::Square(-5.0),
            Step::By(1.0, 2.0),
            Step::To(at(7.0, 7.0)),
        ]);
        assert_eq!(walked[0].to(), at(0.0, 10.0), "a right angle is exact");
        assert_eq!(walked[1].to(), at(5.0, 10.0), "square to the right");
        assert_eq!(walked[2].to(), at(6.0, 12.0), "by");
        assert_eq!(walked[3].to(), at(7.0, 7.0), "to");
        let slope = pieces(&[Step::At { degrees: 54.0, length: 3.0 }, Step::Square(8.0)]);
        let turn = slope[0].direction(1.0).turn_to(slope[1].direction(0.0));
        assert!((turn - PI / 2.0).abs() < 1e-12, "square to a slope");
    }

    /// Basis: geometry; a rounded square walked by smooth turns comes home, and no joint of
    /// it has a corner.
    #[test]
    fn turns_go_on_smoothly() {
        let turn = Step::Turn { radius: 12.0, degrees: 90.0, left: true };
        let mut steps = vec![Step::At { degrees: 72.0, length: 26.0 }];
        for on in [10.0, 26.0, 10.0] {
            steps.extend([turn.clone(), Step::On(on)]);
        }
        steps.extend([turn, Step::Close]);
        let ring = crate::geom::Loop::new(pieces_of(&steps, true));
        assert_eq!(ring.pieces().len(), 8, "four sides and four corners");
        for index in 0..8 {
            assert!(ring.turn(index).abs() < 1e-12, "joint {index} is smooth");
        }
        let long = Step::Turn { radius: 5.0, degrees: 270.0, left: false };
        let long = pieces(&[Step::By(5.0, 0.0), long]);
        assert_eq!(long.len(), 3, "more than a half turn is two pieces");
        assert!(long[2].to().distance(at(0.0, -5.0)) < 1e-12, "round to the right");
    }

    #[test]
    fn closing_leads_back_once() {
        let back = [Step::By(5.0, 0.0), Step::By(0.0, 5.0), Step::Close];
        let path = walk_path(&walk(&back), true, Paper::MM).expect("a loop");
        assert!(path.closed && path.strokes.len() == 3, "closed by a line");
        let home =
            [Step::By(5.0, 0.0), Step::By(0.0, 5.0), Step::To(at(0.0, 0.0)), Step::Close];
        let path = walk_path(&walk(&home), true, Paper::MM).expect("a loop");
        assert_eq!(path.strokes.len(), 3, "already there: nothing to walk");
    }

    #[test]
    fn faults_name_the_step() {
        let right = Step::By(20.0, 0.0);
        let arc = |radius| Step::Arc { to: at(60.0, 0.0), radius, left: true };
        let through = Step::Through { through: at(30.0, 0.0), to: at(40.0, 0.0) };
        for (steps, closed, id, element) in [
            (vec![Step::Square(5.0)], false, "walk-nothing-before", "outline step 1"),
            (vec![Step::On(5.0)], false, "walk-nothing-before", "outline step 1"),
            (
                vec![right.clone(), Step::Turn { radius: 9.0, degrees: 0.0, left: true }],
                false,
                "walk-turn-out-of-range",
                "outline step 2",
            ),
            (
                vec![right.clone(), arc(19.9)],
                false,
                "walk-radius-too-small",
                "outline step 2",
            ),
            (
                vec![right.clone(), through],
                false,
                "walk-three-on-a-line",
                "outline step 2",
            ),
            (
                vec![right.clone(), Step::By(0.0, 0.0)],
                false,
                "walk-step-without-length",
                "outline step 2",
            ),
            (vec![Step::By(f64::NAN, 0.0)], false, "walk-not-finite", "outline step 1"),
            (
                vec![right.clone(), Step::Close],
                false,
                "walk-close-not-last",
                "outline step 2",
            ),
            (vec![Step::Close], true, "walk-empty", "outline"),
            (vec![right.clone(), Step::By(0.0, 9.0)], true, "walk-open", "outline"),
            (Vec::new(), true, "walk-empty", "outline"),
        ] {
            let problem = fault(&steps, closed);
            assert_eq!(problem.id, id, "{}", problem.found);
            let place = problem.place.expect("a place");
            assert_eq!(place.element.as_deref(), Some(element), "{id}");
            assert!(!problem.hint.is_empty(), "{id} says what to do");
        }
        let near =
            walk_path(&walk(&[Step::By(20.0, 0.0), arc(19.995)]), false, Paper::MM);
        assert!(near.is_ok(), "within a repair, the half circle is meant");
    }
}
