//! The sheets of a test piece: what to cut and measure, and what the readings say.

use super::bench::{general, unit_words};
use super::model::{Block, Sheet, Sheets};
use super::standing::{Standing, picture};
use super::{Bundle, file_stem, html, markdown};
use crate::geom::{Bounds, Point, Vector};
use crate::prove::ProvedProgram;
use crate::read::{Bottom, Feature, Readings};
use crate::shop::defaults::{self, Basis};
use crate::shop::{Axes, LapWay, Machine, Shop};
use crate::units::Paper;

/// What the sheets are made from.
#[derive(Debug, Clone, Copy)]
pub struct TestPiece<'a> {
    /// The shop whose machine cuts it.
    pub shop: &'a Shop,
    /// The proved program.
    pub proved: &'a ProvedProgram,
    /// What was measured on it, once it was cut.
    pub readings: Option<&'a Readings>,
    /// Whether it is the second piece, whose finishing lap climbs whatever the job's does.
    pub climbs: bool,
    /// The short id.
    pub id: &'a str,
}

/// The files: program and sheet, or the sheet of what the readings say.
pub fn test_piece_bundle(piece: &TestPiece<'_>) -> Bundle {
    let name = file_stem(&piece.shop.name);
    let second = if piece.climbs { "-climb" } else { "" };
    let program = format!("{name}-testpiece{second}.{}", piece.proved.extension());
    let page = match piece.readings {
        None => to_cut(piece, &program),
        Some(readings) => result(piece, readings),
    };
    let kind = if piece.readings.is_none() { "testpiece" } else { "measured" };
    let sheets = Sheets {
        what: "test piece",
        name: piece.shop.name.clone(),
        id: piece.id.to_owned(),
        units: unit_words(piece.shop.paper),
        pages: vec![page],
    };
    let mut files = vec![
        (format!("{name}-{kind}{second}.html"), html::written(&sheets).into_bytes()),
        (format!("{name}-{kind}{second}.md"), markdown::written(&sheets).into_bytes()),
    ];
    if piece.readings.is_none() {
        files.push((program, piece.proved.text().as_bytes().to_vec()));
    }
    Bundle { name, files }
}

/// What to cut and what to measure.
fn to_cut(piece: &TestPiece<'_>, program: &str) -> Sheet {
    let mut sheet = Sheet::new("Test piece");
    let paper = piece.shop.paper;
    let what = piece.shop.machine.as_ref().map_or("template", Machine::cuts);
    let same = if piece.climbs {
        "the same end mill, depth and allowance, but its finishing lap CLIMBS all round"
    } else {
        "the same end mill, way round, depth and finishing lap"
    };
    sheet.paragraph(format!(
        "{program} cuts a square with a ring and a bar with a slot, as the {what} will be cut: \
         {same}. Use the {what}'s own material."
    ));
    if let Some(machine) = &piece.shop.machine {
        sheet.table(&["As the job", "Figure"], as_the_job(piece.shop, machine), &[]);
        sheet
            .blocks
            .extend(said_of(machine).map(|text| Block::Note("NOTE", text.to_owned())));
    }
    let steps = [
        "Clamp the blank well clear of the box below, zero X, Y and Z as for the job.",
        "Run it. Pare the tabs flush before measuring.",
        "Let it cool and blow the dust off; measure each size in three places, write the mean.",
        "Put the readings into a file with the keys below, and run the command again with \
         `--readings` and its name.",
    ];
    sheet.blocks.push(Block::Steps(1, steps.map(str::to_owned).to_vec()));
    let row = |feature: Feature| {
        let (key, what) = (feature.key().to_owned(), feature.words().to_owned());
        vec![key, what, paper.fine(feature.mm()), "________".to_owned()]
    };
    let rows = Feature::ALL.map(row).to_vec();
    sheet.table(&["Key", "Measure", "As drawn", "Read"], rows, &[2]);
    sheet.paragraph("The bar and the diagonals may be left out where no calipers reach.");
    let figures = piece.proved.figures();
    let travel = figures.travel;
    let to = |low: f64, high: f64| format!("{} to {}", paper.fine(low), paper.fine(high));
    sheet.paragraph(format!(
        "The path goes from X {} and Y {}.",
        to(travel.low.x, travel.high.x),
        to(travel.low.y, travel.high.y)
    ));
    let by = figures.work_zero - Point::default();
    let rim = Vector::new(defaults::BLANK_MARGIN.value, defaults::BLANK_MARGIN.value);
    let blank = Bounds { low: travel.low + by - rim, high: travel.high + by + rim };
    let shown = Standing {
        ways: piece.proved.ways(),
        blank,
        work_zero: figures.work_zero,
        name: &piece.shop.name,
        id: piece.id,
    };
    sheet.blocks.push(Block::Picture(picture(&shown)));
    general(&mut sheet);
    sheet
}

