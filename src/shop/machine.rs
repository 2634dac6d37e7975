//! The small CNC, completed: defaults filled in, nonsense refused.

use super::fill::{more_than_zero, place};
use super::machine_problems::{
    deep_allowance, deep_scribe, no_end_mill, no_narrower, odd_chip, odd_kerf, thin_skin,
    through_too_deep, too_fast, travels_too_low,
};
use super::speed::mill_speed;
use super::{Axes, defaults, light_chip, rim_limit};
use crate::diag::{Place, Problem, Problems, Weight};
use crate::geom::{Bounds, Loop, Point};
use crate::read::{
    Bottom, Cut, Hidden, KeepOutWish, MachineWish, Material, RecessShape, RecessWish,
    WorkZero, ZZero,
};
use crate::units::{Diameter, Mm, Paper};

/// The small CNC that cuts the template, or the part itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// The end mill: how wide it cuts.
    pub end_mill: Diameter,
    /// How wide the end mill is by itself, where it is known that it cuts wider.
    pub bare: Option<Diameter>,
    /// A smaller end mill for the openings that it does not enter, measured.
    pub small_mill: Option<Diameter>,
    /// What it cuts out of its blank.
    pub cut: Cut,
    /// What is left for the finishing lap.
    pub allowance: Mm,
    /// The inside corners that are relieved, each with where that was asked.
    pub relieve: Vec<(Hidden, Place)>,
    /// Whether marks are scribed on the template's face.
    pub scribe: bool,
    /// How wide a line the point makes that scribes them; without one the end mill does it.
    pub scribe_point: Option<Diameter>,
    /// How deep marks are scribed.
    pub scribe_depth: Mm,
    /// Which way round the finishing lap goes.
    pub finish: LapWay,
    /// How its axes run, where a program makes up for that.
    pub axes: Option<Axes>,
    /// How fast it moves where it does not cut.
    pub rates: Rates,
    /// How many flutes it has.
    pub flutes: u32,
    /// What it cuts.
    pub material: Material,
    /// The blank along x and y, if it was given; else the template's bounds and a margin.
    pub blank: Option<(Mm, Mm)>,
    /// Where X and Y are zero.
    pub zero: WorkZero,
    /// Where Z is zero.
    pub z_zero: ZZero,
    /// The height above the blank at which the tool may travel.
    pub clear: Mm,
    /// Feed, in mm a minute.
    pub feed: f64,
    /// Plunge feed, in mm a minute.
    pub plunge: f64,
    /// Turns a minute.
    pub rpm: f64,
    /// How far down it cuts.
    pub bottom: Bottom,
    /// How far the mill goes into the waste board.
    pub through: Mm,
    /// The skin it leaves under what tabs do not hold.
    pub skin: Mm,
    /// What stands of a tab at its narrowest place.
    pub tab_neck: Mm,
    /// How high a tab stands above the underside.
    pub tab_high: Mm,
    /// Whether the box of the path is shown in the air first.
    pub air_pass: bool,
    /// Whether the outline is scratched first.
    pub scratch_pass: bool,
    /// What holds the end mill.
    pub holder: Holder,
    /// Clamps and screws.
    pub keep_outs: Vec<KeepOut>,
    /// What is cleared to a depth.
    pub recesses: Vec<Recess>,
}

/// Which way round a lap goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LapWay {
    /// Against the tooth: play in the machine does no harm.
    Conventional,
    /// With the tooth: only on a machine without play.
    Climb,
}

/// What turns in the collet; a program has one. In the order in which they run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tool {
    /// The point that scribes marks.
    Point,
    /// The smaller end mill, for openings that the other does not enter.
    SmallMill,
    /// The end mill.
    EndMill,
}

impl Tool {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Point => "scribing point",
            Self::SmallMill => "smaller end mill",
            Self::EndMill => "end mill",
        }
    }
}

/// How fast a machine moves where it does not cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// How fast it speeds up and slows down, in mm/s2.
    pub acceleration: f64,
    /// How fast it travels above the work, in mm a minute.
    pub travel: f64,
    /// How fast it travels up and down, in mm a minute.
    pub travel_z: f64,
}

