//! The steps from the marked blank to the first pass, in working order: laid on, traced, sawn,
//! openings first, and the template back in its place.

use super::entry::Entry;
use super::leave::{LeaveMap, down_to, room_in_middle, up_to};
use super::{Carried, Part, Saw, Sawn, SetUp, TakeDown, Thick};
use crate::geom::{Loop, Point};
use crate::outline::LoopKind;
use crate::read::{Extra, Role, Station};
use crate::shop::{Face, Shop, defaults};

/// A step before the router.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// From 1, in working order.
    pub number: usize,
    /// Index of the part.
    pub part: usize,
    /// What is done.
    pub task: Task,
}

/// What is done in a step.
#[derive(Debug, Clone, PartialEq)]
pub enum Task {
    /// Template and stock laid to each other.
    Align(Seat),
    /// Holes for pins, through template and stock.
    Pins,
    /// The pencil round the template, KEEP and waste.
    Trace,
    /// The template off.
    TemplateOff,
    /// The hole that lets the bit into an opening.
    Bore {
        /// The loop of the opening.
        on: usize,
        /// Its centre.
        at: Point,
        /// Its width, in mm.
        wide: f64,
    },
    /// The sawing of an opening.
    SawOpening {
        /// Its loop.
        on: usize,
        /// With what.
        saw: Saw,
    },
    /// The sawing of an outside.
    SawOutside {
        /// Its loop.
        on: usize,
        /// With what.
        saw: Saw,
    },
    /// Waste taken down where the saw leaves too much.
    TakeDown {
        /// The place.
        at: Point,
        /// How.
        way: TakeDown,
        /// To what, in mm.
        most: f64,
    },
    /// The template back in its place, and fastened.
    TemplateBack(Seat, Fastening),
    /// A filler in a wide opening for the router's base.
    Fill {
        /// The loop of the opening.
        on: usize,
        /// How wide it may be at most, in mm.
        wide: f64,
        /// Where the base rides in the set-ups by hand.
        under: Under,
    },
}

/// What gives the template its place on the stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seat {
    /// Edges that are true already, against one straight edge.
    TrueEdge,
    /// Anywhere on the blank that leaves waste all round.
    Inside,
}

/// What holds the template.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fastening {
    /// Pins, because it goes to the other face.
    PinsToMove,
    /// Pins, because it has holes for them.
    Pins,
    /// Screws, because there is too little face for tape.
    ScrewsForArea,
    /// Screws, because it would break when it is pried off tape.
    ScrewsForThin,
    /// Tape.
    Tape,
}

/// What the router's base rides on beside an opening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Under {
    /// The part: the filler is as thick as the stock.
    Part,
    /// The template: the filler is as thick as stock and template together.
    Template,
    /// The one in some set-ups, the other in others.
    Both,
}

impl Task {
    /// The word for it in the data.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Align(_) => "align",
            Self::Pins => "pins",
            Self::Trace => "trace",
            Self::TemplateOff => "template off",
            Self::Bore { .. } => "bore",
            Self::SawOpening { .. } => "saw opening",
            Self::SawOutside { .. } => "saw outside",
            Self::TakeDown { .. } => "take down",
            Self::TemplateBack(..) => "template back",
            Self::Fill { .. } => "fill",
        }
    }

    /// Why it is done, and so.
    pub const fn why(&self) -> &'static str {
        match self {
            Self::Align(Seat::TrueEdge) => {
                "the same edge puts the template back in its place after sawing"
            }
            Self::Align(Seat::Inside) => {
                "every edge is routed: no edge of the stock counts"
            }
            Self::Pins => "both while nothing has moved: they alone bring it back true",
            Self::Trace => "the saw follows the pencil, not the template",
            Self::TemplateOff => "a blade that strays must not meet it",
            Self::Bore { .. } => "the bit must turn free before it meets wood",
            Self::SawOpening { .. } => "openings first, while the blank is big to hold",
            Self::SawOutside { .. } => "the router takes a light cut only",
            Self::TakeDown { .. } => "the saw leaves more here than the bit may be given",
            Self::TemplateBack(_, fastening) => fastening.why(),
            Self::Fill { .. } => "the router's base would tip into the opening",
        }
    }
}

impl Fastening {
    const fn why(self) -> &'static str {
        match self {
            Self::PinsToMove => "it goes to the other face and must come back true",
            Self::Pins => "pins do not creep, and bring it back true",
            Self::ScrewsForArea => "there is too little face for tape to hold",
            Self::ScrewsForThin => "so thin a template breaks when it is pried off tape",
            Self::Tape => "there is face enough for tape, and it leaves no holes",
        }
    }
}

/// The steps of all parts, part by part.
pub(super) fn steps(
    parts: &[Part],
    (set_ups, entries): (&[SetUp], &[Entry]),
    (leave, shop): (&LeaveMap, &Shop),
) -> Vec<Step> {
    let mut all = Vec::new();
    let sawn = parts.iter().enumerate().filter(|(index, _)| shop.stock.is_sawn(*index));
    for (index, part) in sawn {
        let ground = Ground { index, part, parts, set_ups, entries, leave, shop };
        for task in ground.tasks() {
            all.push(Step { number: all.len() + 1, part: index, task });
        }
    }
    all
}

