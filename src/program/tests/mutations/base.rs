//! Programs that prove, taken apart into what a mutation needs to know.

use super::super::*;
use super::Mutant;
use crate::units::Unit;

/// One straight or round move of a program, in mm in the program's own frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stroke {
    /// The index of its line.
    pub line: usize,
    pub from: [f64; 3],
    pub to: [f64; 3],
    pub rapid: bool,
    /// An arc's centre, and whether it turns counter-clockwise.
    pub arc: Option<(Point, bool)>,
}

impl Stroke {
    pub(super) fn is_at(&self, level: f64) -> bool {
        (self.from[2] - level).abs() < 0.003 && (self.to[2] - level).abs() < 0.003
    }

    pub(super) fn start(&self) -> Point {
        Point::new(self.from[0], self.from[1])
    }

    pub(super) fn end(&self) -> Point {
        Point::new(self.to[0], self.to[1])
    }
}

/// A program that proves.
pub(super) struct Base {
    pub name: &'static str,
    pub lines: Vec<String>,
    pub promise: Promise,
    pub strokes: Vec<Stroke>,
    /// The program that is the same but for its finishing laps, which climb.
    pub climbing: Climbing,
}

/// The lines of a program whose finishing laps climb.
pub(super) struct Climbing {
    pub lines: Vec<String>,
}

impl Climbing {
    fn new(plan: &Plan, shop: &Shop, dialect: &Dialect) -> Self {
        let mut shop = shop.clone();
        let machine = shop.machine.as_mut().expect("there is one");
        machine.finish = crate::shop::LapWay::Climb;
        let proved = template_program(plan, &shop, dialect, "abc123").expect("it proves");
        Self { lines: proved.text().lines().map(str::to_owned).collect() }
    }

    /// As [`Base::sections`].
    pub(super) fn sections(&self) -> Vec<std::ops::Range<usize>> {
        sections(&self.lines)
    }
}

/// The bases: square and round, with openings that hold tabs and that are cleared, in mm and
/// inches, with arcs and without.
pub(super) fn bases() -> Vec<Base> {
    let plate = || vec![notched(), hole(30.0, 30.0, 20.0), hole(75.0, 30.0, 10.4)];
    let ring = || {
        let centre = Point::new(60.0, 60.0);
        vec![
            Loop::opening(centre, 55.0).reversed(),
            hole(60.0, 60.0, 30.0),
            hole(85.0, 95.0, 8.0),
        ]
    };
    vec![
        Base::new("plate", plate(), "iso-mm"),
        Base::new("plate in inches", plate(), "iso-inch"),
        Base::new("plate in lines", plate(), "iso-mm-lines"),
        Base::new("ring", ring(), "iso-mm"),
    ]
}

impl Base {
    fn new(name: &'static str, loops: Vec<Loop>, post_name: &str) -> Self {
        let shop = shop(machine(6.0));
        let plan = plan(vec![part(loops)]);
        let dialect = post(post_name);
        let proved =
            template_program(&plan, &shop, &dialect, "abc123").expect("it proves");
        let machine = shop.machine.as_ref().expect("there is one");
        let lay = lay(&plan.parts, machine, shop.paper).expect("it can be laid");
        let promise = promise(&plan.parts, &shop, (machine, &lay), &dialect);
        let lines: Vec<String> = proved.text().lines().map(str::to_owned).collect();
        let strokes = strokes(&lines, dialect.units.in_mm());
        let climbing = Climbing::new(&plan, &shop, &dialect);
        Self { name, lines, promise, strokes, climbing }
    }

    /// Millimetres in the program's unit.
    pub(super) fn unit(&self) -> f64 {
        self.promise.dialect.units.in_mm()
    }

    pub(super) fn is_in_mm(&self) -> bool {
        self.promise.dialect.units == Unit::Mm
    }

    /// The level of a cut right through, in the program's frame.
    pub(super) fn bottom(&self) -> f64 {
        -self.promise.thick - self.promise.machine.through.mm()
    }

    pub(super) fn tab_top(&self) -> f64 {
        crate::prove::tab_top(self.promise.thick, &self.promise.machine)
    }

    /// Moves at feed right through the blank.
    pub(super) fn full_depth(&self) -> impl Iterator<Item = &Stroke> {
        self.strokes.iter().filter(|stroke| !stroke.rapid && stroke.is_at(self.bottom()))
    }

