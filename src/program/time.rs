//! How long a program takes: a machine that speeds up and slows down evenly and looks ahead.
//!
//! Corners are taken at the speed at which a small arc that strays by a set amount from the
//! corner needs no more than the machine's acceleration; arcs at the speed their own radius
//! allows (geometry). Between them speed grows and falls evenly.

use crate::geom::{Point, Vector};
use crate::post::Dwell;
use crate::prove::{Move, Step, read};
use crate::shop::Rates;

/// By how much a corner may be rounded, in mm (from memory).
const ROUNDED: f64 = crate::shop::defaults::CORNER_ROUNDED.value;
/// How long the person takes to switch the router on, in seconds (from memory).
const PAUSE: f64 = 10.0;

/// How long a program takes, in minutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Minutes {
    /// Every length at its full feed: it cannot be less.
    pub least: f64,
    /// By the model.
    pub likely: f64,
}

/// A way in space: its first and last direction, and how fast it may be gone.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Leg {
    length: f64,
    first: [f64; 3],
    last: [f64; 3],
    /// In mm a second.
    speed: f64,
}

/// How long a program of this text takes on a machine of these rates, in minutes; `None` where
/// it cannot be read.
pub fn minutes(text: &str, dwell: Dwell, rates: Rates) -> Option<Minutes> {
    let program = read(text).ok()?;
    let mut spent = Spent { least: 0.0, likely: 0.0, legs: Vec::new(), rates };
    for step in program.steps() {
        match step {
            Step::Move(step) => spent.legs.extend(leg(&step, &rates)),
            Step::Dwell(_, number) => spent.wait(number / dwell.in_a_second()),
            Step::Pause(_) => spent.wait(PAUSE),
            _ => {}
        }
    }
    spent.wait(0.0);
    Some(Minutes { least: spent.least / 60.0, likely: spent.likely / 60.0 })
}

/// Seconds spent, and the legs since the last stand.
struct Spent {
    least: f64,
    likely: f64,
    legs: Vec<Leg>,
    rates: Rates,
}

impl Spent {
    /// The machine stands still for so long.
    fn wait(&mut self, seconds: f64) {
        self.least += seconds + self.legs.iter().map(Leg::seconds).sum::<f64>();
        self.likely += seconds + run(&self.legs, self.rates.acceleration);
        self.legs.clear();
    }
}

impl Leg {
    fn seconds(&self) -> f64 {
        self.length / self.speed
    }
}

/// A move as a leg; nothing where it starts from a place that is not known, or goes nowhere.
fn leg(step: &Move, rates: &Rates) -> Option<Leg> {
    let (from, to, length) = (step.start(), step.end(), step.length());
    if !(0.0 < length && length.is_finite()) {
        return None;
    }
    let rate = if !step.rapid {
        step.feed()
    } else if from[2].to_bits() == to[2].to_bits() {
        rates.travel
    } else {
        rates.travel_z
    };
    let (rise, speed) = ((to[2] - from[2]) / length, rate / 60.0);
    let Some((centre, sweep)) = step.arc() else {
        let way = [0, 1, 2].map(|axis| (to[axis] - from[axis]) / length);
        return Some(Leg { length, first: way, last: way, speed });
    };
    let radius = centre.distance(Point::new(from[0], from[1]));
    let flat = (1.0 - rise * rise).max(0.0).sqrt();
    let along = |spot: [f64; 3]| {
        let out = Point::new(spot[0], spot[1]) - centre;
        let way = if 0.0 < sweep { out.left() } else { out.right() };
        let way = way.unit().unwrap_or(Vector::new(1.0, 0.0)) * flat;
        [way.x, way.y, rise]
    };
    let speed = speed.min((rates.acceleration * radius).sqrt());
    Some(Leg { length, first: along(from), last: along(to), speed })
}

/// How fast the corner between two legs may be taken, in mm a second.
fn corner(before: &Leg, after: &Leg, acceleration: f64) -> f64 {
    let turn: f64 = before.last.iter().zip(after.first).map(|(a, b)| a * b).sum();
    let half = f64::midpoint(1.0, turn).clamp(0.0, 1.0).sqrt();
    let most = before.speed.min(after.speed);
    if 1.0 - half < 1e-9 {
        return most;
    }
    most.min((acceleration * ROUNDED * half / (1.0 - half)).sqrt())
}

