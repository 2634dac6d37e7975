//! One step of a walk from its words: `right 100`, `arc left 900 to 700, 0 as arch`.

use super::run::Run;
use super::words::{degrees_text, length_text, side_of};
use super::{Checked, Step, Terms};
use crate::diag::{Place, Problem};
use crate::geom::Point;

/// The words of steps: no size can be called by one of them.
pub(super) const WORDS: [&str; 13] = [
    "up", "down", "by", "to", "at", "for", "on", "square", "turn", "arc", "through",
    "close", "as",
];

/// Every form a step can take, for messages.
const FORMS: &str = "`right 100`, `left 20`, `up 35`, `down 5`, `by 10, 5`, `to 100, 40`, `at 54 for 30`, `on 30`, `square 8`, `turn left 40 by 90`, `arc left 900 to 700, 0`, `through 350, 35 to 700, 0` or `close`, each with ` as NAME` behind it if the edge is to have a name";

/// Reads a step and the name it gives its edge.
///
/// # Errors
/// `step-unreadable` with every form a step can take, or what is wrong with one of its lengths.
pub(super) fn step_text(
    text: &str,
    units: Terms<'_>,
    place: &Place,
) -> Checked<(Step, Option<String>)> {
    let (walk, name) = match text.rsplit_once(" as ") {
        Some((walk, name)) => (walk, Some(name.trim())),
        None => (text, None),
    };
    if let Some(name) = name {
        check_name(name, place)?;
    }
    // Small letters of the same length keep every byte in its place.
    let lower = text.to_ascii_lowercase();
    let run = Run::new(&lower[..walk.len()]).trim();
    let words = Words { text, units, place };
    let (verb, rest) = run.split(" ").unwrap_or((run, Run::new("")));
    let step = words.step(verb.text(), rest)?;
    Ok((step, name.map(str::to_owned)))
}

/// A name that could not be told from a side, or is none, is refused.
pub(super) fn check_name(name: &str, place: &Place) -> Checked<()> {
    let hint = "name the edge after what it is: `as arch`, `as shoulder`";
    let found = if name.is_empty() {
        "a name is missing behind `as`".to_owned()
    } else if side_of(name).is_some() {
        format!("`{name}` is the word for a side, so no edge can be named that")
    } else {
        return Ok(());
    };
    Err(Problem::stop("edge-name-taken", found, hint).at(place.clone()).into())
}

/// The step being read.
#[derive(Debug, Clone, Copy)]
struct Words<'a> {
    text: &'a str,
    units: Terms<'a>,
    place: &'a Place,
}

