//! Moves as lines: one concern a line, every coordinate absolute, arcs about the bisector of
//! their rounded ends.

use super::header::{Header, plain};
use super::number::Numbers;
use super::told::through;
use crate::geom::{Piece, Point, Vector};
use crate::path::{Kind, Move, Toolpath, chords};
use crate::post::{Arcs, Comments, Dialect, Rapids, Spindle};
use crate::read::ZZero;

/// An arc with a shorter chord than so many steps of the last figure is written as a line
/// (geometry: rounding could turn it round); a flat one already from the second on.
const SHORT_CHORD: [f64; 2] = [4.0, 40.0];
/// An arc is flat when it strays no more than this from its chord, in mm (geometry).
const FLAT: f64 = 0.001;
/// How long the spindle is given to reach its speed, in seconds (from memory).
const SPIN_UP: f64 = crate::shop::defaults::SPIN_UP.value;

/// The whole text.
pub(super) fn text(toolpath: &Toolpath, dialect: &Dialect, header: &Header) -> String {
    let mut writer = Writer::new(toolpath, dialect);
    if dialect.percent {
        writer.text.push_str("%\n");
    }
    for comment in header.comments(toolpath, dialect) {
        writer.comment(&comment);
    }
    for word in [dialect.units_word(), "G17", "G90", "G94", "G40", "G49", "G80", "G54"] {
        writer.line(word);
    }
    let (first, rest) =
        toolpath.moves.split_first().expect("a toolpath starts by going up");
    writer.up(first);
    for &corner in &toolpath.air {
        writer.travel(corner);
    }
    writer.start_spindle();
    for step in rest {
        writer.step(step);
    }
    if dialect.spindle == Spindle::Words {
        writer.line("M5");
    } else {
        writer.comment("switch the router off, then go on");
        writer.line("M0");
    }
    writer.line(dialect.end.word());
    if dialect.percent {
        writer.text.push_str("%\n");
    }
    writer.text
}

/// Writes lines and knows where the tool is, as rounded.
struct Writer<'a> {
    toolpath: &'a Toolpath,
    dialect: &'a Dialect,
    numbers: Numbers,
    text: String,
    lines: u32,
    at: Point,
    z: f64,
    feed: String,
}

impl<'a> Writer<'a> {
    fn new(toolpath: &'a Toolpath, dialect: &'a Dialect) -> Self {
        Self {
            toolpath,
            dialect,
            numbers: Numbers::of(dialect),
            text: String::new(),
            lines: 0,
            at: Point::default(),
            z: f64::NAN,
            feed: String::new(),
        }
    }

    fn line(&mut self, words: &str) {
        if self.dialect.line_numbers {
            let number = self.lines % 99_999 + 1;
            self.text.push('N');
            self.text.push_str(&number.to_string());
            self.text.push(' ');
            self.lines += 1;
        }
        self.text.push_str(words);
        self.text.push('\n');
    }

    /// A comment, broken where it would be too long.
    fn comment(&mut self, text: &str) {
        if self.dialect.comments == Comments::None {
            return;
        }
        let room = self.dialect.line_length - 9;
        let mut rest = plain(text);
        while room < rest.len() {
            let at = rest[..room].rfind(' ').filter(|&at| 0 < at).unwrap_or(room);
            let tail = rest.split_off(at);
            self.line(&format!("({})", rest.trim()));
            tail.trim().clone_into(&mut rest);
        }
        self.line(&format!("({rest})"));
    }

    fn start_spindle(&mut self) {
        match self.dialect.spindle {
            Spindle::Words => {
                self.line(&format!("S{:.0}", self.toolpath.machine.rpm.floor()));
                self.line("M3");
                let dwell = SPIN_UP * self.dialect.dwell.in_a_second();
                self.line(&format!("G4 P{dwell:.0}"));
            }
            Spindle::ByHand => {
                let rpm = self.toolpath.machine.rpm;
                self.comment(&format!("switch the router on at {rpm:.0} turns a minute"));
                self.comment("wait until it is up to speed, then go on");
                self.line("M0");
            }
        }
    }

    /// A height as the program counts it.
    fn own_z(&self, z: f64) -> f64 {
        match self.toolpath.machine.z_zero {
            ZZero::Top => z,
            ZZero::Table => z + self.toolpath.thick,
        }
    }

    fn z_word(&self, z: f64) -> String {
        format!("Z{}", self.numbers.text(self.own_z(z)))
    }

    /// A place as the program counts it, rounded to its figures.
    fn own(&self, at: Point) -> Point {
        let at = at - self.toolpath.lay.work_zero;
        Point::new(self.numbers.rounded(at.x), self.numbers.rounded(at.y))
    }

    fn xy(&self, at: Point) -> String {
        format!("X{} Y{}", self.numbers.text(at.x), self.numbers.text(at.y))
    }

    /// A rapid, with its rate where the controller would take the last one.
    fn rapid(&mut self, words: &str, rate: f64) {
        match self.dialect.rapids {
            Rapids::OwnRate => self.line(&format!("G0 {words}")),
            Rapids::LastFeed => {
                self.feed = self.numbers.feed(rate);
                self.line(&format!("G0 {words} F{}", self.feed));
            }
        }
    }

    fn travel(&mut self, to: Point) {
        let to = self.own(to);
        self.rapid(&self.xy(to), self.toolpath.machine.rates.travel);
        self.at = to;
    }

    fn up(&mut self, step: &Move) {
        self.rapid(&self.z_word(step.z), self.toolpath.machine.rates.travel_z);
        self.z = step.z;
    }

