//! Tests of the job reader.

use super::{Given, Setting, job, job_with};
use crate::diag::{Failure, Place, Problem, Source};
use crate::read::{
    EdgeRef, Extra, FileKind, GrainWish, Hand, Job, Lie, Role, SetIn, ShapeSource, Side,
    Station, Step,
};
use crate::units::{Mm, Unit};

const SQUARE: &str = "[outline]\nstart = [0, 0]\nsteps = [\"right 50mm\", \"up 50mm\", \"left 50mm\", \"close\"]\n";

fn read(text: &str) -> Job {
    job("part.toml", text).expect(text).value
}

fn refused(text: &str) -> Vec<Problem> {
    match job("part.toml", text) {
        Err(Failure::Input(problems)) => problems,
        other => panic!("{text} gave {other:?}"),
    }
}

const EVERY_KEY: &str = r#"
name = "all"
units = "in"
fraction = "1/64"
fit = "0.002mm"
grain = -7.5
thick = "3/4"
species = "ash"
width = 4.5
hand = "left"
reference-edge = "far"
reference-end = "right"
files = ["page", "program"]
rack = "rack.toml"
bits = ["1/2in pattern, 1in long", "1/4in straight + 1/2in bush"]
bearing = 0.5
cut-length = 1
work = "both"
leave = "1/16"
make = 4
shop-rules = ["Ear muffs on."]
[outline]
start = [0, 0]
steps = ["right 4", "up 3 as slope", "close"]
[[outline.openings]]
name = "slot"
start = [3, 0.5]
steps = ["up 1/2", "right 1/2", "close as wall"]
[edges]
true = ["left", "slope"]
goes-on = ["far"]
[template]
thick = "12mm"
moves = true
run-on = 2
pins = [{ at = [1, 1], wide = "6mm" }]
hang-hole = { at = [2, 1], wide = "8mm" }
[machine]
end-mill = "6mm"
blank = "8x6in"
zero = "centre"
z-zero = "table"
clear = "15mm"
feed = "1200mm/min"
plunge = 12
rpm = 16000
post = "iso-inch"
"#;

#[test]
fn every_key_is_read() {
    let job = read(EVERY_KEY);
    assert_eq!(
        (job.units, job.fraction, job.count),
        (Some(Unit::Inch), Some(64), Some(4))
    );
    assert_eq!(job.grain, Some(GrainWish::Degrees(-7.5)), "an angle");
    assert!((job.thick.expect("given").mm() - 19.05).abs() < 1e-12, "three quarters");
    assert_eq!(job.stations, [Station::Hand, Station::Table], "both");
    assert_eq!(job.bits[1].text, "1/4in straight + 1/2in bush");
    assert_eq!(job.bits[1].place.line, Some(15), "a bit knows its line");
    assert_eq!(
        (job.hand, job.rack_file.as_deref()),
        (Some(Hand::Left), Some("rack.toml"))
    );
    let reference = (job.reference_edge, job.reference_end);
    assert_eq!(reference, (Some(Side::Far), Some(Side::Right)), "sides");
    assert_eq!(job.files, [FileKind::Page, FileKind::Program], "what to make");
    let wishes: Vec<(&EdgeRef, Role)> =
        job.roles.iter().map(|wish| (&wish.which, wish.role)).collect();
    assert_eq!(wishes[0], (&EdgeRef::Side(Side::Left), Role::TrueAlready), "a side");
    assert_eq!(wishes[1].0, &EdgeRef::Name("slope".to_owned()), "a name");
    assert_eq!(wishes[2], (&EdgeRef::Side(Side::Far), Role::GoesOn), "in order");
    let Some(ShapeSource::Walks(walks)) = &job.shape else { panic!("walks") };
    let names: Vec<Option<&str>> =
        walks[1].steps.iter().map(|(_, name)| name.as_deref()).collect();
    assert_eq!(names, [Some("slot"), Some("slot"), Some("wall")], "the loop's name");
    assert_eq!(walks[1].step_places[2].line, Some(28), "a step knows its line");
    let machine = &job.machine;
    let blank = machine.blank.expect("given");
    assert!((blank.0.mm() - 203.2).abs() < 1e-9, "8 in");
    assert!((machine.plunge.expect("given").mm() - 304.8).abs() < 1e-9, "12 in a minute");
    assert!(matches!(job.template.extras[1], Extra::HangHole { .. }), "a hang hole");
}

