//! From what was asked to what holds: defaults filled in, doubts refused.

use super::axes::axes;
use super::bit::bit;
use super::machine::machine;
use super::machine_problems::too_short;
use super::mill::off_the_rack;
use super::solid;
use super::{Guide, Machine, Reference, Shop, Stock, Template, defaults};
use crate::diag::{Failure, Outcome, Place, Problem, Problems, Source, Told};
use crate::geom::Bounds;
use crate::read::{Cut, GrainKind, GrainWish, Job, ShapeSource, Side, Station, Strip};
use crate::units::{Mm, Paper};

/// Completes what a job asks for; `bounds` are the part's, which decide which way is long.
///
/// # Errors
/// Every doubt and every nonsense in the job that this room can see, all at once.
pub fn shop(job: &Job, bounds: Bounds) -> Outcome<Shop> {
    let mut wrong = Problems::new();
    let mut notes = Problems::new();
    if let Some(wish) = job.leave {
        more_than_zero(wish, "leave", &mut wrong);
    }
    let leave = leave(job);
    let bits = bits(job, &mut wrong);
    let template = template((job, &bits), &mut wrong);
    let paper = paper(job, &mut wrong);
    let mut shop = Shop {
        name: job.name.clone().unwrap_or_else(|| "part".to_owned()),
        paper,
        bits,
        stations: stations(job),
        stock: stock(job, bounds, &mut wrong),
        template,
        leave,
        leave_end_grain: if leave.mm() < defaults::LEAVE_END_GRAIN.value {
            leave
        } else {
            Mm::of(defaults::LEAVE_END_GRAIN.value)
        },
        count: count(job, &mut wrong),
        reference: reference(job),
        sheets: job.sheets,
        files: job.files.clone(),
        machine: machine_of(job, paper, (&mut wrong, &mut notes)),
        joint: job.mate.is_some()
            || matches!(
                job.shape,
                Some(ShapeSource::BoardAndLine(_) | ShapeSource::Joint(_))
            ),
        shop_rules: job.shop_rules.clone(),
    };
    let deep = |machine| too_short(machine, shop.blank_thick(), paper);
    wrong.extend(shop.machine.as_ref().and_then(deep));
    solid::settle(&mut shop, job, (&mut wrong, &mut notes));
    for problem in wrong.iter_mut().chain(&mut notes) {
        lay_at_its_key(problem, job);
    }
    if wrong.is_empty() {
        Ok(Told { value: shop, notes })
    } else {
        Err(Failure::Input(wrong))
    }
}

/// A problem with something that was asked stands at its key, where the job's file has one.
fn lay_at_its_key(problem: &mut Problem, job: &Job) {
    let Some(place) = &mut problem.place else { return };
    if place.source == Source::Job && place.line.is_none() {
        let of_machine = job.keys.get(&format!("machine.{}", place.name));
        if let Some(key) = of_machine.or_else(|| job.keys.get(&place.name)) {
            *place = key.clone();
        }
    }
}

/// The machine, with what the rack knows of its end mill and its axes.
fn machine_of(
    job: &Job,
    paper: Paper,
    (wrong, notes): (&mut Problems, &mut Problems),
) -> Option<Machine> {
    let wish = off_the_rack(job, wrong);
    let made = machine(&wish, paper, (wrong, notes))?;
    Some(Machine { axes: axes(job, (wrong, notes)), ..made })
}

pub(super) fn place(option: &str) -> Place {
    Place::whole(Source::Job, option)
}

fn paper(job: &Job, wrong: &mut Problems) -> Paper {
    let fraction = job.fraction.unwrap_or(Paper::MM.fraction);
    if !fraction.is_power_of_two() || !(2..=128).contains(&fraction) {
        let found = format!("1/{fraction} is no mark on an inch rule");
        let hint = "give 1/8, 1/16, 1/32 or 1/64";
        wrong.push(Problem::stop("fraction-unknown", found, hint).at(place("fraction")));
        return Paper::MM;
    }
    job.on_paper()
}

fn bits(job: &Job, wrong: &mut Problems) -> Vec<super::Bit> {
    if job.bits.is_empty() && job.machine.cut != Some(Cut::Part) {
        let hint = "name one with `--bit \"1/2in flush-trim\"` (bearing at the tip) or `--bit \"1/2in pattern\"` (bearing by the shank); in a job: `bits = [\"1/2in pattern\"]`; a bit of your rack goes by its name, and `spelch bits` lists them";
        let none = Problem::stop("no-bit", "no bit is on the rack", hint);
        let on_rack = Place::whole(Source::BitRack, "bits");
        let place = if job.keys.is_empty() { on_rack } else { job.place("bits") };
        wrong.push(none.at(place));
    }
    let mut bits = Vec::new();
    for (index, text) in job.bits.iter().enumerate() {
        match bit(text, index + 1, job) {
            Ok(bit) => bits.push(bit),
            Err(problem) => wrong.push(problem),
        }
    }
    bits
}

