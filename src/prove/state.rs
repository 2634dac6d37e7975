//! The states of a controller, and how the words of a line set them: published: NIST, The
//! NIST RS274NGC Interpreter - Version 3, NISTIR 6556, 2000, tables 4 and 8.

use super::cycle::Cycle;
use super::reader::{Spot, Step};
use super::words::Block;
use crate::units::MM_PER_INCH;

/// Whether coordinates are places or ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Distance {
    Absolute,
    Incremental,
}

/// A motion along a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Path {
    Rapid,
    Straight,
    Clockwise,
    Counter,
}

/// What axis words do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Motion {
    Path(Path),
    Cycle(Cycle),
}

/// What holds until it is changed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct State {
    pub at: Spot,
    pub distance: Distance,
    /// Millimetres a minute.
    pub feed: f64,
    /// The level a cycle's hole starts from and its bottom; and whether it returns to where
    /// it came from (G98) or to that level (G99).
    pub cycle: (Option<f64>, Option<f64>),
    pub cycle_returns: bool,
    inch: bool,
    speed: f64,
    motion: Option<Motion>,
    declared: Vec<&'static str>,
}

/// What one line says, in the order in which it is done.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Codes {
    sets: Vec<&'static str>,
    change: bool,
    /// M3 (`false`) or M4 (`true`), with the speed that holds.
    start: Option<(f64, bool)>,
    /// The number after S, where there is one.
    speed: Option<f64>,
    halt: bool,
    dwell: Option<f64>,
    /// Whether the line itself names a motion.
    named: bool,
    stop: Option<u32>,
}

/// What must be declared before anything moves, with the words that declare it.
const DECLARED: [(&str, &[&str]); 7] = [
    ("units (G20 or G21)", &["G20", "G21"]),
    ("plane (G17)", &["G17"]),
    ("distances (G90)", &["G90", "G91"]),
    ("feed mode (G94)", &["G94"]),
    ("no cutter compensation (G40)", &["G40"]),
    ("no tool length (G49)", &["G49"]),
    ("work offset (G54)", &["G54"]),
];

/// Words that set a state, by ten times their number, with their modal group.
const SETS: [(u32, &str, u32); 13] = [
    (170, "G17", 2),
    (200, "G20", 6),
    (210, "G21", 6),
    (400, "G40", 7),
    (490, "G49", 8),
    (540, "G54", 12),
    (610, "G61", 13),
    (611, "G61.1", 13),
    (640, "G64", 13),
    (900, "G90", 3),
    (910, "G91", 3),
    (940, "G94", 5),
    (980, "G98", 10),
];

impl State {
    pub(super) const fn new() -> Self {
        Self {
            at: [f64::NAN; 3],
            distance: Distance::Absolute,
            feed: 0.0,
            cycle: (None, None),
            cycle_returns: true,
            inch: false,
            speed: 0.0,
            motion: None,
            declared: Vec::new(),
        }
    }

    /// Millimetres in the unit that holds.
    pub(super) const fn scale(&self) -> f64 {
        if self.inch { MM_PER_INCH } else { 1.0 }
    }