#[test]
fn a_misspelt_key_is_named_with_the_nearest() {
    for (text, near, line) in [
        ("thik = \"18mm\"\n", "thick", 1),
        ("[template]\nrunon = \"50mm\"\n", "run-on", 2),
        ("[machine]\nend-mill = \"6mm\"\nfeet = 3\n", "feed", 3),
        ("[outline]\nstart = [0, 0]\nstepps = []\nsteps = [\"close\"]\n", "steps", 3),
    ] {
        let problem = &refused(text)[0];
        assert_eq!(problem.id, "job-unknown-key", "{text}");
        assert!(problem.hint.contains(&format!("use `{near}`")), "{}", problem.hint);
        assert_eq!(
            problem.place.as_ref().and_then(|place| place.line),
            Some(line),
            "{text}"
        );
    }
}

#[test]
fn every_problem_of_a_job_is_told_at_once() {
    let problems = refused(
        "thick = 18\ngrain = \"up\"\nmake = 0\nwork = \"bench\"\nleave = \"-1mm\"\nbits = \"1/2in\"\nfraction = \"1/10\"\nfit = nan\n",
    );
    let mut ids: Vec<&str> = problems.iter().map(|problem| problem.id).collect();
    ids.sort_unstable();
    assert_eq!(
        ids,
        [
            "count-unreadable",
            "fraction-unreadable",
            "grain-unreadable",
            "job-wrong-kind",
            "length-negative",
            "length-without-unit",
            "number-not-finite",
            "work-unknown"
        ]
    );
    for problem in &problems {
        assert!(!problem.hint.is_empty(), "{} says what to do", problem.id);
        let place = problem.place.as_ref().expect("a place");
        assert!(place.span.is_some() && place.line.is_some(), "{} has bytes", problem.id);
    }
}

#[test]
fn bare_lengths_take_the_unit_of_the_command_unless_the_job_says_its_own() {
    let inches = Given { units: Some(Unit::Inch), set: Vec::new() };
    let bare = job_with("part.toml", "thick = 2\n", &inches);
    assert!(
        (bare.expect("inches").value.thick.expect("given").mm() - 50.8).abs() < 1e-12
    );
    let own = job_with("part.toml", "units = \"mm\"\nthick = 2\n", &inches);
    assert!((own.expect("mm").value.thick.expect("given").mm() - 2.0).abs() < 1e-12);
}

#[test]
fn spans_are_those_of_the_value() {
    let text = "name = \"é\"\nthick = 18\n";
    let problem = &refused(text)[0];
    let span = problem.place.as_ref().and_then(|place| place.span.clone());
    assert_eq!(&text[span.expect("bytes")], "18");
    assert!(problem.found.contains("18 mm or 18 in"), "{}", problem.found);
}

#[test]
fn shapes_are_one_or_none() {
    assert_eq!(read("thick = \"18mm\"\n").shape, None, "a command may bring it");
    let drawing = read("[outline]\ndrawing = \"foot.svg\"\n").shape;
    assert_eq!(drawing, Some(ShapeSource::Drawing("foot.svg".to_owned())));
    for (text, id) in [
        (format!("{SQUARE}[board]\nlength = 1\n"), "job-two-shapes"),
        (format!("{SQUARE}drawing = \"a.svg\"\n"), "job-two-shapes"),
        ("[outline]\n".to_owned(), "job-key-missing"),
        ("[outline]\nsteps = [\"close\"]\n".to_owned(), "job-key-missing"),
        ("[board]\nlength = \"1m\"\nwidth = \"70mm\"\n".to_owned(), "job-key-missing"),
        (SQUARE.replace("[0, 0]", "[0]"), "job-point"),
        ("outline = 3\n".to_owned(), "job-wrong-kind"),
        ("[machine]\nrpm = 16000\n".to_owned(), "job-key-missing"),
        ("thick = \n".to_owned(), "job-not-toml"),
    ] {
        assert_eq!(refused(&text)[0].id, id, "{text}");
    }
}

const SIZED: &str = r#"
units = "mm"
thick = "3/4in"
width = 120
[sizes]
leg = "width / 3"
rise = "leg - 2 * thick"
slope = "rise / leg"
[outline]
start = ["leg", 0]
steps = ["right width - leg", "up max(rise, 1in)", "arc left sqrt(leg * leg) to leg, rise", "close"]
"#;

fn starts_at(job: &Job) -> f64 {
    let Some(ShapeSource::Walks(walks)) = &job.shape else { panic!("walks") };
    walks[0].start.x
}

#[test]
fn sizes_are_worked_out_from_those_above_them() {
    let job = read(SIZED);
    assert!((starts_at(&job) - 40.0).abs() < 1e-9, "a third of the width");
    let Some(ShapeSource::Walks(walks)) = &job.shape else { panic!("walks") };
    assert_eq!(walks[0].steps[0].0, Step::By(80.0, 0.0), "in a step");
    assert_eq!(walks[0].steps[1].0, Step::By(0.0, 25.4), "of two the larger");
    let below = SIZED.replace("leg = \"width / 3\"", "leg = \"rise / 3\"");
    let problem = &refused(&below)[0];
    assert_eq!(
        (problem.id, problem.place.as_ref().and_then(|p| p.line)),
        ("size-unknown", Some(6))
    );
}