/// What holds the end mill: three cylinders, one above the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holder {
    /// How far the mill stands out of the nut.
    pub stick_out: Mm,
    /// The collet nut's width.
    pub nut_wide: Mm,
    /// The collet nut's height.
    pub nut_high: Mm,
    /// The spindle's width, above the nut.
    pub spindle_wide: Mm,
}

/// Something the machine must keep clear of.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepOut {
    /// What it is.
    pub name: String,
    /// Where it stands from the program's zero, by a rule or by the display.
    pub area: Bounds,
    /// How high it stands above the blank.
    pub high: Mm,
}

/// A part of the template's face that is cleared to a depth.
#[derive(Debug, Clone, PartialEq)]
pub struct Recess {
    /// What it is for.
    pub name: String,
    /// Its border as drawn, as an opening.
    pub ring: Loop,
    /// How deep it is.
    pub depth: Mm,
}

impl Machine {
    /// A machine with this end mill, of which nothing else was said.
    pub fn new(end_mill: Diameter) -> Self {
        let rpm = defaults::MACHINE_SPEED.value.min(rim_limit(end_mill));
        let material = Material::Plywood;
        let flutes = 2;
        Self {
            end_mill,
            bare: None,
            small_mill: None,
            cut: Cut::Template,
            allowance: Mm::of(defaults::ALLOWANCE.value),
            relieve: Vec::new(),
            scribe: false,
            scribe_point: None,
            scribe_depth: Mm::of(defaults::SCRIBE_DEPTH.value),
            finish: LapWay::Conventional,
            axes: None,
            rates: Rates {
                acceleration: defaults::ACCELERATION.value,
                travel: defaults::TRAVEL_RATE.value,
                travel_z: defaults::TRAVEL_RATE_Z.value,
            },
            flutes,
            material,
            blank: None,
            zero: WorkZero::Corner,
            z_zero: ZZero::Top,
            clear: Mm::of(defaults::CLEAR.value),
            feed: feed(rpm, flutes, light_chip(end_mill, material))
                .min(defaults::MOST_FEED.value),
            plunge: defaults::PLUNGE.value,
            rpm,
            bottom: Bottom::Through,
            through: Mm::of(defaults::THROUGH.value),
            skin: Mm::of(defaults::SKIN.value),
            tab_neck: Mm::of(defaults::TAB_NECK.value),
            tab_high: Mm::of(defaults::TAB_HEIGHT.value),
            air_pass: false,
            scratch_pass: false,
            holder: Holder {
                stick_out: Mm::of(defaults::STICK_OUT.value),
                nut_wide: Mm::of(defaults::NUT_WIDE.value),
                nut_high: Mm::of(defaults::NUT_HIGH.value),
                spindle_wide: Mm::of(defaults::SPINDLE_WIDE.value),
            },
            keep_outs: Vec::new(),
            recesses: Vec::new(),
        }
    }

    /// The machine with this tool in its collet, a narrower one fed no faster; `None` where it
    /// has no such tool.
    pub fn with(&self, tool: Tool) -> Option<Self> {
        let wide = match tool {
            Tool::Point => self.scribe_point.filter(|_| self.scribe)?,
            Tool::SmallMill => self.small_mill?,
            Tool::EndMill => return Some(self.clone()),
        };
        let chip = light_chip(wide, self.material);
        let feed = feed(self.rpm, self.flutes, chip).min(self.feed);
        let plunge = self.plunge.min(feed);
        Some(Self { end_mill: wide, feed, plunge, ..self.clone() })
    }