impl Words<'_> {
    fn step(self, verb: &str, rest: Run<'_>) -> Checked<Step> {
        match verb {
            "right" => Ok(Step::By(self.length(rest)?, 0.0)),
            "left" => Ok(Step::By(-self.length(rest)?, 0.0)),
            "up" => Ok(Step::By(0.0, self.length(rest)?)),
            "down" => Ok(Step::By(0.0, -self.length(rest)?)),
            "by" => {
                let way = self.point(rest)?;
                Ok(Step::By(way.x, way.y))
            }
            "to" => Ok(Step::To(self.point(rest)?)),
            "at" => {
                let (degrees, length) = self.halves(rest, " for ")?;
                Ok(Step::At {
                    degrees: self.degrees(degrees)?,
                    length: self.length(length)?,
                })
            }
            "on" => Ok(Step::On(self.length(rest)?)),
            "square" => Ok(Step::Square(self.length(rest)?)),
            "turn" => {
                let (turn, degrees) = self.halves(rest, " by ")?;
                let (left, radius) = self.side_and_radius(turn)?;
                Ok(Step::Turn { radius, degrees: self.degrees(degrees)?, left })
            }
            "arc" => self.arc(rest),
            "through" => {
                let (through, to) = self.halves(rest, " to ")?;
                let (through, to) = (self.point(through)?, self.point(to)?);
                Ok(Step::Through { through, to })
            }
            "close" if rest.text().is_empty() => Ok(Step::Close),
            _ => Err(self.unreadable()),
        }
    }

    fn arc(self, rest: Run<'_>) -> Checked<Step> {
        let (turn, to) = self.halves(rest, " to ")?;
        let (left, radius) = self.side_and_radius(turn)?;
        Ok(Step::Arc { to: self.point(to)?, radius, left })
    }

    fn side_and_radius(self, turn: Run<'_>) -> Checked<(bool, f64)> {
        let (side, radius) = self.halves(turn, " ")?;
        match side.text() {
            "left" => Ok((true, self.length(radius)?)),
            "right" => Ok((false, self.length(radius)?)),
            _ => Err(self.unreadable()),
        }
    }

    fn halves<'r>(self, rest: Run<'r>, at: &str) -> Checked<(Run<'r>, Run<'r>)> {
        rest.split(at).ok_or_else(|| self.unreadable())
    }

    fn point(self, text: Run<'_>) -> Checked<Point> {
        let (x, y) = self.halves(text, ",")?;
        Ok(Point::new(self.length(x)?, self.length(y)?))
    }

    fn degrees(self, run: Run<'_>) -> Checked<f64> {
        let place = self.place.within(run.range(), self.text.len());
        degrees_text(run.text(), self.units, &place)
    }

    fn length(self, run: Run<'_>) -> Checked<f64> {
        if run.text().is_empty() {
            return Err(self.unreadable());
        }
        let place = self.place.within(run.range(), self.text.len());
        Ok(length_text(run.text(), self.units, &place)?.mm())
    }

    fn unreadable(self) -> Box<Problem> {
        let found = format!("`{}` is no step", self.text);
        let hint = format!("write a step as {FORMS}");
        Problem::stop("step-unreadable", found, hint).at(self.place.clone()).into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Source;
    use crate::units::Unit;

    fn read(text: &str) -> Checked<(Step, Option<String>)> {
        step_text(text, Some(Unit::Mm).into(), &Place::whole(Source::Job, "job.toml"))
    }

    #[test]
    fn every_form_of_a_step_is_read() {
        let at = Point::new;
        for (text, step) in [
            ("right 100", Step::By(100.0, 0.0)),
            ("left 20", Step::By(-20.0, 0.0)),
            ("Up 35mm", Step::By(0.0, 35.0)),
            ("down 1/2in", Step::By(0.0, -12.7)),
            ("by 10, -5", Step::By(10.0, -5.0)),
            ("to 1in, 40", Step::To(at(25.4, 40.0))),
            ("at -54.5 for 30", Step::At { degrees: -54.5, length: 30.0 }),
            ("at 180 - 360 / 5 for 30", Step::At { degrees: 108.0, length: 30.0 }),
            ("at -(90 - 35.5)deg for 30", Step::At { degrees: -54.5, length: 30.0 }),
            ("square -8", Step::Square(-8.0)),
            ("on 30", Step::On(30.0)),
            (
                "turn right 1/2in by 82.5",
                Step::Turn { radius: 12.7, degrees: 82.5, left: false },
            ),
            (
                "arc left 900 to 700, 0",
                Step::Arc { to: at(700.0, 0.0), radius: 900.0, left: true },
            ),
            (
                "through 350, 35 to 700, 0",
                Step::Through { through: at(350.0, 35.0), to: at(700.0, 0.0) },
            ),
            ("close", Step::Close),
        ] {
            assert_eq!(read(text).expect(text), (step, None), "{text}");
        }
        let (_, name) = read("to 5, 5 as Long shoulder").expect("a named step");
        assert_eq!(name.as_deref(), Some("Long shoulder"), "the name keeps its letters");
    }

    #[test]
    fn what_is_no_step_is_refused_with_all_forms() {
        for text in ["", "fly 3", "right", "to 5", "arc 5 to 1, 2", "close 3", "at 5"] {
            let problem = read(text).expect_err(text);
            assert_eq!(problem.id, "step-unreadable", "{text}");
            assert!(problem.hint.contains("arc left"), "all forms are shown");
        }
        for (text, id) in [
            ("at 5mm for 30", "sum-not-a-number"),
            ("at 5 / 0 for 30", "sum-divides-by-zero"),
            ("at 1e999 for 30", "angle-unreadable"),
            ("turn left 3 by ", "step-unreadable"),
            ("turn left 3 by % ", "angle-unreadable"),
        ] {
            assert_eq!(read(text).expect_err(text).id, id, "{text}");
        }
        assert_eq!(read("right 3 as left").expect_err("a side").id, "edge-name-taken");
        let bare =
            step_text("right 3", None.into(), &Place::whole(Source::Job, "job.toml"));
        assert_eq!(bare.expect_err("no unit").id, "length-without-unit");
    }
}