fn stations(job: &Job) -> Vec<Station> {
    let mut stations = Vec::new();
    for &station in &job.stations {
        if !stations.contains(&station) {
            stations.push(station);
        }
    }
    if stations.is_empty() {
        stations.push(Station::Hand);
    }
    stations
}

/// What a job measures its parts from.
pub fn reference(job: &Job) -> Reference {
    Reference {
        far: job.reference_edge == Some(Side::Far),
        right: job.reference_end.map(|side| side == Side::Right),
        left_handed: job.sheets.left_handed,
    }
}

fn stock(job: &Job, bounds: Bounds, wrong: &mut Problems) -> Stock {
    let thick = job.thick.filter(|&thick| more_than_zero(thick, "thick", wrong));
    let width = job.width.filter(|&width| more_than_zero(width, "width", wrong));
    wrong.extend(thick.and_then(|thick| too_thick(thick, job)));
    let strip = |strip: &Strip| (strip.wide.mm(), strip.grain.rem_euclid(180.0));
    Stock {
        thick,
        over_floor: None,
        socket: None,
        width,
        species: job.species.clone(),
        grain: grain(job.grain, bounds),
        strips: job.strips.iter().map(strip).collect(),
        kind: job.grain_kind.unwrap_or_default(),
    }
}

/// Refuses stock of a thickness that nothing routed has: a unit has slipped.
fn too_thick(thick: Mm, job: &Job) -> Option<Problem> {
    let most = Mm::of(defaults::THICKEST_STOCK.value);
    let paper = job.on_paper();
    let found = format!("the stock would be {} thick", paper.length(thick.mm()));
    let hint = "check the number and its unit, and give the thickness as it is measured";
    (most < thick).then(|| {
        Problem::stop("stock-too-thick", found, hint)
            .expected(format!("at most {}", paper.length(most.mm())))
            .at(job.place("thick"))
    })
}

/// The axis of the grain in a part with these bounds, in degrees counter-clockwise from +x,
/// `0 <= grain < 180`.
pub fn grain(wish: Option<GrainWish>, bounds: Bounds) -> f64 {
    let long = if bounds.width() < bounds.height() { 90.0 } else { 0.0 };
    match wish.unwrap_or(GrainWish::Long) {
        GrainWish::Long => long,
        GrainWish::Across => 90.0 - long,
        GrainWish::Degrees(degrees) => degrees.rem_euclid(180.0),
    }
}

pub(super) fn more_than_zero(length: Mm, what: &str, wrong: &mut Problems) -> bool {
    let good = 0.0 < length.mm();
    if !good {
        let found = format!("{what} is {} mm", length.mm());
        let hint = format!("measure it and give `{what}` as more than zero");
        wrong.push(Problem::stop("length-not-positive", found, hint).at(place(what)));
    }
    good
}

fn template((job, bits): (&Job, &[super::Bit]), wrong: &mut Problems) -> Template {
    let wish = &job.template;
    let made_for = wish.made_for.as_ref();
    let thick = wish.thickness.filter(|&it| more_than_zero(it, "template.thick", wrong));
    let run_on = wish.run_on.filter(|&it| more_than_zero(it, "template.run-on", wrong));
    Template {
        thick: thick.unwrap_or_else(|| Mm::of(template_thick(job, bits))),
        moves: wish.moves.unwrap_or(false),
        run_on: run_on.unwrap_or(Mm::of(defaults::RUN_ON.value)),
        extras: wish.extras.clone(),
        made_for: made_for.and_then(|text| match bit(text, 0, job) {
            Ok(bit) => Some(bit),
            Err(problem) => {
                wrong.push(problem);
                None
            }
        }),
    }
}

/// The thickness of a template that the job does not give: as usual, or the thickest sheet
/// below which every bit with a bearing by the shank gets its teeth.
///
/// Basis: geometry: the base rides on the template, and the teeth begin as far below the base
/// as the bit's reach has over its cutter.
fn template_thick(job: &Job, bits: &[super::Bit]) -> f64 {
    let usual = defaults::TEMPLATE_THICK.value;
    let by_shank = bits.iter().filter(|bit| bit.guides.contains(&Guide::Shank));
    let known = by_shank.filter_map(|bit| bit.reach.zip(bit.cut_length));
    let most = known
        .map(|(reach, length)| reach.mm() - length.mm())
        .filter(|most| defaults::BEARING_CONTACT.value <= *most)
        .fold(f64::INFINITY, f64::min);
    if usual <= most {
        return usual;
    }
    let sheets = defaults::sheets(job.paper_unit());
    sheets.iter().copied().rfind(|sheet| *sheet <= most).unwrap_or(usual)
}

/// Waste to leave for the router: as asked, else by the grain.
pub fn leave(job: &Job) -> Mm {
    job.leave.filter(|wish| 0.0 < wish.mm()).unwrap_or_else(|| {
        let plain = job.grain_kind.is_none_or(|kind| kind == GrainKind::Straight);
        let usual = if plain { defaults::LEAVE } else { defaults::LEAVE_TENDER };
        Mm::of(usual.value)
    })
}