/// What stands on the sheet where the axes are kept already, and where the job climbs.
fn said_of(machine: &Machine) -> impl Iterator<Item = &'static str> {
    let kept = machine.axes.is_some().then_some(AS_IT_RUNS);
    let climbs = match machine.finish {
        LapWay::Climb => Some(PULLS),
        LapWay::Conventional => machine.cuts_wood().then_some(NOT_CLIMBED),
    };
    kept.into_iter().chain(climbs)
}

/// A test piece of a machine whose axes are kept.
const AS_IT_RUNS: &str = "The program does not make up for the axes that the rack keeps: what you \
    read is how the machine runs by itself, and takes the place of what is kept.";

/// A test piece whose finishing lap climbs (common practice, no source).
const PULLS: &str =
    "A climb pulls the mill along: no play in the axes, hand on the stop.";

/// A test piece of a job whose finishing lap climbs in places (from memory: a climb presses the
/// mill off the edge, where the measured way round draws it on).
const NOT_CLIMBED: &str = "All of it is cut conventionally: how wide the mill cuts where the \
    part's finishing lap climbs is not measured. A climb tends to bend the mill off the edge, so \
    that the part stays a little full there rather than being cut into; a second piece, cut with \
    `--climb`, says by how much.";

/// What a job and its test piece have in common.
fn as_the_job(shop: &Shop, machine: &Machine) -> Vec<Vec<String>> {
    let paper = shop.paper;
    let pair = |what: &str, figure: String| vec![what.to_owned(), figure];
    let way = match machine.finish {
        LapWay::Conventional => "conventional",
        LapWay::Climb => "climb",
    };
    let bottom = match machine.bottom {
        Bottom::Through => {
            format!("through, {} into the waste board", paper.fine(machine.through.mm()))
        }
        Bottom::Skin => format!("to a skin of {}", paper.fine(machine.skin.mm())),
    };
    vec![
        pair("End mill", paper.fine(machine.bare.unwrap_or(machine.end_mill).mm())),
        pair("Finishing lap", way.to_owned()),
        pair("Left for it", paper.fine(machine.allowance.mm())),
        pair("Material", machine.material.word().to_owned()),
        pair("Thickness", paper.fine(shop.blank_thick())),
        pair("Bottom", bottom),
    ]
}

/// What the readings say.
fn result(piece: &TestPiece<'_>, readings: &Readings) -> Sheet {
    let mut sheet = Sheet::new("Test piece, measured");
    let Some(machine) = &piece.shop.machine else { return sheet };
    let paper = piece.shop.paper;
    let bare = machine.bare.unwrap_or(machine.end_mill);
    let found = readings.measured(machine.end_mill.mm());
    let axes = Axes::found(&found);
    let cuts = sheet.figure(fine(paper, found.kerf), Basis::Measured);
    let mut rows = vec![
        vec!["The end mill cuts".to_owned(), cuts],
        vec!["By itself it is".to_owned(), paper.fine(bare.mm())],
        vec!["100 told along X come out as".to_owned(), scaled(found.scale_x)],
        vec!["100 told along Y come out as".to_owned(), scaled(found.scale_y)],
    ];
    rows.extend(
        found
            .lean
            .map(|lean| vec!["Y leans over 100 mm".to_owned(), leaning(lean, paper)]),
    );
    rows.push(vec!["Readings agree to".to_owned(), fine(paper, found.rest)]);
    sheet.table(&["What", "Figure"], rows, &[1]);
    if defaults::READINGS_APART.value < found.rest {
        sheet.blocks.push(Block::Note(
            "CAUTION",
            "The readings do not agree with each other: measure again before they are used.".to_owned(),
        ));
    }
    if piece.climbs {
        beside_the_first(&mut sheet, (machine, found.kerf), paper);
    } else {
        keep_kerf(&mut sheet, bare.mm(), found.kerf);
        keep_axes(&mut sheet, &axes);
        sheet.heading("Set the machine right");
        sheet.checks(mend(&axes));
    }
    general(&mut sheet);
    sheet
}

/// How the width of cut is kept.
fn keep_kerf(sheet: &mut Sheet, bare: f64, kerf: f64) {
    sheet.heading("Keep the width of cut");
    sheet.paragraph(format!(
        "On the rack, under the mill's name, `end-mill = \"{}mm\"` and `kerf = \"{kerf:.3}mm\"`; a job takes \
         both with `mill = \"NAME\"` under [machine]. Or in one job: `kerf = \"{kerf:.3}mm\"`.",
        trimmed(bare)
    ));
}