fn set(name: &str, text: &str) -> Given {
    let place = Place::whole(Source::Command, "--set");
    let one = Setting { name: name.to_owned(), text: text.to_owned(), place };
    Given { units: None, set: vec![one] }
}

#[test]
fn what_the_command_sets_is_laid_over_before_anything_is_worked_out() {
    let with = |name, text| job_with("part.toml", SIZED, &set(name, text));
    let job = with("width", "150mm").expect("a size of the stock").value;
    assert!((starts_at(&job) - 50.0).abs() < 1e-9, "the leg follows");
    assert!((job.width.expect("given").mm() - 150.0).abs() < 1e-9, "the stock too");
    let job = with("leg", "thick + 1").expect("a sum of those above").value;
    assert!((starts_at(&job) - 20.05).abs() < 1e-9, "its own");
    let Err(Failure::Input(problems)) = with("lag", "3") else { panic!("no such size") };
    assert!(problems[0].hint.contains("`leg`"), "{problems:?}");
}

#[test]
fn a_size_may_not_have_the_name_of_something_else() {
    for name in ["in", "left", "sqrt", "to", "Leg", "2nd"] {
        let text = format!("[sizes]\n{name} = \"3mm\"\n");
        assert_eq!(refused(&text)[0].id, "size-name", "{name}");
    }
}

#[test]
fn a_part_of_a_text_is_marked_to_the_letter() {
    for (text, marked) in [
        ("thick = \"12 mn\"\n", "mn"),
        ("units = \"mm\"\n[sizes]\nleg = \"3 / 0\"\n", "0"),
        (
            "units = \"mm\"\n[outline]\nstart = [0, 0]\nsteps = [\"to min(3, 4), Lag as x\"]\n",
            "Lag",
        ),
        ("thick = \"3 \\\" 4\"\n", "4"),
        ("thick = \"\"\"\n3 mn\"\"\"\n", "\"\"\"\n3 mn\"\"\""),
    ] {
        let problem = &refused(text)[0];
        let span = problem.place.clone().and_then(|place| place.span).expect("bytes");
        assert_eq!(&text[span], marked, "{text}: {problem:?}");
    }
}

#[test]
fn a_board_is_as_wide_as_the_stock_unless_it_says() {
    let text = "units = \"mm\"\nwidth = 70\n[board]\nlength = 900\n[board.line]\nstart = [300, 0]\nsteps = [\"up width\"]\n";
    let Some(ShapeSource::BoardAndLine(board)) = read(text).shape else {
        panic!("a board")
    };
    assert!((board.width.mm() - 70.0).abs() < 1e-9, "the stock's width");
    let bare = text.replace("width = 70\n", "").replace("up width", "up 70");
    assert_eq!(refused(&bare)[0].id, "job-key-missing");
}

/// Every key of a second half that an outline has not, in a drawing's layers.
#[test]
fn a_second_half_is_read_with_how_it_lies() {
    let text = "units = \"mm\"\n[outline]\ndrawing = \"hook.dxf\"\nlayers = [\"A\"]\n[mate]\ndrawing = \"hook.dxf\"\nlayers = [\"B\"]\nknown-width = 90\nturn = \"half\"\nslide = [\"2in\", -8]\nface = \"B\"\nwithin = 2\nclearance = 0\nset-in = \"B\"\n[mate.edges]\ntrue = [\"left\"]\n";
    let job = read(text);
    let mate = job.mate.as_ref().expect("a second half");
    assert_eq!(mate.shape, ShapeSource::Drawing("hook.dxf".to_owned()));
    assert_eq!((&mate.pick.layers[0].0[..], &job.pick.layers[0].0[..]), ("B", "A"));
    assert!(mate.known_size.is_some() && job.known_size.is_none(), "its own");
    let slide = crate::geom::Vector::new(50.8, -8.0);
    assert_eq!(mate.lie, Lie { turned_over: true, degrees: 180.0, slide });
    assert_eq!((mate.within, mate.clearance), (Mm::new(2.0), Mm::new(0.0)));
    assert_eq!(mate.set_in, SetIn::B);
    assert_eq!((mate.roles.len(), job.roles.len()), (1, 0), "its own roles");
    let plain = read(&format!("{SQUARE}[mate]\n{}", &SQUARE["[outline]\n".len()..]));
    assert_eq!(plain.mate.expect("a second half").lie, Lie::default(), "as it is drawn");
}
