//! One step of a walk from its words: `right 100`, `arc left 900 to 700, 0 as arch`.

use super::words::{degrees_text, length_text, side_of};
use super::{Checked, Step};
use crate::diag::{Place, Problem};
use crate::geom::Point;
use crate::units::Unit;

/// Every form a step can take, for messages.
const FORMS: &str = "`right 100`, `left 20`, `up 35`, `down 5`, `by 10, 5`, `to 100, 40`, `at 54 for 30`, `on 30`, `square 8`, `turn left 40 by 90`, `arc left 900 to 700, 0`, `through 350, 35 to 700, 0` or `close`, each with ` as NAME` behind it if the edge is to have a name";

/// Reads a step and the name it gives its edge.
///
/// # Errors
/// `step-unreadable` with every form a step can take, or what is wrong with one of its lengths.
pub(super) fn step_text(
    text: &str,
    units: Option<Unit>,
    place: &Place,
) -> Checked<(Step, Option<String>)> {
    let (walk, name) = match text.rsplit_once(" as ") {
        Some((walk, name)) => (walk, Some(name.trim())),
        None => (text, None),
    };
    if let Some(name) = name {
        check_name(name, place)?;
    }
    let walk = walk.trim().to_lowercase();
    let (verb, rest) = walk.split_once(char::is_whitespace).unwrap_or((&walk, ""));
    let words = Words { text, units, place };
    let step = words.step(verb, rest.trim())?;
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
    units: Option<Unit>,
    place: &'a Place,
}

impl Words<'_> {
    fn step(self, verb: &str, rest: &str) -> Checked<Step> {
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
                let degrees = degrees_text(degrees, self.place)?;
                Ok(Step::At { degrees, length: self.length(length)? })
            }
            "on" => Ok(Step::On(self.length(rest)?)),
            "square" => Ok(Step::Square(self.length(rest)?)),
            "turn" => {
                let (turn, degrees) = self.halves(rest, " by ")?;
                let (left, radius) = self.side_and_radius(turn)?;
                let degrees = degrees_text(degrees, self.place)?;
                Ok(Step::Turn { radius, degrees, left })
            }
            "arc" => self.arc(rest),
            "through" => {
                let (through, to) = self.halves(rest, " to ")?;
                let (through, to) = (self.point(through)?, self.point(to)?);
                Ok(Step::Through { through, to })
            }
            "close" if rest.is_empty() => Ok(Step::Close),
            _ => Err(self.unreadable()),
        }
    }

    fn arc(self, rest: &str) -> Checked<Step> {
        let (turn, to) = self.halves(rest, " to ")?;
        let (left, radius) = self.side_and_radius(turn)?;
        Ok(Step::Arc { to: self.point(to)?, radius, left })
    }

    fn side_and_radius(self, turn: &str) -> Checked<(bool, f64)> {
        let (side, radius) = self.halves(turn, " ")?;
        match side {
            "left" => Ok((true, self.length(radius)?)),
            "right" => Ok((false, self.length(radius)?)),
            _ => Err(self.unreadable()),
        }
    }

    fn halves<'r>(self, rest: &'r str, at: &str) -> Checked<(&'r str, &'r str)> {
        let (first, second) = rest.split_once(at).ok_or_else(|| self.unreadable())?;
        Ok((first.trim(), second.trim()))
    }

    fn point(self, text: &str) -> Checked<Point> {
        let (x, y) = self.halves(text, ",")?;
        Ok(Point::new(self.length(x)?, self.length(y)?))
    }

    fn length(self, text: &str) -> Checked<f64> {
        if text.is_empty() {
            return Err(self.unreadable());
        }
        Ok(length_text(text, self.units, self.place)?.mm())
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

    fn read(text: &str) -> Checked<(Step, Option<String>)> {
        step_text(text, Some(Unit::Mm), &Place::whole(Source::Job, "job.toml"))
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
        assert_eq!(read("right 3 as left").expect_err("a side").id, "edge-name-taken");
        let bare = step_text("right 3", None, &Place::whole(Source::Job, "job.toml"));
        assert_eq!(bare.expect_err("no unit").id, "length-without-unit");
    }
}
