//! Machine: only where a proved program cuts the template, or the part itself.

use super::{Job, Written, blank, solid};
use crate::post::Spindle;
use crate::prove::{Figures, tab_top};
use crate::read::{Bottom, WorkZero, ZZero};
use crate::sheet::hold::Hold;
use crate::sheet::model::{Block, Sheet};
use crate::shop::defaults::{self, Basis};
use crate::shop::{Axes, LapWay, Machine, Tool, chart_chip};
use crate::units::{Paper, Unit};

/// The sheet.
pub(super) fn sheet(job: &Job<'_>, written: Written<'_>) -> Sheet {
    let figures = written.proved.figures();
    let mut sheet = Sheet::new("Machine");
    // What the controller shows is compared with these: they stand in the program's unit.
    let paper = Paper { unit: figures.units, ..job.shop.paper };
    sheet.units = Some(match figures.units {
        Unit::Mm => "MM".to_owned(),
        Unit::Inch => "INCH, decimals".to_owned(),
    });
    let fine = |mm: f64| paper.fine(mm);
    let mut rows = programs(&written, (job.shop.machine.as_ref(), paper));
    rows.push(end_mill(job.shop.machine.as_ref(), (figures, paper)));
    if let Some(machine) = &job.shop.machine {
        rows.extend(machine.axes.iter().map(|axes| axes_row(&mut sheet, axes)));
        rows.extend(zeros(machine));
        rows.push(bottom(machine, paper));
        if machine.scribe {
            let depth = paper.fine(machine.scribe_depth.mm());
            rows.push(pair("Marks on the face, scribed", &format!("{depth} deep")));
        }
        rows.extend(machine.recesses.iter().map(|recess| {
            let depth =
                format!("{} deep, the whole of it", paper.fine(recess.depth.mm()));
            pair(&format!("Recess: {}", recess.name), &depth)
        }));
        rows.push(finishing_lap(machine));
    }
    rows.extend(extent(figures, paper));
    if let Some(machine) = &job.shop.machine {
        rows.extend(held(&mut sheet, job, (machine, figures), paper));
        rows.extend(speeds(&mut sheet, machine, paper));
        let clear = format!("{} above the blank", fine(machine.clear.mm()));
        rows.push(pair("Travels at", &clear));
    }
    sheet.table(&["What", "Figure"], rows, &[]);
    if job.shop.machine.as_ref().is_some_and(|machine| machine.axes.is_some()) {
        sheet.blocks.push(Block::Note("CAUTION", FOR_THESE_AXES.to_owned()));
    }
    let assumed = assumed(&mut sheet, job.shop.machine.as_ref(), paper);
    sheet.paragraph(assumed);
    sheet.paragraph(format!(
        "Proved by reading the finished program back: deepest cut into the {} {}, most left \
         standing {} ({} apart).",
        job.shop.machine.as_ref().map_or("template", Machine::cuts),
        fine(figures.gouge),
        fine(figures.leftover),
        apart(job)
    ));
    sheet.checks(checks(&written, paper));
    if let Some(machine) = job.shop.machine.as_ref().filter(|it| it.cuts_part()) {
        solid::runs(&mut sheet, job, machine);
    }
    Hold::Program.add(&mut sheet, job.shop.sheets.hold_points);
    blank::add(&mut sheet, job, (&written, paper));
    sheet
}

