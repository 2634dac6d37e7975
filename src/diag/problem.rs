//! A problem: what was found, what was expected, and what to do.

use super::Place;

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
