//! The lines of each joint across its stock, and setting them in.

use super::super::Slot;
use super::super::line::Line;
use super::{Corner, Drawer, Parted, Rule};
use crate::diag::Failure;
use crate::geom::{Piece, Point, Vector};
use crate::read::{JointName, Wood};
use crate::units::Mm;

/// Wood drawn beyond the joint at each end, in mm (from memory).
const BEYOND: f64 = 200.0;

/// The lines of a joint.
pub(super) fn parted(drawer: &mut Drawer<'_>) -> Result<Parted, Failure> {
    match drawer.wish.name {
        JointName::HalfLap => Ok(half_lap(drawer)),
        JointName::DovetailedLap => tail(drawer),
        JointName::Bridle => bridle(drawer),
        JointName::SplayedScarf => splayed(drawer),
        JointName::TabledScarf => tabled(drawer),
        JointName::TuskTenon => tusk(drawer),
        JointName::FingerJoint => fingers(drawer),
    }
}

impl Drawer<'_> {
    fn width(&self) -> f64 {
        self.wish.width.mm()
    }

    fn given(length: Option<Mm>) -> Option<f64> {
        length.map(Mm::mm)
    }

    /// The stock's length as drawn, and where a joint so long begins in its middle.
    fn board(&self, long: f64) -> (f64, f64) {
        let length = self.wish.length.map_or(long + 2.0 * BEYOND, Mm::mm);
        (length, (length - long) / 2.0)
    }

    /// The stock's thickness, which this joint cannot do without.
    fn needs_thick(&self) -> Result<f64, Failure> {
        self.thick.ok_or_else(|| {
            let found =
                "this joint follows the stock's thickness, which is not given".to_owned();
            self.refuse(found, "measure it and give `thick`".to_owned())
        })
    }

    /// A single line that both halves have.
    fn shared(&self, line: Vec<Corner>, (length, width): (f64, f64)) -> Parted {
        let lines = [line.clone(), line];
        Parted { lines, board: (length, width), slot: None, through: self.thick }
    }
}

fn half_lap(drawer: &mut Drawer<'_>) -> Parted {
    let width = drawer.width();
    let given = Drawer::given(drawer.wish.long);
    let long = drawer.size("length of the lap", given, (Rule::LapLong, width));
    let (length, start) = drawer.board(long);
    let (half, end) = (width / 2.0, start + long);
    drawer.follows("shoulder of each half", half);
    let line = vec![
        (Point::new(start, 0.0), ""),
        (Point::new(start, half), "shoulder"),
        (Point::new(end, half), "cheek"),
        (Point::new(end, width), "shoulder"),
    ];
    drawer.shared(line, (length, width))
}

fn tail(drawer: &mut Drawer<'_>) -> Result<Parted, Failure> {
    let width = drawer.width();
    let mate = drawer.wish.mate.map_or(width, Mm::mm);
    let given = Drawer::given(drawer.wish.long);
    let long = drawer.size("length of the tail", given, (Rule::TailLong, mate));
    let tip = drawer.size("width of the tail's tip", None, (Rule::TailTip, width));
    let neck = tip - 2.0 * long / drawer.tail_slope();
    drawer.follows("neck of the tail", neck);
    if mate <= long {
        let found = format!(
            "a tail {} long leaves nothing of a mate {} wide",
            drawer.length(long),
            drawer.length(mate)
        );
        let most = drawer.length(mate * 0.75);
        return Err(drawer.refuse(found, format!("make the tail at most {most} long")));
    }
    if neck < width / 3.0 {
        let found = format!("the neck of the tail would be {} wide", drawer.length(neck));
        let hint = format!(
            "make the tail shorter, or its slope flatter; keep at least {}",
            drawer.length(width / 3.0)
        );
        return Err(drawer.refuse(found, hint));
    }
    let (length, start) =
        (drawer.wish.length.map_or(long + 2.0 * BEYOND, Mm::mm), 2.0 * BEYOND);
    let start = start.min(length - long);
    let (shoulder, wide) = ((width - neck) / 2.0, (width - tip) / 2.0);
    drawer.follows("shoulder at each side", shoulder);
    let end = start + long;
    let line = vec![
        (Point::new(start, 0.0), ""),
        (Point::new(start, shoulder), "shoulder"),
        (Point::new(end, wide), "tail"),
        (Point::new(end, width - wide), "tip"),
        (Point::new(start, width - shoulder), "tail"),
        (Point::new(start, width), "shoulder"),
    ];
    Ok(drawer.shared(line, (length.max(end + 1.0), width)))
}