    /// Where everything that it must keep clear of stands on the wood, from the program's zero.
    pub fn stand(&self) -> impl Iterator<Item = Bounds> + '_ {
        self.keep_outs.iter().map(|keep_out| match &self.axes {
            Some(axes) => axes.stands(keep_out.area),
            None => keep_out.area,
        })
    }

    /// Whether it cuts the part itself.
    pub const fn cuts_part(&self) -> bool {
        matches!(self.cut, Cut::Part)
    }

    /// The word for what it cuts out of its blank.
    pub const fn cuts(&self) -> &'static str {
        match self.cut {
            Cut::Template => "template",
            Cut::Part => "part",
        }
    }

    /// Whether it cuts a part of solid wood: its finishing lap goes by the grain.
    pub const fn cuts_wood(&self) -> bool {
        self.cuts_part()
            && matches!(self.material, Material::Softwood | Material::Hardwood)
    }

    /// How steep uphill, in degrees, the finishing lap may climb in solid wood.
    ///
    /// Basis: geometry, on a straight edge: a climb lets the thick chip meet the grain at the
    /// engagement angle more, and cures while that is no more than along the grain.
    pub fn steepest_climb(&self) -> f64 {
        let cosine = 1.0 - self.allowance.mm() / self.end_mill.radius();
        libm::acos(cosine.clamp(-1.0, 1.0)).to_degrees() + crate::grain::ALONG
    }

    /// How deep a tool marks the centre of a hole that is left to the drill.
    pub fn dimple_depth(&self, tool: Tool) -> f64 {
        let deep = self.scribe_depth.mm();
        match tool {
            Tool::Point => deep,
            Tool::SmallMill | Tool::EndMill => deep.min(defaults::MOST_DIMPLE.value),
        }
    }

    /// How deep it cuts a blank of this thickness, above its top.
    pub fn deepest(&self, thick: f64) -> f64 {
        match self.bottom {
            Bottom::Through => -thick - self.through.mm(),
            Bottom::Skin => self.skin_level(thick),
        }
    }

    /// The level of a skin's top, above the blank's top.
    pub fn skin_level(&self, thick: f64) -> f64 {
        self.skin.mm() - thick
    }

    /// The chip that feed, turns and flutes make, in mm a tooth.
    pub fn chip(&self) -> f64 {
        self.feed / (self.rpm * f64::from(self.flutes))
    }

    /// How fast the end mill's rim goes, in m/s.
    pub fn rim(&self) -> f64 {
        std::f64::consts::PI * self.end_mill.mm() * self.rpm / 60_000.0
    }
}

/// Turns times flutes times chip, in whole mm a minute and never more.
fn feed(rpm: f64, flutes: u32, chip: f64) -> f64 {
    (rpm * f64::from(flutes) * chip + 1e-6).floor().max(1.0)
}

/// What is wrong with what is asked of a machine, in the job's units.
struct Doubts<'a> {
    wrong: &'a mut Problems,
    paper: Paper,
}

/// The machine, if there is an end mill; told are what is wrong and what to know.
pub(super) fn machine(
    wish: &MachineWish,
    paper: Paper,
    (wrong, notes): (&mut Problems, &mut Problems),
) -> Option<Machine> {
    let Some(end_mill) = wish.end_mill else {
        if *wish != MachineWish::default() {
            notes.push(no_end_mill());
        }
        return None;
    };
    let doubts = &mut Doubts { wrong, paper };
    let mut machine = Machine::new(end_mill);
    machine.zero = wish.zero.unwrap_or(machine.zero);
    machine.z_zero = wish.z_zero.unwrap_or(machine.z_zero);
    machine.air_pass = wish.air_pass.unwrap_or(machine.air_pass);
    machine.scratch_pass = wish.scratch_pass.unwrap_or(machine.scratch_pass);
    machine.blank = wish.blank.filter(|&(along_x, along_y)| {
        let x = more_than_zero(along_x, "blank", doubts.wrong);
        more_than_zero(along_y, "blank", doubts.wrong) && x
    });
    machine.cut = wish.cut.unwrap_or_default();
    machine.relieve.clone_from(&wish.relieve);
    machine.feeds(wish, doubts);
    machine.depths(wish, doubts);
    machine.hold(wish, doubts);
    machine.further(wish, doubts);
    machine.recesses = wish.recesses.iter().map(recess).collect();
    match odd_chip(&machine, paper) {
        Some(breaks) if breaks.weight == Weight::Stop => doubts.wrong.push(breaks),
        odd => notes.extend(odd),
    }
    Some(machine)
}

/// A length asked for, where it is more than zero, or the default.
fn or((key, wish): (&str, Option<Mm>), default: f64, doubts: &mut Doubts<'_>) -> Mm {
    let sound = wish.filter(|&it| more_than_zero(it, key, doubts.wrong));
    sound.unwrap_or_else(|| Mm::of(default))
}

