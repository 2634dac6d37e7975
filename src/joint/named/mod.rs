//! Joints by name: both halves as drawings with roles, from the stock and a few sizes.
//!
//! Each joint is lines across its stock, walked from the near edge to the far one: half A lies
//! on their left, half B on their right. Sizes that are not given follow the stock by a
//! [`Rule`], whose figure the caller holds.

mod across;

mod lines;

mod rule;

#[cfg(test)]
pub(super) mod tests;

pub(super) use across::ring;
pub use rule::Rule;

use super::border::Border;
use super::mating::{Mating, alike};
use super::parting::Parting;
use super::wedge::Slot;
use crate::diag::{Failure, Problem};
use crate::geom::{Loop, Point, Vector};
use crate::read::{Drawing, JointName, JointWish, Wood};
use crate::units::{MM_PER_INCH, Mm, Paper, Unit};

/// A joint's two halves, and what is known of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// Which joint.
    pub name: JointName,
    /// The drawings of half A and half B, each in a frame with its length along x.
    pub halves: [Drawing; 2],
    /// Both halves in one frame, as they lie when the joint is together.
    pub joined: [Vec<Loop>; 2],
    /// How the halves are alike.
    pub mating: Mating,
    /// The sizes it was drawn by.
    pub sizes: Vec<Size>,
    /// The slot for wedges, where it has one.
    pub slot: Option<Slot>,
    /// How deep the template's cut is: the stock's thickness or, seen on the edge, its width.
    pub through: Option<f64>,
    /// Whether each half is only half as thick where they lie on each other.
    pub halved: bool,
    /// How wide the wood is that crosses its mate's grain, where grain crosses grain.
    pub across: f64,
}

/// What the gap between mating faces is called among the sizes.
pub(super) const GAP: &str = "gap between mating faces";

/// One size of a joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// What it is.
    pub what: &'static str,
    /// How much, in mm; of a slope, 1 in so many.
    pub value: f64,
    /// Whether it is a slope.
    pub is_slope: bool,
    /// The rule it follows; none where it was given or is geometry.
    pub rule: Option<Rule>,
}

/// The stock of a joint, and what wedges need of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointStock {
    /// Its thickness, if known.
    pub thick: Option<f64>,
    /// How wide a slot for wedges is where nothing else is said.
    pub slot: f64,
    /// How far a tusk wedge's slot begins inside the post's face.
    pub set_in: f64,
    /// How what is told of it writes lengths.
    pub paper: Paper,
}

/// What a joint is drawn from.
pub(super) struct Drawer<'a> {
    pub(super) wish: &'a JointWish,
    pub(super) thick: Option<f64>,
    /// The slot for wedges where none is given.
    pub(super) slot: f64,
    /// How far a tusk wedge's slot begins inside the post's face.
    pub(super) set_in: f64,
    paper: Paper,
    rules: &'a dyn Fn(Rule) -> f64,
    pub(super) sizes: Vec<Size>,
}

/// How a joint's lines part its stock.
pub(super) struct Parted {
    /// The line of half A and that of half B, from the near edge to the far one.
    pub(super) lines: [Vec<Corner>; 2],
    /// The stock's length and width as drawn.
    pub(super) board: (f64, f64),
    pub(super) slot: Option<Slot>,
    pub(super) through: Option<f64>,
}

