//! The machine's axes as a test piece measured them: where the mill stands when the display shows
//! a place.
//!
//! ```text
//!   y on the wood
//!   |      / Y as it runs: over 1 on the wood it leans `lean` to the right
//!   |     /
//!   |    /
//!   |   /
//!   0 ------------- X as it runs, and x on the wood
//! ```
//!
//! Told `(x, y)` from the program's zero, the mill stands on the wood at
//! `(scale_x · x + lean · scale_y · y, scale_y · y)`. X is where the wood is square to: turned
//! with its rails a machine cuts the same. What it must be told for a place `(x, y)` on the wood
//! is therefore `((x − lean · y) / scale_x, y / scale_y)`. Z is as it is.

use super::defaults;
use super::fill::place;
use super::mill::not_on;
use crate::diag::{Problem, Problems, Weight};
use crate::geom::{Bounds, Point, Vector};
use crate::read::{Job, Measured, RackAxes};

/// Axes that are off: what the display shows is not what the wood gets.
#[derive(Debug, Clone, PartialEq)]
pub struct Axes {
    /// What a length told along X comes out as, as a share.
    pub scale_x: f64,
    /// The same along Y, square to X.
    pub scale_y: f64,
    /// How far Y leans to the right over a length of 1 on the wood; `None` where nobody measured
    /// it, and then it is taken as square.
    pub lean: Option<f64>,
    /// When that was measured, in the person's words.
    pub measured: Option<String>,
}

impl Axes {
    /// Those that readings of a test piece tell of.
    pub fn found(found: &Measured) -> Self {
        let lean = found.lean.map(|lean| lean / 100.0);
        Self { scale_x: found.scale_x, scale_y: found.scale_y, lean, measured: None }
    }

    /// Those that the rack keeps.
    pub(super) fn kept(kept: &RackAxes) -> Self {
        Self {
            scale_x: kept.x_per_100 / 100.0,
            scale_y: kept.y_per_100 / 100.0,
            lean: kept.lean_per_100.map(|lean| lean / 100.0),
            measured: kept.measured.clone(),
        }
    }

    /// How far Y leans to the right over 1 on the wood, as it is counted with.
    pub fn slant(&self) -> f64 {
        self.lean.unwrap_or(0.0)
    }

    /// Where on the wood the mill stands when it is told this place, both from the program's
    /// zero.
    pub fn on_wood(&self, told: Vector) -> Vector {
        let y = self.scale_y * told.y;
        Vector::new(self.scale_x * told.x + self.slant() * y, y)
    }

    /// What the machine must be told for this place on the wood, both from the program's zero.
    pub fn told(&self, on_wood: Vector) -> Vector {
        let x = (on_wood.x - self.slant() * on_wood.y) / self.scale_x;
        Vector::new(x, on_wood.y / self.scale_y)
    }

    /// Where a thing stands on the wood whose place was measured with a rule, or read on the
    /// machine's display: the box of both.
    pub fn stands(&self, area: Bounds) -> Bounds {
        let on_wood = |at: Point| Point::default() + self.on_wood(at - Point::default());
        area.corners().into_iter().map(on_wood).fold(area, Bounds::with)
    }

    /// Whether calipers tell them from true ones.
    pub fn are_off(&self) -> bool {
        let [x, y, lean] = self.off();
        let scale = defaults::AXIS_OFF.value;
        scale < x || scale < y || defaults::LEAN.value / 100.0 < lean
    }

    /// Whether they are so far off that no program makes up for it.
    pub fn are_far_off(&self) -> bool {
        self.off().iter().any(|&off| defaults::FAR_OFF.value < off)
    }

    /// How far off the scales are and how far Y leans, as shares.
    fn off(&self) -> [f64; 3] {
        [(self.scale_x - 1.0).abs(), (self.scale_y - 1.0).abs(), self.slant().abs()]
    }

    /// What they are, in words.
    pub fn words(&self) -> String {
        let [x, y] = [self.scale_x, self.scale_y].map(|scale| 100.0 * scale);
        let lean = match self.lean {
            None => "how square they are was not measured".to_owned(),
            Some(lean) => {
                let way = if lean < 0.0 { "left" } else { "right" };
                format!("over 100 Y leans {:.3} to the {way}", 100.0 * lean.abs())
            }
        };
        format!("100 told along X come out as {x:.3}, along Y as {y:.3}; {lean}")
    }
}

/// The axes that a job's programs make up for; told are what is wrong with those that the rack
/// keeps, and where they are not used.
pub(super) fn axes(
    job: &Job,
    (wrong, notes): (&mut Problems, &mut Problems),
) -> Option<Axes> {
    let all = &job.rack.axes;
    let Some(name) = &job.machine.axes else {
        let idle = all.first().filter(|_| job.machine.mill.is_some());
        notes.extend(idle.map(not_named));
        return None;
    };
    let Some(kept) = all.iter().find(|kept| kept.name.eq_ignore_ascii_case(name)) else {
        let found = not_on(&job.rack, &format!("axes called `{name}`"));
        let hint = "write there what a measured test piece says: a table under that name with `x-per-100`, `y-per-100` and `lean-per-100`";
        wrong.push(
            Problem::stop("axes-not-on-rack", found, hint).at(job.place("machine.axes")),
        );
        return None;
    };
    used(kept, (wrong, notes))
}