/// How many seconds legs take one after the other, from a stand to a stand.
fn run(legs: &[Leg], acceleration: f64) -> f64 {
    let mut speeds = vec![0.0];
    speeds.extend(legs.windows(2).map(|pair| corner(&pair[0], &pair[1], acceleration)));
    speeds.push(0.0);
    let gained =
        |speed: f64, length: f64| (speed * speed + 2.0 * acceleration * length).sqrt();
    for (index, leg) in legs.iter().enumerate().rev() {
        speeds[index] = speeds[index].min(gained(speeds[index + 1], leg.length));
    }
    for (index, leg) in legs.iter().enumerate() {
        speeds[index + 1] = speeds[index + 1].min(gained(speeds[index], leg.length));
    }
    let ends = speeds.windows(2);
    legs.iter()
        .zip(ends)
        .map(|(leg, ends)| trapezoid(leg, (ends[0], ends[1]), acceleration))
        .sum()
}

/// How many seconds a leg takes from one speed to another.
fn trapezoid(leg: &Leg, (from, to): (f64, f64), acceleration: f64) -> f64 {
    let meet = (acceleration * leg.length + f64::midpoint(from * from, to * to)).sqrt();
    let peak = leg.speed.min(meet);
    let used = (2.0 * peak * peak - from * from - to * to) / (2.0 * acceleration);
    (2.0 * peak - from - to) / acceleration + (leg.length - used).max(0.0) / peak
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::defaults;

    const ACCELERATION: f64 = defaults::ACCELERATION.value;
    const RATES: Rates = Rates {
        acceleration: ACCELERATION,
        travel: defaults::TRAVEL_RATE.value,
        travel_z: defaults::TRAVEL_RATE_Z.value,
    };

    /// The likely and the least seconds of a program's moves at 1200 mm/min, which is 20 mm/s.
    fn seconds(moves: &str) -> (f64, f64) {
        let text =
            format!("G21 G17 G90 G94 G40 G49 G54\nG0 X0 Y0 Z0\nF1200\n{moves}M2\n");
        let found = minutes(&text, Dwell::Seconds, RATES).expect("it is legal");
        (found.likely * 60.0, found.least * 60.0)
    }

    fn near(found: f64, due: f64) {
        assert!((found - due).abs() < 1e-6, "{found} is not {due}");
    }

    #[test]
    fn one_way_is_its_length_at_feed_and_one_start_and_stop() {
        let (likely, least) = seconds("G1 X100\n");
        near(least, 5.0);
        near(likely, 100.0 / 20.0 + 20.0 / ACCELERATION);
        near(seconds("G1 X1\n").0, 2.0 * (1.0 / ACCELERATION).sqrt());
    }

    #[test]
    fn there_and_back_stops_at_every_end() {
        let (likely, _) = seconds("G1 X100\nG1 X0\nG1 X100\n");
        near(likely, 3.0 * (5.0 + 20.0 / ACCELERATION));
    }

    #[test]
    fn a_square_slows_down_in_its_corners() {
        let half = 0.5_f64.sqrt();
        let speed = (ACCELERATION * ROUNDED * half / (1.0 - half)).sqrt();
        let side = |from: f64, to: f64| {
            let used = (2.0 * 400.0 - from * from - to * to) / (2.0 * ACCELERATION);
            (40.0 - from - to) / ACCELERATION + (100.0 - used) / 20.0
        };
        let due = side(0.0, speed) + 2.0 * side(speed, speed) + side(speed, 0.0);
        near(seconds("G1 X100\nG1 Y100\nG1 X0\nG1 Y0\n").0, due);
    }

    #[test]
    fn a_circle_goes_at_what_its_radius_allows() {
        let circle = |r: f64| {
            let d = 2.0 * r;
            seconds(&format!("G2 X{d} Y0 I{r} J0\nG2 X0 Y0 I-{r} J0\n")).0
        };
        let due = |r: f64| {
            let speed = (ACCELERATION * r).sqrt().min(20.0);
            2.0 * std::f64::consts::PI * r / speed + speed / ACCELERATION
        };
        near(circle(50.0), due(50.0));
        near(circle(2.0), due(2.0));
    }

    #[test]
    fn splitting_a_way_changes_nothing_and_dwells_count() {
        near(seconds("G1 X30\nG1 X60\nG1 X100\n").0, seconds("G1 X100\n").0);
        near(seconds("G1 X100\nG4 P5\n").0, seconds("G1 X100\n").0 + 5.0);
    }

    #[test]
    fn a_quicker_machine_takes_less_and_never_less_than_its_feed() {
        let text =
            "G21 G17 G90 G94 G40 G49 G54\nG0 X0 Y0 Z0\nF1200\nG1 X100\nG1 X0\nM2\n";
        let quick = Rates { acceleration: 10.0 * ACCELERATION, ..RATES };
        let [slow, quick] = [RATES, quick]
            .map(|rates| minutes(text, Dwell::Seconds, rates).expect("it is legal"));
        near(quick.likely * 60.0, 2.0 * (5.0 + 20.0 / (10.0 * ACCELERATION)));
        assert!(quick.likely < slow.likely, "{} and {}", quick.likely, slow.likely);
    }
}