    /// What has not been declared.
    pub(super) fn undeclared(&self) -> Vec<&'static str> {
        let said = |words: &[&str]| words.iter().any(|word| self.declared.contains(word));
        DECLARED.iter().filter(|(_, words)| !said(words)).map(|(name, _)| *name).collect()
    }

    /// Takes in all words of a line but its motion.
    pub(super) fn take(&mut self, block: &Block) -> Result<Codes, String> {
        let mut codes = Codes::default();
        let mut groups: Vec<u32> = Vec::new();
        self.numbers(block)?;
        codes.speed = block.get('S');
        for &(letter, value) in &block.words {
            let group = match letter {
                'G' => self.g_word(tenths(value)?, block, &mut codes)?,
                'M' => self.m_word(tenths(value)?, &mut codes)?,
                'A' | 'B' | 'C' | 'D' | 'H' => {
                    return Err(format!(
                        "`{letter}` is not read: no turning axis, no tool table"
                    ));
                }
                _ => continue,
            };
            if groups.contains(&group) {
                return Err("two words of one modal group on a line".to_owned());
            }
            groups.push(group);
        }
        Ok(codes)
    }

    /// F, S and T, which come before all others.
    fn numbers(&mut self, block: &Block) -> Result<(), String> {
        for letter in ['F', 'S', 'T'] {
            let Some(value) = block.get(letter) else { continue };
            if value < 0.0 {
                return Err(format!("`{letter}` is less than zero"));
            }
            match letter {
                'F' => self.feed = value * self.scale(),
                'S' => self.speed = value,
                _ => {
                    tenths(value)?;
                }
            }
        }
        Ok(())
    }

    /// Takes a G word; gives its modal group.
    fn g_word(
        &mut self,
        code: u32,
        block: &Block,
        codes: &mut Codes,
    ) -> Result<u32, String> {
        if code == 800 {
            self.motion = None;
            return Ok(1);
        }
        if let Some(motion) = motion(code) {
            self.motion = Some(motion);
            codes.named = true;
            return Ok(1);
        }
        if code == 40 {
            let seconds = block.get('P').filter(|seconds| 0.0 <= *seconds);
            codes.dwell = Some(seconds.ok_or("G4 needs a P of zero or more")?);
            return Ok(0);
        }
        if code == 990 {
            self.cycle_returns = false;
            return Ok(10);
        }
        if code == 640 && block.get('P').is_some() {
            return Err(
                "G64 with P lets the controller round every corner off by as much as P \
                        says: leave it out, or write G61"
                    .to_owned(),
            );
        }
        let known = SETS.iter().find(|set| set.0 == code);
        let &(_, name, group) =
            known.ok_or_else(|| format!("G{} is not read", number(code)))?;
        match name {
            "G20" => self.inch = true,
            "G21" => self.inch = false,
            "G90" => self.distance = Distance::Absolute,
            "G91" => self.distance = Distance::Incremental,
            "G98" => self.cycle_returns = true,
            _ => {}
        }
        self.declared.push(name);
        codes.sets.push(name);
        Ok(group)
    }

    /// Takes an M word; gives its modal group, counted on from those of the G words.
    fn m_word(&self, code: u32, codes: &mut Codes) -> Result<u32, String> {
        let group = match code {
            0 | 10 | 20 | 300 | 600 => {
                codes.stop = Some(code / 10);
                104
            }
            60 => {
                codes.change = true;
                106
            }
            30 | 40 => {
                codes.start = Some((self.speed, code == 40));
                107
            }
            50 => {
                codes.halt = true;
                107
            }
            70 | 80 | 90 => 108,
            480 | 490 => 109,
            _ => return Err(format!("M{} is not read", number(code))),
        };
        Ok(group)
    }

    /// What the axis words of a line do; `None` where there is nothing to do.
    pub(super) fn motion_of(
        &self,
        block: &Block,
        codes: &Codes,
    ) -> Option<Result<Motion, String>> {
        let axes = ['X', 'Y', 'Z'].iter().any(|&letter| block.get(letter).is_some());
        if !axes && !codes.named {
            return None;
        }
        Some(self.motion.ok_or_else(|| "X, Y or Z without a motion word".to_owned()))
    }
}

impl Codes {
    /// What is done before the motion.
    pub(super) fn before(&self, line: usize) -> Vec<Step> {
        let change = self.change.then_some(Step::Change(line));
        let start = self.start.map(|(speed, back)| Step::Start(line, speed, back));
        let speed = self.speed.filter(|_| start.is_none());
        let speed = speed.map(|speed| Step::Speed(line, speed));
        let halt = self.halt.then_some(Step::Halt(line));
        let dwell = self.dwell.map(|number| Step::Dwell(line, number));
        let sets = self.sets.iter().map(|&name| Step::Set(line, name));
        let turns = start.into_iter().chain(speed);
        change.into_iter().chain(turns).chain(halt).chain(dwell).chain(sets).collect()
    }

    /// What is done after it.
    pub(super) fn stop(&self, line: usize) -> Option<Step> {
        self.stop.map(|code| match code {
            2 | 30 => Step::End(line, code),
            _ => Step::Pause(line),
        })
    }
}

/// The motion a G word names.
const fn motion(code: u32) -> Option<Motion> {
    Some(match code {
        0 => Motion::Path(Path::Rapid),
        10 => Motion::Path(Path::Straight),
        20 => Motion::Path(Path::Clockwise),
        30 => Motion::Path(Path::Counter),
        810 => Motion::Cycle(Cycle::Drill),
        820 => Motion::Cycle(Cycle::Dwell),
        830 => Motion::Cycle(Cycle::Peck),
        _ => return None,
    })
}

/// Ten times a number that must be whole then, to the report's 0.0001.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "checked to be a small whole number"
)]
fn tenths(value: f64) -> Result<u32, String> {
    let ten = value * 10.0;
    let near = (ten - ten.round()).abs() <= 1e-3;
    if near && (0.0..1e6).contains(&ten.round()) {
        Ok(ten.round() as u32)
    } else {
        Err(format!("`{value}` is no code"))
    }
}

fn number(tenths: u32) -> String {
    if tenths.is_multiple_of(10) {
        (tenths / 10).to_string()
    } else {
        format!("{}.{}", tenths / 10, tenths % 10)
    }
}