/// What the second piece says beside the first: how edges come out where the lap climbs.
fn beside_the_first(sheet: &mut Sheet, (machine, kerf): (&Machine, f64), paper: Paper) {
    sheet.heading("Where the finishing lap climbs");
    let Some(_) = machine.bare else {
        sheet.paragraph(
            "No width of cut is kept yet. Cut the first piece, without `--climb`, keep what it \
             says, and run this command again: then it says how the two differ.",
        );
        return;
    };
    let counted = machine.end_mill.mm();
    let full = (counted - kerf) / 2.0;
    let off = fine(paper, full.abs());
    let says = format!(
        "Programs count with a cut of {}, and climbing it is {}",
        fine(paper, counted),
        fine(paper, kerf)
    );
    if full.abs() < defaults::CALIPERS.value / 2.0 {
        sheet.paragraph(format!("{says}: no difference that calipers tell."));
    } else if 0.0 < full {
        sheet.paragraph(format!(
            "{says}: edges that it climbs stand {off} full. Plane them to the line."
        ));
    } else {
        let text = format!(
            "{says}: edges that it climbs are cut {off} past the line. Keep the wider figure, \
             `kerf = \"{kerf:.3}mm\"`: then nothing is cut into, and the others stand {off} full."
        );
        sheet.blocks.push(Block::Note("CAUTION", text));
    }
}

/// How the axes are kept, where a program can make up for them.
fn keep_axes(sheet: &mut Sheet, axes: &Axes) {
    sheet.heading("Keep the axes");
    if axes.are_far_off() {
        let most = 100.0 * defaults::FAR_OFF.value;
        let text = format!(
            "The axes are off by more than {most} in 100: something is loose or set wrong, and no \
             program makes up for that. Set the machine right first, and cut the piece again."
        );
        sheet.blocks.push(Block::Note("STOP", text));
        return;
    }
    if !axes.are_off() {
        sheet.paragraph(
            "The axes are as true as calipers tell: there is nothing to keep.",
        );
        return;
    }
    sheet.paragraph(
        "Off as they are, a program can make up for them. On the rack, in a table under the \
         machine's name, for every mill alike; a job takes them with `axes = \"NAME\"` under \
         [machine]:",
    );
    let [x, y] = [axes.scale_x, axes.scale_y].map(scaled);
    let lean = axes.lean.map(|lean| format!("{:.3}", 100.0 * lean));
    let rows = [("x-per-100", Some(x)), ("y-per-100", Some(y)), ("lean-per-100", lean)];
    let row = |(key, figure): (&str, Option<String>)| {
        let line = format!("{key} = {}", figure?);
        Some(vec![line])
    };
    let mut rows: Vec<Vec<String>> = rows.into_iter().filter_map(row).collect();
    rows.insert(0, vec!["[NAME]".to_owned()]);
    rows.push(vec!["measured = \"________\"  # the day, in your own words".to_owned()]);
    sheet.table(&["On the rack"], rows, &[]);
    if axes.lean.is_none() {
        sheet.paragraph(
            "The diagonals were not measured: Y is taken as square to X until they are.",
        );
    }
}

/// A length to a hundredth of a millimetre.
fn fine(paper: Paper, mm: f64) -> String {
    paper.fine((mm * 1000.0).round() / 1000.0)
}

fn scaled(scale: f64) -> String {
    format!("{:.3}", 100.0 * scale)
}

fn leaning(lean: f64, paper: Paper) -> String {
    let way = if lean < 0.0 { "left" } else { "right" };
    format!("{} to the {way}", fine(paper, lean.abs()))
}

fn trimmed(mm: f64) -> String {
    let text = format!("{mm:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What is mended on the machine itself, which is better than a program that makes up for it.
fn mend(axes: &Axes) -> Vec<String> {
    let axis = |name: &str, scale: f64| {
        format!(
            "{name}: multiply the steps a millimetre in the machine's settings by {:.5}.",
            1.0 / scale
        )
    };
    let mut lines = Vec::new();
    for (name, scale) in [("X", axes.scale_x), ("Y", axes.scale_y)] {
        if defaults::AXIS_OFF.value < (scale - 1.0).abs() {
            lines.push(axis(name, scale));
        }
    }
    if defaults::LEAN.value / 100.0 < axes.slant().abs() {
        lines.push(
            "Square the machine's two rails to each other, and cut the piece again."
                .to_owned(),
        );
    }
    lines.push(
        "Cut the piece again after any of this, after belts, nuts or rails were touched, and when \
         the mill was ground or changed; what is kept then no longer holds."
            .to_owned(),
    );
    lines
}
