//! The sheets of a joint: its sizes with their bases, how the halves fit and come together, and
//! how they are fitted and glued.

mod gaps;

mod glue;

pub(super) mod lap;

mod words;

use super::bench::{NOT_A_DESIGN, general, unit_words};
use super::model::{Block, PLAN, Sheet, Sheets};
use super::pages::broken;
use super::set_out::{self, LayoutAsk};
use super::{Bundle, file_stem, html, markdown, wedges};
use crate::joint::{Facts, Size, Wedges};
use crate::outline::Outline;
use crate::read::JointName;
use crate::shop::{Reference, defaults};
use crate::units::{Mm, Paper};

/// A joint, for its sheets.
#[derive(Debug, Clone, Copy)]
pub struct JointJob<'a> {
    /// What is known of it.
    pub facts: &'a Facts,
    /// The wedges of its slot.
    pub wedges: Option<&'a Wedges>,
    /// Both halves.
    pub outlines: &'a [Outline],
    /// Waste to leave beside a wall that is sawn, in mm.
    pub leave: Mm,
    /// What sizes are measured from.
    pub reference: Reference,
    /// The species of the stock.
    pub species: Option<&'a str>,
    /// Whether the work stops before glue until somebody has looked.
    pub hold_points: bool,
    /// How the paper writes lengths.
    pub paper: Paper,
    /// The job's name.
    pub name: &'a str,
    /// The short id on every sheet.
    pub id: &'a str,
}

/// The files of a joint that is not planned: layouts by hand and its own sheets, and a drawing of
/// each half.
pub fn joint_bundle(job: &JointJob<'_>) -> Bundle {
    let ask = LayoutAsk {
        paper: job.paper,
        reference: job.reference,
        clearance: Some(job.facts.clearance),
        lap: job.facts.halved,
        id: job.id,
    };
    let mut layouts = set_out::by_hand(job.outlines, &ask);
    if job.facts.name() == Some(JointName::Bridle) {
        let words = "Drawn on the EDGE of the stock: the edge that is up is called face A here, the \
                     one below face B, and the reference edge is one of the stock's own faces.";
        for sheet in &mut layouts {
            sheet.blocks.insert(0, Block::Paragraph(words.to_owned()));
        }
    }
    let mut pages = sheets(job);
    // What is made first, then how it is cut, then how it goes together.
    pages.splice(1..1, layouts.into_iter().chain(lap::sheet(job)));
    for sheet in &mut pages {
        general(sheet);
        sheet.cautions.push(NOT_A_DESIGN.to_owned());
    }
    let sheets = Sheets {
        name: job.name.to_owned(),
        id: job.id.to_owned(),
        what: PLAN,
        units: unit_words(job.paper),
        pages: broken(pages),
    };
    let name = file_stem(job.name);
    let mut files = vec![
        (format!("{name}-joint.html"), html::written(&sheets).into_bytes()),
        (format!("{name}-joint.md"), markdown::written(&sheets).into_bytes()),
    ];
    for outline in job.outlines {
        let svg = words::drawing(outline);
        files.push((format!("{}.svg", file_stem(&outline.name)), svg.into_bytes()));
    }
    Bundle { name, files }
}

/// The sheets Joint, Wedges where it has any, and Fit and glue.
pub(super) fn sheets(job: &JointJob<'_>) -> Vec<Sheet> {
    let wedges = job.wedges.map(|wedges| wedges::sheet(wedges, job.paper, job.id));
    let sheets = [Some(joint(job)), wedges, Some(glue::sheet(job))];
    sheets.into_iter().flatten().collect()
}

fn joint(job: &JointJob<'_>) -> Sheet {
    let facts = job.facts;
    let mut sheet = Sheet::new("Joint");
    sheet.paragraph(words::opening(facts, job.paper));
    sizes(&mut sheet, job);
    sheet.heading("Templates");
    sheet.checks(words::templates(facts));
    sheet.heading("Bringing the halves together");
    sheet.paragraph(words::together(facts));
    faces(&mut sheet, job);
    sheet.blocks.push(Block::Picture(gaps::picture(job)));
    sheet
}

fn sizes(sheet: &mut Sheet, job: &JointJob<'_>) {
    let rows = job.facts.sizes.iter().map(|size| {
        let words = size_words(size, job.paper);
        let words = match size.rule {
            Some(rule) => sheet.figure(words, defaults::joint_rule(rule).basis),
            None => words,
        };
        vec![capital(size.what), words]
    });
    let rows = rows.collect();
    sheet.table(&["Size", "How much"], rows, &[]);
}

fn size_words(size: &Size, paper: Paper) -> String {
    if size.is_slope {
        let degrees = libm::atan(1.0 / size.value).to_degrees();
        return format!("1 in {:.2} ({degrees:.1}°)", size.value);
    }
    if size.value < 1.0 { paper.fine(size.value) } else { paper.measured(size.value) }
}

fn faces(sheet: &mut Sheet, job: &JointJob<'_>) {
    let (facts, paper) = (job.facts, job.paper);
    let rows = (1..).zip(&facts.fit.faces).map(|(number, face): (u32, _)| {
        let state = if face.least < -gaps::NONE {
            "OVERLAPS"
        } else if face.most <= facts.clearance + 0.1 {
            "meets"
        } else if facts.slot.is_some() {
            "lies beside the slot"
        } else {
            "stands open"
        };
        vec![
            number.to_string(),
            capital(&face.name),
            paper.length(face.piece.length()),
            gaps::gap_words(face, paper),
            state.to_owned(),
        ]
    });
    let rows = rows.collect();
    sheet.heading("Half A against half B, face by face");
    sheet.table(&["No.", "Face of half A", "Length", "Gap", "It"], rows, &[]);
    if 0.0 < facts.fit.overlap {
        let area = facts.fit.overlap;
        if 0.05 < area {
            let words = format!(
                "The halves overlap by {} in all: pare there first.",
                paper.area(area)
            );
            sheet.blocks.push(Block::Note("stop", words));
        }
    }
    sheet.paragraph(format!(
        "Edges more than {} apart do not meet and are not listed.",
        paper.fine(facts.within)
    ));
    let necks = ["A", "B"].iter().zip(facts.fit.necks);
    let necks = necks.filter_map(|(half, neck)| {
        let neck = paper.length(neck?);
        Some(format!("Narrowest wood behind an inside corner of half {half}: {neck}."))
    });
    sheet.checks(necks);
}

/// A name with a capital first.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