/// What is not counted as left standing.
fn apart(job: &Job<'_>) -> &'static str {
    if job.shop.cuts_part() {
        "tabs, what the mill cannot reach and what is left for the hand"
    } else {
        "tabs and what the mill cannot reach"
    }
}

/// The programs with their tools, in the order in which they run.
fn programs(
    written: &Written<'_>,
    (machine, paper): (Option<&Machine>, Paper),
) -> Vec<Vec<String>> {
    let tools = written.proved.tools();
    let [file] = written.files else {
        let rows = written.files.iter().zip(tools).enumerate();
        let row = |(index, (file, &(tool, wide))): (usize, (&String, &(Tool, f64)))| {
            let again = if index == 0 { "" } else { "; Z zeroed again for this tool" };
            let what = format!("Program {}, {}", index + 1, tool.word());
            let own = machine.and_then(|machine| machine.with(tool));
            let fed = own.map_or_else(String::new, |own| {
                let feed = paper.fine(own.feed);
                format!(", {:.0} turns a minute, fed {feed} a minute", own.rpm)
            });
            pair(&what, &format!("{file}, {} wide{fed}{again}", paper.fine(wide)))
        };
        return rows.map(row).collect();
    };
    vec![pair("Program", file)]
}

/// How wide the end mill is, and how wide it cuts.
fn end_mill(
    machine: Option<&Machine>,
    (figures, paper): (&Figures, Paper),
) -> Vec<String> {
    let cuts = paper.fine(figures.end_mill);
    match machine.and_then(|machine| machine.bare) {
        Some(bare) => {
            let words =
                format!("{}; it cuts {cuts} by the test piece", paper.fine(bare.mm()));
            pair("End mill, measured", &words)
        }
        None => pair("End mill, measured", &cuts),
    }
}

/// What to know where a program makes up for axes that are off.
const FOR_THESE_AXES: &str = "The program makes up for axes that are off. X, Y and the box above \
    are what the DISPLAY shows; a rule on the wood reads otherwise. It is right on this machine as \
    it was measured: after belts, nuts, rails or steps were touched, cut the test piece again \
    before it runs. Better is to set the machine right and to leave `axes` out of the job.";

/// How the axes run that the program makes up for.
fn axes_row(sheet: &mut Sheet, axes: &Axes) -> Vec<String> {
    let words = sheet.figure(axes.words(), Basis::Measured);
    let when = axes.measured.as_deref().unwrap_or("when, the rack does not say");
    pair("Axes, by the test piece", &format!("{words}; measured: {when}"))
}

/// Which way round the finishing lap goes.
fn finishing_lap(machine: &Machine) -> Vec<String> {
    let way = match machine.finish {
        _ if machine.cuts_part() => "in runs, see below",
        LapWay::Climb => "climb: the machine must have no play",
        LapWay::Conventional => "conventional, as the rough laps",
    };
    pair("Finishing lap", way)
}

/// Where the zeros are.
fn zeros(machine: &Machine) -> Vec<Vec<String>> {
    let zero = match machine.zero {
        WorkZero::Corner => "the blank's lower left corner",
        WorkZero::Centre => "the middle of the blank",
    };
    let z_zero = match machine.z_zero {
        ZZero::Top => "the TOP of the blank",
        ZZero::Table => "the waste board UNDER the blank",
    };
    vec![pair("X and Y are zero at", zero), pair("Z is zero at", z_zero)]
}

/// How far down it cuts.
fn bottom(machine: &Machine, paper: Paper) -> Vec<String> {
    match machine.bottom {
        Bottom::Through => pair(
            "Below the stock, into the waste board",
            &paper.fine(machine.through.mm()),
        ),
        Bottom::Skin => {
            let flat = (machine.skin.mm() - defaults::LEAST_SKIN.value).max(0.0);
            let text = format!(
                "{}: the blank must be flat to {}; cut free with a knife",
                paper.fine(machine.skin.mm()),
                paper.fine(flat)
            );
            pair("Skin left under everything", &text)
        }
    }
}

/// What the machine should show: how far the program goes, and how long it is.
fn extent(figures: &Figures, paper: Paper) -> Vec<Vec<String>> {
    let fine = |mm: f64| paper.fine(mm);
    let travel = &figures.travel;
    let run = |low: f64, high: f64| format!("{} to {}", fine(low), fine(high));
    let goes = format!(
        "X {}, Y {}: {} by {}",
        run(travel.low.x, travel.high.x),
        run(travel.low.y, travel.high.y),
        fine(travel.width()),
        fine(travel.height())
    );
    vec![
        pair("Box of the path", &goes),
        pair("Deepest Z", &fine(figures.deepest)),
        pair("Lines", &figures.lines.to_string()),
        pair("Minutes", &minutes(figures)),
        pair("Tabs", &figures.tabs.len().to_string()),
    ]
}

/// What stands of a tab, and whether that is less than was asked for.
fn tab(machine: &Machine, job: &Job<'_>, paper: Paper) -> Vec<String> {
    let (neck, asked) = (machine.tab_neck.mm(), machine.tab_high.mm());
    let thick = job.shop.blank_thick();
    let high = thick + tab_top(thick, machine);
    let lowered = if high < asked {
        format!(", not {}: a third of the blank is cut above it", paper.fine(asked))
    } else {
        String::new()
    };
    let words = format!(
        "{} at its narrowest place, {} high{lowered}",
        paper.fine(neck),
        paper.fine(high)
    );
    pair("Of each tab stands", &words)
}

/// What holds the wood and the mill.
fn held(
    sheet: &mut Sheet,
    job: &Job<'_>,
    (machine, figures): (&Machine, &Figures),
    paper: Paper,
) -> Vec<Vec<String>> {
    let tab = (!figures.tabs.is_empty()).then(|| tab(machine, job, paper));
    tab.into_iter().chain([stick_out(sheet, machine, paper)]).collect()
}

/// What holds the mill, as the proof takes it to be.
fn stick_out(sheet: &mut Sheet, machine: &Machine, paper: Paper) -> Vec<String> {
    let holder = &machine.holder;
    let words = format!(
        "{} or more out of its nut, the nut no wider than {}",
        paper.fine(holder.stick_out.mm()),
        paper.fine(holder.nut_wide.mm())
    );
    let basis = defaults::STICK_OUT.basis;
    pair("The mill stands", &sheet.figure(words, basis))
}

/// What the minutes assume.
fn assumed(sheet: &mut Sheet, machine: Option<&Machine>, paper: Paper) -> String {
    let rates = machine.map(|machine| machine.rates);
    let assumed = format!(
        "Minutes: from every length at its full feed, to a machine that speeds up at \
         {}/s2, rounds its corners by {} and travels at {}/min; clamping apart.",
        paper.fine(rates.map_or(defaults::ACCELERATION.value, |it| it.acceleration)),
        paper.decimals(defaults::CORNER_ROUNDED.value, 4),
        paper.fine(rates.map_or(defaults::TRAVEL_RATE.value, |it| it.travel))
    );
    sheet.figure(assumed, defaults::ACCELERATION.basis)
}

/// What the person does for a router that no program switches.
const SWITCHED_ON: &str = "Program waits the first time: router switched ON, up to speed, then on with the program.";
/// The same at the end.
const SWITCHED_OFF: &str = "Program waits the last time, up high: router switched OFF, then on with the program.";

/// What is looked at before and after.
fn checks(written: &Written<'_>, paper: Paper) -> Vec<String> {
    let figures = written.proved.figures();
    let high = figures.travel.high;
    let far = format!(
        "Far corner reads X ______ Y ______ (no more than X {} Y {}).",
        paper.fine(high.x),
        paper.fine(high.y)
    );
    let mut lines = vec![
        "Blank measured in four places, flat, thickness as entered.",
        "Screws and clamps outside the line of cut, and low.",
        if 1 < written.files.len() {
            "Tools changed in the order above, X and Y left alone, Z zeroed again at each."
        } else {
            "Bit changed? Z zeroed again."
        },
        "Outline run once in the air, hose and cable free.",
        &far,
        "First lap watched, hand on the stop.",
        "Tabs pared flush; the line checked on the sheet of checks.",
    ];
    if figures.spindle == Spindle::ByHand {
        lines.insert(lines.len() - 2, SWITCHED_ON);
        lines.insert(lines.len() - 1, SWITCHED_OFF);
    }
    lines.into_iter().map(str::to_owned).collect()
}

/// From least to likely, in whole minutes.
fn minutes(figures: &Figures) -> String {
    let [least, most] =
        [figures.minutes, figures.likely_minutes].map(|all| all.max(1.0).ceil());
    if least < most {
        format!("{least:.0} to {most:.0}")
    } else {
        format!("about {most:.0}")
    }
}

/// Spindle and feeds, each with its arithmetic and its basis.
fn speeds(sheet: &mut Sheet, machine: &Machine, paper: Paper) -> Vec<Vec<String>> {
    let (rpm, flutes, chip) = (machine.rpm, machine.flutes, machine.chip());
    let spindle = format!(
        "{rpm:.0} turns a minute; the rim goes {:.1} m/s, at most {:.0}; never over what is marked on the end mill",
        machine.rim(),
        defaults::RIM_SPEED.value
    );
    let feed = format!(
        "{} a minute = {rpm:.0} turns x {flutes} flutes x {} a tooth",
        paper.fine(machine.feed),
        paper.decimals(chip, 4)
    );
    let [least, most] = chart_chip(machine.end_mill, machine.material);
    let chart = format!(
        "{} to {} a tooth in {} on a stiff machine; a light one {:.0} % of the least",
        paper.fine(least),
        paper.fine(most),
        machine.material.word(),
        defaults::CHIP_SHARE.value * 100.0
    );
    vec![
        pair("Spindle", &sheet.figure(spindle, defaults::RIM_SPEED.basis)),
        pair("Feed", &sheet.figure(feed, Basis::Geometry)),
        pair("Chip by the charts", &sheet.figure(chart, Basis::CommonPractice)),
        pair(
            "Plunge, straight down where the wood is gone",
            &format!("{} a minute", paper.fine(machine.plunge)),
        ),
    ]
}

fn pair(what: &str, value: &str) -> Vec<String> {
    vec![what.to_owned(), value.to_owned()]
}