fn bridle(drawer: &mut Drawer<'_>) -> Result<Parted, Failure> {
    let (thick, width) = (drawer.needs_thick()?, drawer.width());
    let given = Drawer::given(drawer.wish.mate).or(Drawer::given(drawer.wish.long));
    let long = given.unwrap_or(width);
    drawer.follows("depth of the fork, the mate's width", long);
    let tongue =
        drawer.size("thickness of the tongue", None, (Rule::BridleTongue, thick));
    let cheek = (thick - tongue) / 2.0;
    drawer.follows("thickness of each cheek of the fork", cheek);
    let line =
        comb(drawer, &[cheek, tongue, cheek], (long, ["cheek", "shoulder", "bottom"]));
    let mut parted = drawer.shared(line.0, (line.1, thick));
    parted.through = Some(width);
    Ok(parted)
}

fn fingers(drawer: &mut Drawer<'_>) -> Result<Parted, Failure> {
    let (thick, width) = (drawer.needs_thick()?, drawer.width());
    let fingers = drawer.wish.fingers.map_or_else(
        || {
            let wide = drawer.figure(Rule::FingerWide) * thick;
            // The nearest odd number, so that both edges have a finger of half A.
            2.0 * ((width / wide - 1.0) / 2.0).round().max(1.0) + 1.0
        },
        f64::from,
    );
    if fingers < 3.0 || fingers % 2.0 == 0.0 {
        let found = format!("{fingers} fingers are not an odd number from 3");
        return Err(drawer.refuse(
            found,
            "give an odd number of fingers, such as `fingers = 5`".to_owned(),
        ));
    }
    let one = width / fingers;
    let rule = drawer.wish.fingers.is_none().then_some(Rule::FingerWide);
    drawer.sizes.push(super::Size {
        what: "width of a finger",
        value: one,
        is_slope: false,
        rule,
    });
    drawer.follows("length of a finger, the mate's thickness", thick);
    let mut widths = Vec::new();
    let mut finger = 0.5;
    while finger < fingers {
        widths.push(one);
        finger += 1.0;
    }
    let (line, length) = comb(drawer, &widths, (thick, ["side", "end", "bottom"]));
    Ok(drawer.shared(line, (length, width)))
}