impl Machine {
    /// Turns, flutes, chip and feeds.
    fn feeds(&mut self, wish: &MachineWish, doubts: &mut Doubts<'_>) {
        self.rpm = mill_speed(wish, self.end_mill, doubts.wrong);
        self.flutes = wish.flutes.unwrap_or(self.flutes);
        let usual = if self.cuts_part() { Material::Hardwood } else { self.material };
        self.material = wish.material.unwrap_or(usual);
        let most = defaults::MOST_FEED.value;
        let most = or(("feed-most", wish.feed_most), most, doubts).mm();
        let chip = light_chip(self.end_mill, self.material);
        let chip = or(("chip", wish.chip), chip, doubts).mm();
        let reckoned = feed(self.rpm, self.flutes, chip).min(most);
        self.feed = or(("feed", wish.feed), reckoned, doubts).mm();
        let plunge = self.plunge.min(self.feed);
        self.plunge = or(("plunge", wish.plunge), plunge, doubts).mm();
        for asked in [("feed", self.feed), ("plunge", self.plunge)] {
            if most < asked.1 {
                doubts.wrong.push(too_fast(asked, most, doubts.paper));
            }
        }
        self.plunge = self.plunge.min(self.feed);
    }

    /// How far down it cuts, and what it leaves.
    fn depths(&mut self, wish: &MachineWish, doubts: &mut Doubts<'_>) {
        self.bottom = wish.bottom.unwrap_or(self.bottom);
        self.through = or(("through", wish.through), self.through.mm(), doubts);
        if defaults::MOST_THROUGH.value < self.through.mm() {
            doubts.wrong.push(through_too_deep(self.through.mm(), doubts.paper));
        }
        self.skin = or(("skin", wish.skin), self.skin.mm(), doubts);
        if self.skin.mm() < defaults::LEAST_SKIN.value {
            doubts.wrong.push(thin_skin(self.skin.mm(), doubts.paper));
        }
        let most = self.end_mill.mm() * defaults::MOST_ALLOWANCE.value;
        let usual =
            if self.cuts_wood() { defaults::PART_ALLOWANCE } else { defaults::ALLOWANCE };
        let allowance = usual.value.min(most);
        self.allowance = or(("allowance", wish.allowance), allowance, doubts);
        if most < self.allowance.mm() {
            doubts.wrong.push(deep_allowance(self, doubts.paper));
        }
        let neck = ("tab-neck", wish.tab_neck, self.tab_neck);
        self.tab_neck = tab(neck, &defaults::LEAST_NECK, doubts);
        let high = ("tab-high", wish.tab_high, self.tab_high);
        self.tab_high = tab(high, &defaults::LEAST_TAB_HEIGHT, doubts);
    }

    /// Further tools and marks, the way round, and how it moves.
    fn further(&mut self, wish: &MachineWish, doubts: &mut Doubts<'_>) {
        if let Some(kerf) = wish.kerf {
            let apart = (kerf.mm() - self.end_mill.mm()).abs();
            if defaults::MOST_WIDER.value < apart {
                doubts.wrong.push(odd_kerf(apart, doubts.paper));
            }
            self.bare = Some(self.end_mill);
            self.end_mill = kerf;
        }
        self.small_mill = wish.small_mill;
        self.scribe_point = wish.scribe_point;
        for (key, tool) in
            [("small-mill", self.small_mill), ("scribe-point", self.scribe_point)]
        {
            doubts
                .wrong
                .extend(tool.and_then(|tool| no_narrower(key, tool, self.end_mill)));
        }
        self.scribe = wish.scribe.unwrap_or(self.scribe_point.is_some());
        let depth = ("scribe-depth", wish.scribe_depth);
        self.scribe_depth = or(depth, self.scribe_depth.mm(), doubts);
        if defaults::MOST_SCRIBE.value < self.scribe_depth.mm() {
            doubts.wrong.push(deep_scribe(self.scribe_depth.mm(), doubts.paper));
        }
        if wish.climb_finish == Some(true) {
            self.finish = LapWay::Climb;
        }
        let rates = &mut self.rates;
        for (key, wish, rate) in [
            ("acceleration", wish.acceleration, &mut rates.acceleration),
            ("travel-rate", wish.travel_rate, &mut rates.travel),
            ("travel-rate-z", wish.travel_rate_z, &mut rates.travel_z),
        ] {
            *rate = or((key, wish), *rate, doubts).mm();
        }
    }