/// A corner of a line, and the name of the edge that leads to it.
pub(super) type Corner = (Point, &'static str);

/// Draws a joint by name.
///
/// `rules` gives the figure of each rule, `title` the job's name.
///
/// # Errors
/// Sizes that leave no wood, each with what would do.
pub fn named(
    wish: &JointWish,
    stock: JointStock,
    rules: &dyn Fn(Rule) -> f64,
    title: &str,
) -> Result<Pair, Failure> {
    let JointStock { thick, slot, set_in, paper } = stock;
    let mut drawer =
        Drawer { wish, thick, slot, set_in, paper, rules, sizes: Vec::new() };
    drawer.follows("width of the stock", wish.width.mm());
    if let Some(thick) = thick {
        drawer.follows("thickness of the stock", thick);
    }
    let parted = lines::parted(&mut drawer)?;
    let clearance = drawer.clearance();
    let border = Border::sized(parted.board);
    let parting = Parting { border, place: &wish.place, title, paper };
    let drawn = [lines::line(&parted.lines[0]), lines::line(&parted.lines[1])];
    let lines = parting.set_in(&drawn, wish.set_in.shares(clearance))?;
    let mut halves = parting.halves(&lines);
    let mut joined = [loops(&halves[0]), loops(&halves[1])];
    let mut mating = alike(border, [&lines[0], &lines[1]]);
    if drawer.is_across() {
        mating.half_turn = None;
        across::complete(&drawer, (&parted, &lines[1]), (&mut halves, &mut joined));
    }
    let halved = matches!(wish.name, JointName::DovetailedLap);
    // Lapped halves are cut to the middle of the stock only.
    let through = if halved { thick.map(|thick| thick / 2.0) } else { parted.through };
    Ok(Pair {
        name: wish.name,
        halves,
        joined,
        mating,
        sizes: drawer.sizes,
        slot: parted.slot,
        through,
        halved,
        across: wish.width.mm(),
    })
}

/// The closed loops of a half made of lines and arcs.
pub(super) fn loops(drawing: &Drawing) -> Vec<Loop> {
    drawing.paths.iter().map(ring).collect()
}

impl Drawer<'_> {
    /// Whether half B lies across half A: its template is drawn in a frame of its own.
    fn is_across(&self) -> bool {
        matches!(self.wish.name, JointName::DovetailedLap | JointName::TuskTenon)
    }

    /// A size that was given, or that follows a rule times `of`.
    fn size(
        &mut self,
        what: &'static str,
        given: Option<f64>,
        (rule, of): (Rule, f64),
    ) -> f64 {
        let value = given.unwrap_or_else(|| self.on_a_rule((self.rules)(rule) * of));
        let rule = given.is_none().then_some(rule);
        self.sizes.push(Size { what, value, is_slope: false, rule });
        value
    }

    /// A size that follows the stock, as the nearest one that a rule shows: half a millimetre,
    /// or a sixteenth of an inch.
    fn on_a_rule(&self, mm: f64) -> f64 {
        let step = match self.paper.unit {
            Unit::Mm => 0.5,
            Unit::Inch => MM_PER_INCH / 16.0,
        };
        (mm / step).round().max(1.0) * step
    }

    /// The slope of a tail.
    fn tail_slope(&mut self) -> f64 {
        let rule = match self.wish.wood {
            Wood::Hard => Rule::TailHard,
            Wood::Soft => Rule::TailSoft,
        };
        let value = self.wish.slope.unwrap_or_else(|| (self.rules)(rule));
        let rule = self.wish.slope.is_none().then_some(rule);
        self.sizes.push(Size { what: "slope of the tail", value, is_slope: true, rule });
        value
    }

    /// A size that follows from the others.
    fn follows(&mut self, what: &'static str, value: f64) {
        self.sizes.push(Size { what, value, is_slope: false, rule: None });
    }

    /// A length as a message writes it.
    fn length(&self, mm: f64) -> String {
        self.paper.length(mm)
    }

    fn figure(&self, rule: Rule) -> f64 {
        (self.rules)(rule)
    }

    fn clearance(&mut self) -> f64 {
        let given = self.wish.clearance.map(Mm::mm);
        let value = given.unwrap_or_else(|| self.figure(Rule::Clearance));
        let rule = given.is_none().then_some(Rule::Clearance);
        self.sizes.push(Size { what: GAP, value, is_slope: false, rule });
        value
    }

    /// A refusal for a size that leaves no wood.
    fn refuse(&self, found: String, hint: String) -> Failure {
        let problem = Problem::stop("joint-leaves-no-wood", found, hint);
        Failure::input(problem.at(self.wish.place.clone()))
    }
}

/// A point moved by a quarter turn clockwise: a piece that stands is laid along x.
pub(super) fn laid(point: Point) -> Point {
    Point::new(point.y, -point.x)
}

/// A way.
pub(super) const fn way(x: f64, y: f64) -> Vector {
    Vector::new(x, y)
}
