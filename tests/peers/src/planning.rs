//! How long planning takes: the samples, and outlines of more and more stretches for one rack.
//!
//! No library does the same work, so there is no peer here: the limits are our own.

use crate::kernel;
use crate::polygons::{Geos, Polygons};
use spelch::diag::Problem;
use spelch::{read, work};
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::time::Instant;

/// The least of so many rounds counts: the others were disturbed.
const ROUNDS: usize = 7;
/// A sample is planned in less, in milliseconds.
const SAMPLE: f64 = 20.0;
/// An outline of 1,000 stretches is planned in less, in milliseconds.
const THOUSAND: f64 = 1000.0;
/// Time grows no faster than n log n: at most so many times as much for each of them at the last
/// as at the first. Memory that no longer fits the nearest store is in it.
const GROWTH: f64 = 2.0;

/// The radius of the bit that rolls round rings of many chords, in mm.
const BIT: f64 = 6.35;
/// How far another library's chords may stray from its arcs, in mm.
const STRAY: f64 = 1e-5;
/// What is left may differ by this share.
const SHARE: f64 = 0.02;

/// A ring and a bit; and a machine for its template.
const RING: &str = r#"
units = "mm"
grain = "long"
thick = 19
bits = ["12.7mm pattern, 1in long"]
[outline]
drawing = "ring.svg"
"#;
const MACHINE: &str = "[machine]\nend-mill = \"3mm\"\n";

/// A rack of six bits, by hand and at the table.
const HEAD: &str = r#"
units = "mm"
grain = "long"
thick = 19
work = "both"
bits = [
    "1/2in pattern, 1in long", "1/2in flush-trim, 1in long", "1/4in pattern, 1in long",
    "1/4in flush-trim, 1in long", "3/4in pattern, 1in long", "3/4in flush-trim, 1in long",
]
[outline]
start = [0, 0]
"#;

/// Plans everything and prints a table; whether all limits hold.
pub(crate) fn run() -> bool {
    let samples = samples();
    let waves = growth("waves on all sides", waves);
    let teeth = growth("teeth on all sides", teeth);
    let chords = chords();
    samples && waves && teeth && chords
}

/// Outlines of many chords: what the plan says a bit leaves is what the closing by another
/// library adds. A machine cuts the template of a smooth one; on a noisy edge no tab finds room.
fn chords() -> bool {
    println!("| outline | ms to plan | left, mm² | by GEOS | |\n|---|---|---|---|---|");
    let mut good = true;
    for (name, chords, noise) in [
        ("smooth, 100,000 chords", 100_000, 0.0),
        ("noisy, 10,000 chords", 10_000, 0.005),
    ] {
        let rings = kernel::ring_of(chords, noise);
        let machine = if noise > 0.0 { "" } else { MACHINE };
        let text = format!("{RING}{machine}");
        let job = read::job("ring.toml", &text).expect("a sound job").value;
        let drawing = drawn(&rings[0]);
        let start = Instant::now();
        let load = |_: &str| Ok(drawing.clone().into_bytes());
        let planned =
            work::plan_job(&job, &load).unwrap_or_else(|why| panic!("{name}: {why:?}"));
        let ms = start.elapsed().as_secs_f64() * 1e3;
        let reaches = planned.value.plan.parts[0].reach.iter().flatten();
        let reach = reaches.into_iter().next().expect("a reach");
        let listed: f64 = reach.sites.iter().map(|site| site.area).sum();
        let ours = listed + reach.shallow.1;
        let part = Geos::of(&rings);
        let closed = part.offset(BIT, STRAY).offset(-BIT, STRAY);
        let theirs = closed.area() - part.area();
        let holds = (ours - theirs).abs() <= SHARE * theirs && 1.0 < theirs;
        good &= holds;
        let told = if holds { "agrees" } else { "DIFFERS" };
        println!("| {name} | {ms:.0} | {ours:.3} | {theirs:.3} | {told} |");
    }
    println!();
    good
}

/// A ring as an SVG, in millimetres.
fn drawn(ring: &[spelch::geom::Point]) -> String {
    let mut text = String::from(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400"><path d="M"#,
    );
    for point in ring {
        write!(text, "{:.7},{:.7} ", 200.0 + point.x, 200.0 - point.y)
            .expect("a String takes all");
    }
    text + "Z\"/></svg>"
}