    /// What holds mill and blank, and how high it travels above that.
    fn hold(&mut self, wish: &MachineWish, doubts: &mut Doubts<'_>) {
        self.holder = holder(wish, self.holder, doubts);
        self.keep_outs = wish.keep_outs.iter().map(keep_out).collect();
        let highest = self.keep_outs.iter().map(|it| it.high.mm()).fold(0.0, f64::max);
        let over = highest + defaults::KEEP_OUT_MARGIN.value;
        let clear = self.clear.mm().max(over);
        self.clear = or(("clear", wish.clear), clear, doubts);
        if self.clear.mm() < over && !self.keep_outs.is_empty() {
            doubts.wrong.push(travels_too_low(self.clear.mm(), over, doubts.paper));
        }
    }
}

/// A size of the tabs: as asked, no less than holds.
fn tab(
    (key, wish, plain): (&str, Option<Mm>, Mm),
    least: &defaults::Default,
    doubts: &mut Doubts<'_>,
) -> Mm {
    let size = wish.unwrap_or(plain);
    if size.mm() < least.value {
        let paper = doubts.paper;
        let size = paper.measured(size.mm());
        let found = format!("`{key}` is {size}: such a tab does not hold");
        let hint = format!("give `{key}` as at least {}", paper.measured(least.value));
        doubts.wrong.push(Problem::stop("tab-too-small", found, hint).at(place(key)));
    }
    size
}

/// What holds the end mill.
fn holder(wish: &MachineWish, plain: Holder, doubts: &mut Doubts<'_>) -> Holder {
    Holder {
        stick_out: or(("stick-out", wish.stick_out), plain.stick_out.mm(), doubts),
        nut_wide: or(("nut-wide", wish.nut_wide), plain.nut_wide.mm(), doubts),
        nut_high: or(("nut-high", wish.nut_high), plain.nut_high.mm(), doubts),
        spindle_wide: or(
            ("spindle-wide", wish.spindle_wide),
            plain.spindle_wide.mm(),
            doubts,
        ),
    }
}

fn recess(wish: &RecessWish) -> Recess {
    let ring = match wish.shape {
        RecessShape::Round(at, wide) => Loop::opening(at, wide.radius()),
        RecessShape::Square(low, size) => {
            let high = Point::new(low.x + size.x, low.y + size.y);
            let corners =
                [low, Point::new(low.x, high.y), high, Point::new(high.x, low.y)];
            Loop::polygon(&corners)
        }
    };
    Recess { name: wish.name.clone(), ring, depth: wish.depth }
}

