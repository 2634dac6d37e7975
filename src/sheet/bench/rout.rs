//! Rout: one sheet a set-up, with its picture, passes and list to tick.

use super::Job;
use crate::plan::{Layer, Pass, SetUp, Start, waste_limit};
use crate::read::Station;
use crate::sheet::hold::Hold;
use crate::sheet::model::{Block, Picture, Sheet};
use crate::sheet::{phrase, picture, picture_name};
use crate::shop::{Guide, bit_speed, defaults};

/// The sheets of all set-ups.
pub(super) fn sheets(job: &Job<'_>) -> Vec<Sheet> {
    let numbered = job.plan.set_ups.iter().enumerate();
    numbered.map(|(index, set_up)| sheet(job, index, set_up)).collect()
}

fn sheet(job: &Job<'_>, index: usize, set_up: &SetUp) -> Sheet {
    let face = set_up.face_up().letter();
    let (number, many) = (index + 1, job.plan.set_ups.len());
    let mut sheet =
        Sheet::new(format!("Rout, set-up {number} of {many}: FACE {face} UP"));
    sheet.paragraph(format!(
        "{}, {}. {}.",
        capital(phrase::station(set_up.station)),
        phrase::bit_words(&job.shop.bits[set_up.bit], set_up.guide, job.shop.paper),
        phrase::template_words(set_up, &job.plan.stands[index])
    ));
    sheet
        .blocks
        .push(Block::Note("direction", phrase::keep_side(set_up.station).to_owned()));
    if job.shop.sheets.left_handed {
        sheet.paragraph(format!("{} {}", phrase::NOT_MIRRORED, phrase::LEFT_STANCE));
    }
    let passes: Vec<&Pass> =
        job.plan.passes.iter().filter(|pass| pass.set_up == index).collect();
    passes_table(&mut sheet, job, &passes);
    before(&mut sheet, job, index);
    Hold::SetUp(number).add(&mut sheet, job.shop.sheets.hold_points);
    during(&mut sheet, job, index, &passes);
    sheet.blocks.push(Block::Picture(pictured(job, index)));
    sheet
}

/// What the picture of a set-up is called, by its index.
pub(super) fn picture_title(index: usize) -> String {
    format!("Set-up {}", index + 1)
}

/// The picture of a set-up, by its index.
pub(super) fn pictured(job: &Job<'_>, index: usize) -> Picture {
    Picture {
        scene: picture::set_up(job.plan, job.shop, index, job.id),
        title: picture_title(index),
        file: Some(picture_name(job.stem, index)),
    }
}

pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn passes_table(sheet: &mut Sheet, job: &Job<'_>, passes: &[&Pass]) {
    let rows = passes.iter().map(|pass| pass_row(job, pass)).collect();
    sheet.table(&PASS, rows, &[0, 1]);
}

/// What is said of a pass.
pub(in crate::sheet) const PASS: [&str; 6] =
    ["Pass", "Stretches", "Depth", "Start", "End", "Feed, and why now"];

/// The same of one pass.
pub(in crate::sheet) fn pass_row(job: &Job<'_>, pass: &Pass) -> Vec<String> {
    vec![
        pass.number.to_string(),
        phrase::worked(job.plan, pass),
        format!("{}{}", depth(job, &pass.layer), phrase::lap(pass, job.shop.paper)),
        phrase::start(pass.start.0, job.shop.paper),
        phrase::exit(pass.exit.0).to_owned(),
        format!("{}; {}", phrase::feed(pass.feed), pass.why.words()),
    ]
}

/// How deep a pass goes, from the face the template lies on.
pub(super) fn depth(job: &Job<'_>, layer: &Layer) -> String {
    let to = layer.to.map(|to| job.length(to));
    let range = match (layer.from <= 0.0, to) {
        (true, None) => "full depth".to_owned(),
        (true, Some(to)) => format!("down to {to}"),
        (false, None) => format!("from {} on", job.length(layer.from)),
        (false, Some(to)) => format!("{} to {to}", job.length(layer.from)),
    };
    if layer.template_on {
        range
    } else {
        format!("{range}; template off, bearing on the routed edge")
    }
}