/// The rack knows a machine, and the job takes an end mill from it and not that.
fn not_named(kept: &RackAxes) -> Problem {
    let name = &kept.name;
    let found =
        format!("the rack keeps the axes of `{name}`, and no program makes up for them");
    let hint =
        format!("write `axes = \"{name}\"` under [machine] where that machine cuts it");
    Problem::new("axes-not-used", Weight::Hint, found, hint).at(place("axes"))
}

/// Axes that are kept, where they are off and not too far.
fn used(kept: &RackAxes, (wrong, notes): (&mut Problems, &mut Problems)) -> Option<Axes> {
    let axes = Axes::kept(kept);
    let words = axes.words();
    if axes.are_far_off() {
        let most = 100.0 * defaults::FAR_OFF.value;
        let found = format!("the machine is too far off for a program: {words}");
        let hint = "set the machine right first: its steps a length, loose belts or nuts, its rails square to each other; then cut a new test piece and keep what that says, and until then leave `axes` out";
        let off = axes.off();
        let worst = (0..off.len()).max_by(|&a, &b| off[a].total_cmp(&off[b]));
        let at = kept.places[worst.unwrap_or(0)].clone();
        let problem = Problem::stop("axes-far-off", found, hint).at(at);
        wrong.push(problem.expected(format!("no more than {most} in 100")));
        return None;
    }
    if !axes.are_off() {
        let found = format!("the axes are as true as calipers tell: {words}");
        let hint = "the program takes them as true";
        notes
            .push(Problem::new("axes-true", Weight::Hint, found, hint).at(place("axes")));
        return None;
    }
    Some(axes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry.
    #[test]
    fn what_is_told_comes_out_where_it_should() {
        let axes =
            Axes { scale_x: 1.002, scale_y: 0.999, lean: Some(0.003), measured: None };
        let far = axes.on_wood(Vector::new(0.0, 100.0));
        assert!((far.y - 99.9).abs() < 1e-9, "Y is short: {far:?}");
        assert!((far.x - 0.2997).abs() < 1e-9, "and leans to the right: {far:?}");
        for (x, y) in [(200.0, 0.0), (0.0, 120.0), (-30.0, 77.0)] {
            let back = axes.on_wood(axes.told(Vector::new(x, y)));
            assert!((back - Vector::new(x, y)).length() < 1e-12, "{back:?}");
        }
    }

    /// Basis: geometry: X is 1 in 100 long, and Y leans by as much.
    #[test]
    fn a_clamp_stands_where_a_rule_or_the_display_says() {
        let axes = Axes { scale_x: 1.01, scale_y: 1.0, lean: Some(0.01), measured: None };
        let at = |x: f64, y: f64| Point::new(x, y);
        let area = Bounds { low: at(200.0, -50.0), high: at(240.0, 100.0) };
        let Bounds { low, high } = axes.stands(area);
        assert!(low.distance(at(200.0, -50.0)) < 1e-9, "by the rule: {low:?}");
        assert!(high.distance(at(243.4, 100.0)) < 1e-9, "by the display: {high:?}");
        let left = Bounds { low: at(-40.0, -50.0), high: at(-10.0, 0.0) };
        let low = axes.stands(left).low;
        assert!(low.distance(at(-40.9, -50.0)) < 1e-9, "left of the zero: {low:?}");
    }

    #[test]
    fn axes_are_used_from_what_calipers_tell_and_refused_where_they_are_far_off() {
        let ids = |x: f64, lean: Option<f64>| {
            let kept = RackAxes {
                name: "bench".to_owned(),
                x_per_100: x,
                y_per_100: 100.0,
                lean_per_100: lean,
                measured: None,
                places: ["x", "y", "lean"].map(place),
            };
            let (mut wrong, mut notes) = (Vec::new(), Vec::new());
            let is_used = used(&kept, (&mut wrong, &mut notes)).is_some();
            let at = wrong.iter().filter_map(|problem| problem.place.as_ref());
            let due = if lean.is_some() { "lean" } else { "x" };
            assert!(at.map(|place| &place.name).all(|name| name == due), "{wrong:?}");
            let told = wrong.iter().chain(&notes).map(|problem| problem.id);
            (is_used, told.collect::<Vec<_>>())
        };
        assert_eq!(ids(100.04, None), (false, vec!["axes-true"]), "within calipers");
        assert_eq!(ids(100.06, None), (true, vec![]), "beyond them");
        assert_eq!(ids(100.0, Some(-0.06)), (true, vec![]), "it leans");
        assert_eq!(ids(101.1, None), (false, vec!["axes-far-off"]), "too long");
        assert_eq!(ids(100.0, Some(1.1)), (false, vec!["axes-far-off"]), "too slanted");
    }
}