fn keep_out(wish: &KeepOutWish) -> KeepOut {
    let high = Point::new(wish.at.x + wish.size.x, wish.at.y + wish.size.y);
    let area = Bounds { low: wish.at, high };
    KeepOut { name: wish.name.clone(), area, high: wish.high }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn made(wish: MachineWish) -> Result<(Machine, Problems), Problems> {
        let end_mill = Diameter::new(Mm::of(6.35));
        let (mut wrong, mut notes) = (Vec::new(), Vec::new());
        let wish = MachineWish { end_mill, ..wish };
        let machine = machine(&wish, Paper::MM, (&mut wrong, &mut notes));
        let machine = machine.expect("there is an end mill");
        if wrong.is_empty() { Ok((machine, notes)) } else { Err(wrong) }
    }

    /// Basis: geometry: 10000 turns, 2 flutes, 0.35 of 0.15 mm.
    #[test]
    fn feed_is_turns_times_flutes_times_chip() {
        let (machine, notes) = made(MachineWish::default()).expect("it is sound");
        assert!((machine.feed - 1050.0).abs() < 1e-6, "{}", machine.feed);
        assert!(notes.is_empty(), "{notes:?}");
        let wish = MachineWish {
            flutes: Some(1),
            rpm: Some(18000.0),
            chip: Some(Mm::of(0.1)),
            ..MachineWish::default()
        };
        let (machine, _) = made(wish).expect("it is sound");
        assert!((machine.feed - 1800.0).abs() < 1e-6, "{}", machine.feed);
    }

    #[test]
    fn the_machines_most_and_the_mark_on_the_mill_hold() {
        let most = Some(Mm::of(600.0));
        let (machine, _) =
            made(MachineWish { feed_most: most, ..MachineWish::default() })
                .expect("it is sound");
        assert!((machine.feed - 600.0).abs() < 1e-9, "held to the most");
        let feed = Some(Mm::of(900.0));
        let wrong = made(MachineWish { feed_most: most, feed, ..MachineWish::default() });
        assert_eq!(wrong.expect_err("too fast")[0].id, "feed-over-most", "as asked");
        let marked_speed = Some(8000.0);
        let (machine, _) = made(MachineWish { marked_speed, ..MachineWish::default() })
            .expect("it is sound");
        assert!((machine.rpm - 8000.0).abs() < 1e-9, "the mark holds");
        let rpm = Some(9000.0);
        let wrong = made(MachineWish { marked_speed, rpm, ..MachineWish::default() });
        assert_eq!(wrong.expect_err("too fast")[0].id, "speed-out-of-range", "the mark");
    }

    #[test]
    fn it_travels_above_every_keep_out() {
        let clamp = KeepOutWish {
            name: "clamp".to_owned(),
            at: Point::new(10.0, 20.0),
            size: Point::new(40.0, 20.0),
            high: Mm::of(30.0),
        };
        let keep_outs = vec![clamp];
        let wish = MachineWish { keep_outs, ..MachineWish::default() };
        let (machine, _) = made(wish.clone()).expect("it is sound");
        assert!((machine.clear.mm() - 32.0).abs() < 1e-9, "{:?}", machine.clear);
        assert!((machine.keep_outs[0].area.high.x - 50.0).abs() < 1e-9, "its size");
        let low = made(MachineWish { clear: Some(Mm::of(20.0)), ..wish });
        assert_eq!(low.expect_err("too low")[0].id, "clear-under-keep-out", "as asked");
    }

    #[test]
    fn a_tab_that_would_not_hold_is_refused() {
        let size = |mm: f64| Some(Mm::of(mm));
        for wish in [
            MachineWish { tab_neck: size(2.0), ..MachineWish::default() },
            MachineWish { tab_high: size(0.5), ..MachineWish::default() },
        ] {
            assert_eq!(made(wish).expect_err("too small")[0].id, "tab-too-small", "");
        }
        let wish = MachineWish { tab_neck: size(8.0), ..MachineWish::default() };
        let (machine, _) = made(wish).expect("it holds");
        assert!((machine.tab_neck.mm() - 8.0).abs() < 1e-9, "as asked");
    }

    /// Basis: geometry: 3000 mm a minute over 5000 turns of one flute is 0.6 mm a tooth.
    #[test]
    fn figures_that_must_have_slipped_are_refused() {
        let size = |mm: f64| Some(Mm::of(mm));
        let chip = MachineWish {
            feed: size(3000.0),
            rpm: Some(5000.0),
            flutes: Some(1),
            ..MachineWish::default()
        };
        let plunge = MachineWish { plunge: size(5000.0), ..MachineWish::default() };
        let through = MachineWish { through: size(15.0), ..MachineWish::default() };
        for (wish, id) in [
            (chip, "chip-odd"),
            (plunge, "feed-over-most"),
            (through, "through-too-deep"),
        ] {
            assert_eq!(made(wish).expect_err(id)[0].id, id, "refused");
        }
        let plunge = MachineWish { plunge: size(2000.0), ..MachineWish::default() };
        let (machine, _) = made(plunge).expect("it is sound");
        assert!((machine.plunge - machine.feed).abs() < 1e-9, "no faster than its feed");
    }

    #[test]
    fn a_chip_that_rubs_is_told() {
        let feed = Some(Mm::of(200.0));
        let (_, notes) =
            made(MachineWish { feed, ..MachineWish::default() }).expect("it is sound");
        assert_eq!(notes[0].id, "chip-odd", "0.01 mm a tooth");
    }
}