/// All that the steps of one part depend on.
struct Ground<'a> {
    index: usize,
    part: &'a Part,
    parts: &'a [Part],
    set_ups: &'a [SetUp],
    entries: &'a [Entry],
    leave: &'a LeaveMap,
    shop: &'a Shop,
}

impl Ground<'_> {
    fn tasks(&self) -> Vec<Task> {
        let (seat, fastening) = (self.seat(), self.fastening());
        let pins = matches!(fastening, Fastening::Pins | Fastening::PinsToMove);
        let mut tasks = vec![Task::Align(seat)];
        tasks.extend(pins.then_some(Task::Pins));
        tasks.extend([Task::Trace, Task::TemplateOff]);
        tasks.extend(self.openings());
        tasks.extend(
            self.sawn(false).map(|it| Task::SawOutside { on: it.on, saw: it.saw }),
        );
        tasks.extend(self.thick());
        tasks.push(Task::TemplateBack(seat, fastening));
        tasks.extend(self.fillers());
        tasks
    }

    fn seat(&self) -> Seat {
        let mut edges = self.part.outline.edges.iter();
        if edges.any(|edge| edge.role == Role::TrueAlready) {
            Seat::TrueEdge
        } else {
            Seat::Inside
        }
    }

    /// What holds the template: by what it must do, its face, its thickness.
    fn fastening(&self) -> Fastening {
        let template = &self.shop.template;
        let is_pin = |extra: &Extra| matches!(extra, Extra::Pin { .. });
        let own = self.part.shared.map_or(self.part, |shared| &self.parts[shared.with]);
        let area: f64 = own.template.iter().map(Loop::area).sum();
        if self.set_ups.iter().any(|it| it.template_face == Face::B) {
            Fastening::PinsToMove
        } else if template.extras.iter().any(is_pin) {
            Fastening::Pins
        } else if area < defaults::TAPED_AREA.value {
            Fastening::ScrewsForArea
        } else if template.thick.mm() < defaults::TAPED_THICK.value {
            Fastening::ScrewsForThin
        } else {
            Fastening::Tape
        }
    }

    /// The saws of this part: of its openings, or of the rest.
    fn sawn(&self, openings: bool) -> impl Iterator<Item = &Sawn> {
        self.leave.sawn.iter().filter(move |sawn| {
            sawn.part == self.index
                && openings == (self.part.guide.kinds[sawn.on] == LoopKind::Opening)
        })
    }

    /// Each opening: the entry hole where the drill that clears it is none already, then the saw.
    fn openings(&self) -> Vec<Task> {
        let mut tasks = Vec::new();
        for &Sawn { on, saw, .. } in self.sawn(true).filter(|it| !self.bored(it)) {
            let own =
                self.entries.iter().filter(|it| it.part == self.index && it.on == on);
            for entry in own.filter(|entry| !opens(saw, entry)) {
                let wide = up_to(entry.least, self.shop.paper.unit);
                let wide = if wide <= entry.most { wide } else { entry.least };
                tasks.push(Task::Bore { on, at: entry.at, wide });
            }
            tasks.push(Task::SawOpening { on, saw });
        }
        tasks
    }

    /// Whether an opening is a hole no larger than any bit in use: the hand list makes it.
    fn bored(&self, sawn: &Sawn) -> bool {
        let bounds = self.part.guide.loops[sawn.on].bounds();
        let wide = bounds.width().max(bounds.height());
        let mut used = self.set_ups.iter().map(|it| self.shop.bits[it.bit].cutter.mm());
        used.all(|cutter| wide <= cutter)
    }

    /// Where the saw leaves too much.
    fn thick(&self) -> impl Iterator<Item = Task> {
        let own = self.leave.thick.iter().filter(|it| it.part == self.index);
        let over = own.filter(|it| it.most < it.left);
        over.map(|&Thick { at, way, most, .. }| Task::TakeDown { at, way, most })
    }

    /// What the base rides on beside a wide opening, in the set-ups by hand.
    fn fillers(&self) -> Vec<Task> {
        let by_hand = || self.set_ups.iter().filter(|it| it.station == Station::Hand);
        let on = |carried| by_hand().any(|it| it.carried_on() == carried);
        let under = match (on(Carried::Part), on(Carried::Template)) {
            (true, true) => Under::Both,
            (false, true) => Under::Template,
            (true, false) => Under::Part,
            (false, false) => return Vec::new(),
        };
        let widths = by_hand().map(|it| self.shop.bits[it.bit].cutter.mm());
        let bit = widths.fold(0.0, f64::max);
        let filler = |sawn: &Sawn| {
            let room = room_in_middle(self.part, sawn.on)?;
            let wide = 2.0 * (room - bit - defaults::FILLER_CLEAR.value);
            let wide = down_to(wide, self.shop.paper.unit);
            (defaults::LEAST_FILLER.value <= wide).then_some(Task::Fill {
                on: sawn.on,
                wide,
                under,
            })
        };
        self.sawn(true).filter(|sawn| sawn.support).filter_map(filler).collect()
    }
}

/// Whether the drill that opens a round opening lets the bit in too.
fn opens(saw: Saw, entry: &Entry) -> bool {
    matches!(saw, Saw::Drill(wide) if entry.least <= wide)
}
