//! A problem: what was found, what was expected, and what to do.

use super::Place;
use crate::units::Paper;

/// How much a problem weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Something to know.
    Hint,
    /// Something to heed.
    Caution,
    /// Something that stops the step, or the plan.
    Stop,
}

impl Weight {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hint => "hint",
            Self::Caution => "caution",
            Self::Stop => "stop",
        }
    }
}

/// One thing that is wrong, doubtful or worth knowing.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// A stable id in words: `length-without-unit`.
    pub id: &'static str,
    /// How much it weighs.
    pub weight: Weight,
    /// Where it stands, if anywhere.
    pub place: Option<Place>,
    /// What was found: a lowercase fragment without a full stop.
    pub found: String,
    /// What was expected, or nothing.
    pub expected: String,
    /// What to do about it.
    pub hint: String,
}

impl Problem {
    /// A stop with what was found and what to do.
    pub fn stop(
        id: &'static str,
        found: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self::new(id, Weight::Stop, found, hint)
    }

    /// A problem of any weight.
    pub fn new(
        id: &'static str,
        weight: Weight,
        found: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        let (found, hint) = (found.into(), hint.into());
        Self { id, weight, place: None, found, expected: String::new(), hint }
    }

    /// The same problem, with its place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }

    /// Where it stands, as far as its own words do not tell: in which element, on which layer and
    /// at which point of the drawing, or where on the machine.
    ///
    /// ```
    /// use spelch::diag::{Place, Problem, Source};
    /// use spelch::units::Paper;
    /// let place = Place::whole(Source::Drawing, "part.svg").element("path#a").at(3.0, 4.5);
    /// let open = Problem::stop("open", "`path#a` is open", "close it").at(place);
    /// assert_eq!(open.whereabouts(Paper::MM), ["at X 3 mm, Y 4.5 mm"]);
    /// ```
    pub fn whereabouts(&self, paper: Paper) -> Vec<String> {
        let Some(Place { element, layer, at, spot, .. }) = &self.place else {
            return Vec::new();
        };
        let element = element.as_ref().map(|element| ("in", format!("`{element}`")));
        let layer = layer.as_ref().map(|layer| ("on layer", format!("`{layer}`")));
        let point = at.map(|at| paper.point(at)).or_else(|| spot.clone());
        let all =
            [element, layer, point.map(|point| ("at", point))].into_iter().flatten();
        let untold = all.filter(|(_, words)| !self.found.contains(words));
        untold.map(|(how, words)| format!("{how} {words}")).collect()
    }

    /// The same problem, with what was expected.
    #[must_use]
    pub fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = expected.into();
        self
    }
}

/// Problems in the order they were found; never empty where it stands for a failure.
pub type Problems = Vec<Problem>;

/// A value and what was to be said about how it came to be.
#[derive(Debug, Clone)]
pub struct Told<T> {
    /// The value.
    pub value: T,
    /// Cautions and hints.
    pub notes: Problems,
}

/// Why there is no result.
#[derive(Debug, Clone, PartialEq)]
pub enum Failure {
    /// The input or the command is wrong: exit code 2.
    Input(Problems),
    /// The input is sound but no safe or proved plan can be had: exit code 1.
    Refused(Problems),
}

impl Failure {
    /// One input problem.
    pub fn input(problem: Problem) -> Self {
        Self::Input(vec![problem])
    }

    /// One reason to refuse.
    pub fn refused(problem: Problem) -> Self {
        Self::Refused(vec![problem])
    }

    /// The problems, whichever kind it is.
    pub fn problems(&self) -> &[Problem] {
        match self {
            Self::Input(problems) | Self::Refused(problems) => problems,
        }
    }
}

/// A stage's answer: its value with notes, or a failure.
pub type Outcome<T> = Result<Told<T>, Failure>;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Source;
    use crate::units::Unit;

    #[test]
    fn a_place_is_told_once_on_a_drawing_or_on_a_machine() {
        let inch = Paper { unit: Unit::Inch, fraction: 32 };
        let mut place = Place::whole(Source::Drawing, "d.dxf").element("LINE#2F");
        place.layer = Some("CUT".to_owned());
        let open = |found: &str| Problem::stop("open", found, "close it");
        let told = open("a line is open").at(place.clone().at(25.4, 0.0));
        let wanted = ["in `LINE#2F`", "on layer `CUT`", "at X 1 in, Y 0 in"];
        assert_eq!(told.whereabouts(inch), wanted);
        let told = open("`LINE#2F` ends at X 1 in, Y 0 in").at(place.at(25.4, 0.0));
        assert_eq!(told.whereabouts(inch), ["on layer `CUT`"], "the rest is said");
        let mut place = Place::whole(Source::Program, "a.nc");
        place.spot = Some("X 2 mm, Y 3 mm".to_owned());
        let struck = open("the mill strikes a clamp");
        assert_eq!(struck.clone().whereabouts(Paper::MM), [""; 0], "it has no place");
        assert_eq!(struck.at(place).whereabouts(Paper::MM), ["at X 2 mm, Y 3 mm"]);
    }
}