fn before(sheet: &mut Sheet, job: &Job<'_>, index: usize) {
    let set_up = &job.plan.set_ups[index];
    let bit = &job.shop.bits[set_up.bit];
    let turns = bit_speed(bit);
    let speed = if turns.is_finite() {
        sheet.figure(format!("{turns:.0} turns a minute"), defaults::RIM_SPEED.basis)
    } else {
        "what is marked on it".to_owned()
    };
    let length = match (bit.cut_length, job.plan.least_cut_length) {
        (Some(length), _) => format!("cutting length {}", job.length(length.mm())),
        (None, Some(least)) => {
            format!("cutting length at least {} (measure it)", job.at_least(least))
        }
        (None, None) => "cutting length: more than the stock is thick".to_owned(),
    };
    let guide = match set_up.guide {
        Guide::Bush => "Bush clean and tight; nothing between it and the template.",
        Guide::Shank | Guide::Tip => {
            "Bearing spins, is clean and matches the bit: a fingernail finds no step."
        }
    };
    let held = match set_up.station {
        Station::Hand => {
            "Work clamped; push and pull: it does not shift. A narrow part has a strip of the same height beside it."
        }
        Station::Table => "Starting pin in; a small part in a holder, not in the hands.",
    };
    let pushed = job.at_least(3.0);
    sheet.heading("Before");
    sheet.checks([
        format!("{}: {length}.", phrase::bit_words(bit, set_up.guide, job.shop.paper)),
        format!("Shank pushed home, drawn back about {pushed}, tight."),
        format!("Router at no more than {speed}, never over what is marked on the bit."),
        guide.to_owned(),
        format!(
            "Face {} up. Template {}.",
            set_up.face_up().letter(),
            template_on(job, index)
        ),
        held.to_owned(),
        format!(
            "Sawn to the line: nowhere more than {} left.",
            job.length(waste_limit(bit.cutter.mm()))
        ),
    ]);
    let stand = &job.plan.stands[index];
    sheet.checks(phrase::stand(stand, set_up, job.shop.paper));
}

/// How the template is now; where it came off for a lap in an earlier set-up the edges routed
/// then show its place.
fn template_on(job: &Job<'_>, index: usize) -> &'static str {
    let came_off = |pass: &Pass| pass.set_up < index && !pass.layer.template_on;
    if !job.plan.stands[index].by_template {
        "off"
    } else if job.plan.passes.iter().any(came_off) {
        "back in its place, flush to a fingertip with every edge routed so far; fast, both marks \
         FACE A agree"
    } else {
        "fast, both marks FACE A agree"
    }
}

/// What is tried first: in the set-up that routs it, the worst stretch on an offcut.
fn trial(job: &Job<'_>, stretches: &[usize]) -> String {
    match job.plan.trial.filter(|trial| stretches.contains(trial)) {
        Some(trial) => format!(
            "First stretch {}, the worst of all, on an offcut held as it will be; then the spare \
             piece.",
            job.plan.stretches[trial].name
        ),
        None => "Tried on the spare piece first.".to_owned(),
    }
}

fn during(sheet: &mut Sheet, job: &Job<'_>, index: usize, passes: &[&Pass]) {
    let mut stretches: Vec<usize> =
        passes.iter().flat_map(|pass| pass.stretches.iter().copied()).collect();
    stretches.sort_unstable();
    stretches.dedup();
    let blocks = passes
        .iter()
        .any(|pass| !pass.backers.is_empty() || pass.start.0 == Start::Block);
    let last = index + 1 == job.plan.set_ups.len();
    let mut lines = vec![
        trial(job, &stretches),
        "Begin at the star, bearing on before the teeth meet wood. Follow the arrows."
            .to_owned(),
        format!("Only stretches {}. Then STOP.", phrase::names(job.plan, &stretches)),
        format!(
            "Steady feed{}; no stop in a corner. If it grabs, chatters or burns: stop, look, take \
             less.",
            phrase::pace(&job.shop.bits[job.plan.set_ups[index].bit])
        ),
    ];
    if blocks {
        lines.insert(
            1,
            "Backers fixed flush where the picture hatches them, as thick as the work, each for its pass."
                .to_owned(),
        );
    }
    let changes = phrase::bearing_change(passes, job.shop.paper)
        .into_iter()
        .chain(phrase::template_off(passes, job.shop));
    let before_pace = lines.len() - 1;
    lines.splice(before_pace..before_pace, changes);
    lines.extend(phrase::contact_signs(job.plan, index));
    lines.push(if last {
        "A fingernail along the edge finds no step where passes meet.".to_owned()
    } else {
        format!("All parts done in this set-up before changing to set-up {}.", index + 2)
    });
    sheet.heading("Rout");
    sheet.blocks.push(Block::Steps(1, lines));
}