/// A line in and out: half A has the first, the third and so on of these widths. Also the
/// stock's length.
fn comb(
    drawer: &Drawer<'_>,
    widths: &[f64],
    (long, [side, out_end, in_end]): (f64, [&'static str; 3]),
) -> (Vec<Corner>, f64) {
    let (length, start) = drawer.board(long);
    let (inner, outer) = (start, start + long);
    let mut line = vec![(Point::new(outer, 0.0), "")];
    let mut y = 0.0;
    for (index, &wide) in widths.iter().enumerate() {
        let is_out = index.is_multiple_of(2);
        let x = if is_out { outer } else { inner };
        if 0 < index {
            line.push((Point::new(x, y), side));
        }
        y += wide;
        line.push((Point::new(x, y), if is_out { out_end } else { in_end }));
    }
    (line, length)
}

/// The length of a scarf and the depth of its nibs.
fn scarf(drawer: &mut Drawer<'_>) -> Result<(f64, f64), Failure> {
    let width = drawer.width();
    let rule = match drawer.wish.wood {
        Wood::Hard => Rule::ScarfHard,
        Wood::Soft => Rule::ScarfSoft,
    };
    let given = Drawer::given(drawer.wish.long);
    let long = drawer.size("length of the scarf", given, (rule, width));
    let nib = drawer.size(
        "depth of the nibs",
        Drawer::given(drawer.wish.nib),
        (Rule::Nib, width),
    );
    if width / 2.0 <= nib {
        let found = format!(
            "nibs of {} leave no slope in a depth of {}",
            drawer.length(nib),
            drawer.length(width)
        );
        let hint = format!("make the nibs at most {}", drawer.length(width / 4.0));
        return Err(drawer.refuse(found, hint));
    }
    if long <= nib {
        let (nib, long) = (drawer.length(nib), drawer.length(long));
        let found = format!("a nib of {nib} is longer than its scarf of {long}");
        let least = drawer.length(drawer.figure(rule) * width);
        let hint = format!("make the nib smaller, or the scarf longer: by rule {least}");
        return Err(drawer.refuse(found, hint));
    }
    Ok((long, nib))
}

fn splayed(drawer: &mut Drawer<'_>) -> Result<Parted, Failure> {
    let width = drawer.width();
    let (long, nib) = scarf(drawer)?;
    let (length, start) = drawer.board(long);
    let value = long / (width - 2.0 * nib);
    drawer.sizes.push(super::Size {
        what: "slope of the scarf",
        value,
        is_slope: true,
        rule: None,
    });
    let end = start + long;
    let line = vec![
        (Point::new(start, 0.0), ""),
        (Point::new(start, nib), "nib"),
        (Point::new(end, width - nib), "slope"),
        (Point::new(end, width), "nib"),
    ];
    Ok(drawer.shared(line, (length, width)))
}

fn tabled(drawer: &mut Drawer<'_>) -> Result<Parted, Failure> {
    let (thick, width) = (drawer.needs_thick()?, drawer.width());
    let (long, nib) = scarf(drawer)?;
    let table = drawer.size("depth of the table", None, (Rule::Table, width));
    let wide = drawer.wish.slot.map_or(drawer.slot, Mm::mm);
    drawer.follows("width of the slot for the wedges", wide);
    if table < wide {
        let found = format!(
            "a slot {} wide is wider than the table, {} deep: its wedges would lie flat and turn",
            drawer.length(wide),
            drawer.length(table)
        );
        let hint = format!("make the slot at most {} wide", drawer.length(table));
        return Err(drawer.refuse(found, hint));
    }
    let (length, start) = drawer.board(long);
    let (low, high) = (Point::new(start, nib), Point::new(start + long, width - nib));
    let across = high - low;
    if long / 4.0 <= wide {
        let found = format!(
            "a slot of {} is too wide for a scarf of {}",
            drawer.length(wide),
            drawer.length(long)
        );
        return Err(drawer
            .refuse(found, "make the scarf longer, or the slot narrower".to_owned()));
    }
    // Two parallel slopes the table apart, one from each nib.
    let angle = across.angle() + libm::asin(table / across.length());
    let along = Vector::at_angle(angle);
    let value = 1.0 / libm::tan(angle);
    drawer.sizes.push(super::Size {
        what: "slope of the scarf",
        value,
        is_slope: true,
        rule: None,
    });
    let (middle, up) = (low.middle(high), along.left() * (table / 2.0));
    let line = |side: f64| {
        let wall = middle + along * side;
        vec![
            (Point::new(start, 0.0), ""),
            (low, "nib"),
            (wall + up, "slope"),
            (wall - up, "table"),
            (high, "slope"),
            (Point::new(start + long, width), "nib"),
        ]
    };
    let lines = [line(wide / 2.0), line(-wide / 2.0)];
    let slot = Slot { width: wide, height: table, through: thick };
    Ok(Parted { lines, board: (length, width), slot: Some(slot), through: Some(thick) })
}

fn tusk(drawer: &mut Drawer<'_>) -> Result<Parted, Failure> {
    let (thick, width) = (drawer.needs_thick()?, drawer.width());
    let mate = drawer.wish.mate.map_or(width, Mm::mm);
    drawer.follows("thickness of the post", mate);
    let tenon = drawer.size("width of the tenon", None, (Rule::TenonWide, width));
    let high = drawer.size("height of the wedge's slot", None, (Rule::TuskHigh, tenon));
    let wide = drawer.wish.slot.map_or(drawer.slot, Mm::mm);
    drawer.follows("width of the slot beyond the post's face", wide);
    let beyond = drawer.size("tenon beyond the slot", None, (Rule::TuskBeyond, wide));
    let long = mate + wide + beyond;
    drawer.follows("length of the tenon", long);
    let start = 2.0 * BEYOND;
    let (shoulder, end) = ((width - tenon) / 2.0, start + long);
    let line = vec![
        (Point::new(start, 0.0), ""),
        (Point::new(start, shoulder), "shoulder"),
        (Point::new(end, shoulder), "tenon"),
        (Point::new(end, width - shoulder), "end"),
        (Point::new(start, width - shoulder), "tenon"),
        (Point::new(start, width), "shoulder"),
    ];
    let mut parted = drawer.shared(line, (end + 1.0, width));
    parted.slot = Some(Slot { width: wide, height: high, through: thick });
    Ok(parted)
}

/// A line as it is drawn, before it is set in.
pub(super) fn line(corners: &[Corner]) -> Line {
    let pieces = corners
        .windows(2)
        .map(|ends| (Piece::line(ends[0].0, ends[1].0), Some(ends[1].1.to_owned())));
    Line { pieces: pieces.collect() }
}