fn count(job: &Job, wrong: &mut Problems) -> u32 {
    let count = job.count.unwrap_or(1);
    if count == 0 {
        let hint = "make at least one: `--make 1`";
        let none = Problem::stop("nothing-to-make", "none is to be made", hint);
        wrong.push(none.at(place("make")));
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::read::BitText;
    use crate::units::Diameter;

    fn a_job() -> Job {
        let place = Place::whole(Source::BitRack, "--bit");
        let bits = vec![BitText { text: "1/2in pattern".to_owned(), place }];
        Job { bits, ..Job::default() }
    }

    fn box_of(width: f64, height: f64) -> Bounds {
        Bounds { low: Point::new(0.0, 0.0), high: Point::new(width, height) }
    }

    #[test]
    fn long_grain_lies_along_the_longer_side() {
        for (wish, bounds, grain) in [
            (GrainWish::Long, box_of(200.0, 50.0), 0.0),
            (GrainWish::Long, box_of(50.0, 200.0), 90.0),
            (GrainWish::Long, box_of(50.0, 50.0), 0.0),
            (GrainWish::Across, box_of(200.0, 50.0), 90.0),
            (GrainWish::Across, box_of(50.0, 200.0), 0.0),
            (GrainWish::Degrees(-6.0), box_of(1.0, 1.0), 174.0),
        ] {
            let job = Job { grain: Some(wish), ..a_job() };
            let shop = shop(&job, bounds).expect("a sound job").value;
            assert!(
                (shop.stock.grain - grain).abs() < 1e-9,
                "{wish:?}: {}",
                shop.stock.grain
            );
        }
    }

    #[test]
    fn defaults_fill_what_was_not_said() {
        let shop = shop(&a_job(), box_of(100.0, 100.0)).expect("a sound job").value;
        assert!((shop.leave.mm() - 1.5875).abs() < 1e-9, "1/16 in");
        assert!((shop.leave_end_grain.mm() - 0.8).abs() < 1e-9, "less on end grain");
        assert_eq!(shop.stations, vec![Station::Hand], "by hand");
        assert_eq!((shop.count, shop.machine.is_none()), (1, true), "one, no machine");
        assert!(!shop.template.moves, "the template stays on face A");
    }

    #[test]
    fn what_is_wrong_with_a_key_stands_there_in_the_job_s_file() {
        let text = "bits = [\"12mm pattern\"]\nthick = \"18mm\"\n[machine]\nend-mill = \"6mm\"\nthrough = \"9mm\"\n";
        let outline =
            "[outline]\nstart = [0, 0]\nsteps = [\"right 9mm\", \"up 9mm\", \"close\"]\n";
        let job = crate::read::job("a.toml", &[text, outline].concat());
        let mut job = job.expect("a job").value;
        let lines = |job: &Job| {
            let failure = shop(job, box_of(9.0, 9.0)).expect_err("it is wrong");
            let found = failure.problems().iter();
            found
                .map(|it| (it.id, it.place.as_ref().and_then(|place| place.line)))
                .collect::<Vec<_>>()
        };
        let wanted = [("through-too-deep", Some(5))];
        assert_eq!(lines(&job), wanted, "in its line");
        job.keys.clear();
        assert!(lines(&job).iter().all(|(_, line)| line.is_none()), "asked by options");
    }

    #[test]
    fn a_machine_needs_an_end_mill() {
        let mut job = a_job();
        job.machine.feed = Some(Mm::of(1000.0));
        let told = shop(&job, box_of(1.0, 1.0)).expect("a sound job");
        assert!(told.value.machine.is_none(), "no machine");
        assert_eq!(told.notes[0].id, "no-end-mill", "and it is said");
        job.machine.end_mill = Diameter::new(Mm::of(6.0));
        let machine = shop(&job, box_of(1.0, 1.0)).expect("sound").value.machine;
        let machine = machine.expect("there is an end mill");
        assert!((machine.feed - 1000.0).abs() < 1e-9, "the feed asked for");
        assert!((machine.through.mm() - 0.3).abs() < 1e-9, "into the waste board");
    }

    #[test]
    fn every_doubt_is_told_at_once() {
        let mut job = Job { thick: Some(Mm::of(0.0)), count: Some(0), ..Job::default() };
        job.machine.end_mill = Diameter::new(Mm::of(6.0));
        job.machine.rpm = Some(60000.0);
        job.fraction = Some(7);
        let failure = shop(&job, box_of(1.0, 1.0)).expect_err("much is wrong");
        let ids: Vec<_> = failure.problems().iter().map(|problem| problem.id).collect();
        for id in [
            "no-bit",
            "length-not-positive",
            "nothing-to-make",
            "speed-out-of-range",
            "fraction-unknown",
        ] {
            assert!(ids.contains(&id), "{id} in {ids:?}");
        }
        for problem in failure.problems() {
            assert!(!problem.hint.is_empty() && problem.place.is_some(), "{problem:?}");
        }
    }
}