    /// A straight edge of the parts as laid that a stroke runs along, as the direction from
    /// the stroke into the part.
    pub(super) fn toward_part(&self, stroke: &Stroke) -> Option<Vector> {
        if stroke.arc.is_some() || stroke.start().distance(stroke.end()) < 1.0 {
            return None;
        }
        let radius = self.promise.machine.end_mill.radius();
        let by = self.promise.work_zero - Point::default();
        let pieces = self.promise.loops.iter().flat_map(|pledge| pledge.drawn.pieces());
        pieces.filter(|piece| matches!(piece, Piece::Line { .. })).find_map(|piece| {
            let (from, to) = (piece.from(), piece.to());
            let into = (to - from).left() * (1.0 / from.distance(to));
            let off = |p: Point| (from - (p + by)).dot(into);
            let along =
                |p: Point| ((p + by) - from).dot(to - from) / (to - from).dot(to - from);
            let beside = [stroke.start(), stroke.end()].iter().all(|&p| {
                (off(p) - radius).abs() < 0.003 && (-0.01..=1.01).contains(&along(p))
            });
            beside.then_some(into)
        })
    }

    /// The lines from a rapid to a place up to the next one, by that rapid: what is cut in one
    /// go.
    pub(super) fn sections(&self) -> Vec<std::ops::Range<usize>> {
        sections(&self.lines)
    }

    /// The mutant with the lines `range` replaced.
    pub(super) fn with(
        &self,
        range: std::ops::Range<usize>,
        new: &[String],
        why: &str,
    ) -> Mutant {
        let mut lines = self.lines.clone();
        let old = lines.get(range.start).cloned().unwrap_or_default();
        lines.splice(range.clone(), new.iter().cloned());
        self.whole(&lines, &format!("{why}, line {} `{old}`", range.start + 1))
    }

    /// The mutant with one line replaced.
    pub(super) fn line(&self, at: usize, new: &str, why: &str) -> Mutant {
        self.with(at..at + 1, &[new.to_owned()], why)
    }

    /// The mutant with these lines.
    #[expect(clippy::unused_self, reason = "reads as the others do")]
    pub(super) fn whole(&self, lines: &[String], why: &str) -> Mutant {
        Mutant { why: why.to_owned(), texts: vec![text(lines)], promise: None }
    }

    /// The program as it is, with another promise.
    pub(super) fn promised(&self, why: &str, change: impl Fn(&mut Promise)) -> Mutant {
        let mut promise = self.promise.clone();
        change(&mut promise);
        Mutant {
            why: why.to_owned(),
            texts: vec![text(&self.lines)],
            promise: Some(Box::new(promise)),
        }
    }

    /// The lines that satisfy a condition.
    pub(super) fn find(&self, what: impl Fn(&str) -> bool) -> Vec<usize> {
        (0..self.lines.len()).filter(|&at| what(&self.lines[at])).collect()
    }
}

fn sections(lines: &[String]) -> Vec<std::ops::Range<usize>> {
    let is_start = |line: &String| line.starts_with("G0 X");
    let starts: Vec<usize> =
        (0..lines.len()).filter(|&at| is_start(&lines[at])).collect();
    let end = lines.iter().position(|line| line == "M5").expect("it has an end");
    let ends = starts.iter().copied().skip(1).chain([end]);
    starts.iter().copied().zip(ends).map(|(from, to)| from..to).collect()
}

pub(super) fn text(lines: &[String]) -> String {
    lines.join("\n") + "\n"
}

/// The number after a letter on a line.
pub(super) fn number(line: &str, letter: char) -> Option<f64> {
    let word = line.split(' ').find(|word| word.starts_with(letter))?;
    word[1..].parse().ok()
}

/// The line with the number after a letter changed by so much.
pub(super) fn changed(line: &str, letter: char, by: f64) -> String {
    let words = line.split(' ').map(|word| match word.strip_prefix(letter) {
        Some(number) => {
            let number: f64 = number.parse().expect("a number");
            format!("{letter}{:.6}", number + by)
        }
        None => word.to_owned(),
    });
    words.collect::<Vec<_>>().join(" ")
}

/// The moves of a program of ours, read the plain way: every word of a place is given.
fn strokes(lines: &[String], unit: f64) -> Vec<Stroke> {
    let mut at = [f64::NAN; 3];
    let mut found = Vec::new();
    for (line, words) in lines.iter().enumerate() {
        let way = words.split(' ').next().unwrap_or("");
        if !["G0", "G1", "G2", "G3"].contains(&way) {
            continue;
        }
        let mut to = at;
        for (axis, letter) in ['X', 'Y', 'Z'].into_iter().enumerate() {
            to[axis] = number(words, letter).map_or(to[axis], |value| value * unit);
        }
        let centre = number(words, 'I').zip(number(words, 'J'));
        let arc = centre
            .map(|(i, j)| (Point::new(at[0] + i * unit, at[1] + j * unit), way == "G3"));
        found.push(Stroke { line, from: at, to, rapid: way == "G0", arc });
        at = to;
    }
    found
}
