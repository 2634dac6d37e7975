//! A pupil's sheet with the bands and directions left to fill in, and its answers apart.
//!
//! Neither is a plan to rout by, and both say so wherever one looks.

use super::bench::Job;
use super::model::{Block, Picture, Sheet, Sheets};
use super::{html, pages, phrase, picture};
use crate::plan::{DoneBy, Lower, Plan, Stretch};
use crate::shop::Face;

/// What is filled in by hand.
const BLANK: &str = "_________";

/// What stands on every page.
const NOT_A_PLAN: &str = "An exercise, not a plan: nothing is routed by this sheet. Routing is \
                          done by the bench sheets alone, after they have been checked.";
const NOT_THE_PLAN: &str = "Answers to the exercise, for whoever corrects it. Nothing is routed \
                            by this sheet: the bench sheets have the pictures, starts, backers \
                            and holds that belong to it.";

/// The two files: their names and what they hold.
pub(super) fn files(job: &Job<'_>, units: &str) -> [(String, Vec<u8>); 2] {
    let written = |what: &'static str, page: Sheet| {
        let sheets = Sheets {
            name: job.shop.name.clone(),
            id: job.id.to_owned(),
            what,
            units: units.to_owned(),
            pages: pages::broken(vec![page]),
        };
        html::written(&sheets).into_bytes()
    };
    [
        (format!("{}-handout.html", job.stem), written("EXERCISE", exercise(job))),
        (format!("{}-answers.html", job.stem), written("ANSWERS", answers(job))),
    ]
}

/// The pupil's sheet.
fn exercise(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("EXERCISE: which way round?");
    sheet.blocks.push(Block::Note("not a plan", NOT_A_PLAN.to_owned()));
    sheet.paragraph("Name ______________________   Class ______________________");
    sheet.paragraph(given(job));
    sheet.heading("Each lettered edge");
    let row = |stretch: &Stretch| {
        let blanks = std::iter::repeat_n(BLANK.to_owned(), HEAD.len() - 1);
        std::iter::once(stretch.name.clone()).chain(blanks).collect()
    };
    sheet.table(&HEAD, job.plan.stretches.iter().map(row).collect(), &[0]);
    sheet.heading("And");
    sheet.checks(
        [
            "On the picture: an arrow beside each edge, the way the bit goes; a star where each pass starts; a hatched block where one must back the end.",
            "Which set-up comes first, and why? ______________________________________________",
            "Which places stay for the hand, and with what tool? ______________________________",
            "Where would the wood break if it were routed the other way? ______________________",
        ]
        .map(str::to_owned),
    );
    let scene = picture::exercise(job.plan, job.shop, job.id);
    let title = "The part".to_owned();
    sheet.blocks.push(Block::Picture(Picture { scene, title, file: None }));
    sheet
}

/// What is asked of each stretch.
const HEAD: [&str; 6] = [
    "Edge",
    "Grain to edge, degrees",
    "Band, motor on face A",
    "Band, motor on face B",
    "Set-up, or by hand",
    "Way round, as you see it",
];

/// What the pupil may choose from.
fn given(job: &Job<'_>) -> String {
    let mut stations: Vec<&str> =
        job.shop.stations.iter().map(|&it| phrase::station(it)).collect();
    stations.dedup();
    let bits: Vec<String> = job
        .shop
        .bits
        .iter()
        .map(|bit| {
            let guides: Vec<&str> = bit.guides.iter().map(|guide| guide.word()).collect();
            let cutter = job.shop.paper.measured(bit.cutter.mm());
            format!("bit {}: {cutter}, guided by the {}", bit.number, guides.join(" or "))
        })
        .collect();
    format!(
        "You rout {}, with {}. The grain arrow is on the picture; the bands are along, \
         downhill, uphill and end grain. Thin edges with KEEP are never cut.",
        stations.join(" or "),
        bits.join("; ")
    )
}

/// The same filled in, with the reasons.
fn answers(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("ANSWERS: which way round?");
    sheet.blocks.push(Block::Note("not the plan", NOT_THE_PLAN.to_owned()));
    let mut head = HEAD.to_vec();
    head.push("Why");
    let rows = job.plan.stretches.iter().map(|stretch| answer(job.plan, stretch));
    sheet.table(&head, rows.collect(), &[0]);
    let order = job.plan.set_ups.iter().enumerate().map(|(index, set_up)| {
        let passes = job.plan.passes.iter().filter(|pass| pass.set_up == index);
        let passes: Vec<String> = passes
            .map(|pass| {
                format!("{} ({})", phrase::worked(job.plan, pass), pass.why.words())
            })
            .collect();
        let bit =
            phrase::bit_words(&job.shop.bits[set_up.bit], set_up.guide, job.shop.paper);
        let face = set_up.face_up().letter();
        format!(
            "Set-up {}, face {face} up, {bit}: {}.",
            index + 1,
            passes.join("; then ")
        )
    });
    sheet.heading("In this order");
    sheet.checks(order);
    let hand = job.plan.hand.iter().map(|work| {
        let tool = phrase::tool(work.tool, job.shop.paper);
        let kind = phrase::hand_kind(work.kind);
        format!("No. {}, {kind}: {tool}; {}.", work.number, work.why.words())
    });
    if !job.plan.hand.is_empty() {
        sheet.heading("By hand");
        sheet.checks(hand);
    }
    sheet
}

fn answer(plan: &Plan, stretch: &Stretch) -> Vec<String> {
    let (from, to) = stretch.phi;
    let degrees = if (from - to).abs() < 0.5 {
        format!("{from:.0}")
    } else {
        format!("{from:.0} to {to:.0}")
    };
    let (mut who, mut way) = done_by(plan, stretch, stretch.done_by);
    let mut why = stretch.why.words().to_owned();
    if let Some(Lower { done_by: lower, why: because, .. }) = &stretch.lower {
        let (who_below, way_below) = done_by(plan, stretch, *lower);
        who = format!("{who}; below: {who_below}");
        way = format!("{way}; below: {way_below}");
        why = format!("{why}; below: {}", because.words());
    }
    vec![
        stretch.name.clone(),
        degrees,
        stretch.band.words().to_owned(),
        stretch.band.turned().words().to_owned(),
        who,
        way,
        why,
    ]
}

/// Who does a stretch, and which way round its loop the person sees the bit go.
fn done_by(plan: &Plan, stretch: &Stretch, by: DoneBy) -> (String, String) {
    let pass = match by {
        DoneBy::Pass(number) => plan.passes.iter().find(|pass| pass.number == number),
        DoneBy::Hand => None,
    };
    let Some(pass) = pass else { return ("by hand".to_owned(), "–".to_owned()) };
    let set_up = &plan.set_ups[pass.set_up];
    // What the person sees follows from the walk as the drawing shows it, never from a word.
    let with_walk = 0.0 < picture::way_along_walk(set_up, pass.feed);
    let area = plan.parts[stretch.part].guide.loops[stretch.span.on].area();
    let ccw = with_walk == (0.0 < area);
    let seen_ccw = ccw == (set_up.face_up() == Face::A);
    let way = if seen_ccw { "counter-clockwise" } else { "clockwise" };
    (format!("{}, pass {}", pass.set_up + 1, pass.number), way.to_owned())
}