/// Every sample in a job's file.
fn samples() -> bool {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let mut jobs: Vec<PathBuf> = std::fs::read_dir(&folder)
        .expect("there are samples")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .filter(|path| !path.ends_with("rack.toml"))
        .collect();
    jobs.sort();
    println!("| sample | ms to plan | |\n|---|---|---|");
    let mut good = true;
    for path in jobs {
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).expect("the sample");
        let mut job = read::job(&name, &text).expect("a sound job").value;
        if job.bits.iter().any(|bit| bit.rack_name().is_some()) {
            let rack = std::fs::read_to_string(folder.join("rack.toml")).expect("a rack");
            job.rack = read::rack("rack.toml", &rack).expect("a sound rack").value;
        }
        let (ms, _) = planned(&job, &folder);
        good &= ms < SAMPLE;
        println!("| {name} | {ms:.1} | {} |", verdict(ms < SAMPLE));
    }
    println!();
    good
}

/// One shape with more and more stretches.
fn growth(name: &str, shape: fn(usize) -> String) -> bool {
    println!(
        "| {name}: stretches | ms to plan | ns for each, by n log n | |\n|---|---|---|---|"
    );
    let (mut good, mut first) = (true, None);
    for wanted in [250, 500, 1000, 2000, 4000] {
        let job = read::job("shape.toml", &shape(wanted)).expect("a sound job").value;
        let (ms, stretches) = planned(&job, Path::new("."));
        let n = f64::from(u32::try_from(stretches).expect("not so many"));
        let each = ms * 1e6 / (n * n.log2());
        let holds =
            each <= GROWTH * *first.get_or_insert(each) && (1100.0 < n || ms < THOUSAND);
        good &= holds;
        println!("| {stretches} | {ms:.1} | {each:.0} | {} |", verdict(holds));
    }
    println!();
    good
}

const fn verdict(holds: bool) -> &'static str {
    if holds { "holds" } else { "TOO SLOW" }
}

/// The least milliseconds that a job takes to plan, and how many stretches it has.
fn planned(job: &read::Job, folder: &Path) -> (f64, usize) {
    let load = |name: &str| {
        std::fs::read(folder.join(name)).map_err(|error| {
            Problem::stop("not-there", error.to_string(), "look for it").into()
        })
    };
    let mut least = f64::INFINITY;
    let mut stretches = 0;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let planned = work::plan_job(job, &load).expect("it can be planned").value;
        least = least.min(start.elapsed().as_secs_f64() * 1e3);
        stretches = planned.plan.stretches.len();
    }
    (least, stretches)
}

/// The four ways round a square.
const WAYS: [(f64, f64); 4] = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];

/// A square whose sides are half waves of radius 20 over chords of 26: about so many stretches.
fn waves(stretches: usize) -> String {
    let n_side = stretches / 12;
    let (mut text, mut x, mut y) = (format!("{HEAD}steps = [\n"), 0.0, 0.0);
    for (side, (dx, dy)) in WAYS.into_iter().enumerate() {
        for step in 0..n_side {
            (x, y) = (x + 26.0 * dx, y + 26.0 * dy);
            let turn = if step % 2 == 0 { "left" } else { "right" };
            let last = side == 3 && step + 1 == n_side;
            let (x, y) = if last { (0.0, 0.0) } else { (x, y) };
            writeln!(text, "\"arc {turn} 20 to {x:.1}, {y:.1}\",")
                .expect("a String takes all");
        }
    }
    text + "]\n"
}

/// A square with teeth all round: about so many stretches, every other corner for the hand.
fn teeth(stretches: usize) -> String {
    let n_side = stretches / 20;
    let (mut text, mut x, mut y) = (format!("{HEAD}steps = [\n"), 0.0, 0.0);
    for (side, (dx, dy)) in WAYS.into_iter().enumerate() {
        for step in 0..n_side {
            let (tip_x, tip_y) = (x + 22.0 * dx + 30.0 * dy, y + 22.0 * dy - 30.0 * dx);
            (x, y) = (x + 44.0 * dx, y + 44.0 * dy);
            let last = side == 3 && step + 1 == n_side;
            let end =
                if last { "close".to_owned() } else { format!("to {x:.1}, {y:.1}") };
            writeln!(text, "\"to {tip_x:.1}, {tip_y:.1}\",\n\"{end}\",")
                .expect("a String takes all");
        }
    }
    text + "]\n"
}