    fn step(&mut self, step: &Move) {
        let clear = self.toolpath.machine.clear.mm();
        match step.kind {
            Kind::Up if clear <= step.z => self.up(step),
            Kind::Travel => self.travel(step.to),
            Kind::Up | Kind::Down => {
                let words = format!("G1 {}", self.z_word(step.z));
                let feed = self.vertical_feed(step.z);
                self.cutting(&words, feed);
                self.z = step.z;
            }
            _ => self.along(step),
        }
    }

    fn vertical_feed(&self, z: f64) -> f64 {
        let machine = &self.toolpath.machine;
        if z < self.z { machine.plunge.min(machine.feed) } else { machine.feed }
    }

    /// A cutting line, with its feed where that changes; on a line of its own where both
    /// would be too long.
    fn cutting(&mut self, words: &str, feed: f64) {
        let feed = self.numbers.feed(feed);
        if feed == self.feed {
            self.line(words);
            return;
        }
        let number = if self.dialect.line_numbers { 7 } else { 0 };
        if self.dialect.line_length < words.len() + feed.len() + 2 + number {
            self.line(&format!("F{feed}"));
            self.line(words);
        } else {
            self.line(&format!("{words} F{feed}"));
        }
        self.feed = feed;
    }

    /// A move along the cut.
    fn along(&mut self, step: &Move) {
        let Some((centre, sweep)) = step.arc else {
            self.straight(self.own(step.to), step.z);
            return;
        };
        let centre = self.own_exact(centre);
        let to = self.own(step.to);
        let short = self.is_short(self.at.distance(to), sweep);
        match self.dialect.arcs {
            Arcs::Centre if !short => self.arc(to, step.z, (centre, sweep)),
            Arcs::Centre => self.straight(to, step.z),
            Arcs::None => self.chords(step, (centre, sweep)),
        }
    }

    fn is_short(&self, chord: f64, sweep: f64) -> bool {
        let [short, flat] = SHORT_CHORD.map(|steps| steps * self.numbers.step());
        let strays = chord / 2.0 * libm::tan(sweep.abs() / 4.0);
        chord < short || (chord < flat && strays < FLAT)
    }

    fn own_exact(&self, at: Point) -> Point {
        Point::default() + (at - self.toolpath.lay.work_zero)
    }

    fn straight(&mut self, to: Point, z: f64) {
        if to == self.at && self.z_word(z) == self.z_word(self.z) {
            return;
        }
        let mut words = format!("G1 {}", self.xy(to));
        if self.z_word(z) != self.z_word(self.z) {
            words = format!("{words} {}", self.z_word(z));
        }
        let feed = self.sloped_feed(self.at.distance(to), z);
        self.cutting(&words, feed);
        (self.at, self.z) = (to, z);
    }

    /// The feed at which the way down is no faster than a plunge.
    fn sloped_feed(&self, length: f64, z: f64) -> f64 {
        let machine = &self.toolpath.machine;
        let down = (self.z - z).max(0.0);
        let whole = (length * length + down * down).sqrt();
        if down <= 0.0 {
            machine.feed
        } else {
            machine.feed.min(machine.plunge * whole / down)
        }
    }

    /// An arc about a centre on the bisector of its rounded ends.
    fn arc(&mut self, to: Point, z: f64, (centre, sweep): (Point, f64)) {
        let middle = self.at.middle(to);
        let across = (to - self.at).left().unit();
        let centred = across.map_or(centre, |n| middle + n * (centre - middle).dot(n));
        let out: Vector = centred - self.at;
        let way = if 0.0 < sweep { "G3" } else { "G2" };
        let (i, j) = (self.numbers.text(out.x), self.numbers.text(out.y));
        let height = if self.z_word(z) == self.z_word(self.z) {
            String::new()
        } else {
            format!(" {}", self.z_word(z))
        };
        let words = format!("{way} {}{height} I{i} J{j}", self.xy(to));
        let feed = self.sloped_feed(out.length() * sweep.abs(), z);
        self.cutting(&words, feed);
        (self.at, self.z) = (to, z);
    }

    /// The radius of the arc on the wood that a told one stands for: only that tells a hollow from
    /// the way round a corner.
    fn radius_on_wood(&self, told: &Piece) -> f64 {
        let axes = self.toolpath.machine.axes.as_ref();
        let place = |share: f64| {
            let way = told.at(share) - Point::default();
            Point::default() + axes.map_or(way, |axes| axes.on_wood(way))
        };
        let arc = through(place(0.0), place(0.5), place(1.0));
        arc.as_ref().and_then(Piece::radius).unwrap_or(f64::INFINITY)
    }

    /// An arc as chords.
    fn chords(&mut self, step: &Move, (centre, sweep): (Point, f64)) {
        let to = self.own_exact(step.to);
        let mill = self.toolpath.machine.end_mill.radius();
        let hollow = if step.kind == Kind::Ramp { mill } else { 0.0 };
        let back = Piece::arc_about(centre, to, -sweep);
        let count = chords(self.radius_on_wood(&back), sweep, hollow);
        let from_z = self.z;
        for n in (1u32..).map(f64::from).take_while(|&n| n <= count) {
            let at = back.at(1.0 - n / count);
            let rounded =
                Point::new(self.numbers.rounded(at.x), self.numbers.rounded(at.y));
            self.straight(rounded, from_z + (step.z - from_z) * n / count);
        }
    }
}
