//! The sheet Fit and glue: the dry fit, the paper test, what to pare, the clamps, the wedges,
//! and whether the wood's movement matters.

use super::JointJob;
use crate::joint::{JointKind, WedgeKind};
use crate::read::JointName;
use crate::sheet::hold::Hold;
use crate::sheet::model::{Block, Sheet};
use crate::shop::defaults;

/// The sheet.
pub(super) fn sheet(job: &JointJob<'_>) -> Sheet {
    let mut sheet = Sheet::new("Fit and glue");
    sheet.heading("Dry fit");
    sheet.checks(dry_fit(job));
    let paper = paper_test(&mut sheet, job);
    sheet.heading("Paper test");
    sheet.paragraph(paper);
    sheet.heading("What to pare");
    sheet.checks(pare(job));
    Hold::Glue.add(&mut sheet, job.hold_points);
    // A tusk tenon is knocked apart again.
    let glued = job.facts.name() != Some(JointName::TuskTenon);
    sheet.heading(if glued { "Glue and clamps" } else { "Drawing it up" });
    let glue = glued.then(|| glue(&mut sheet, job));
    sheet.checks(glue.into_iter().chain(clamps(job)));
    if let Some(words) = movement(&mut sheet, job) {
        sheet.blocks.push(Block::Note("caution", words));
    }
    sheet
}

fn dry_fit(job: &JointJob<'_>) -> Vec<String> {
    let way = if job.facts.halved {
        "Lower the tail of half A into the socket of half B, both faces A up."
    } else if job.facts.fit.ways.is_empty() {
        "Lower half B onto half A across the thickness."
    } else {
        "Bring half B in the way the sheet Joint says."
    };
    let wedged = job.facts.name() == Some(JointName::TabledScarf);
    let wedges = "Push both wedges in by hand: the nibs close before the wedges are tight, and \
                  nothing lifts.";
    let mut lines = vec![
        "Dust and chips out of every corner; the pencil lines still on.".to_owned(),
        format!("{way} Hand pressure and a tap: if it needs a mallet, stop and look."),
        "Hold it against the light at every shoulder and nib.".to_owned(),
        "Lay a straight edge over both faces and both edges: flush within a shaving."
            .to_owned(),
    ];
    lines.extend(wedged.then(|| wedges.to_owned()));
    lines
}

fn paper_test(sheet: &mut Sheet, job: &JointJob<'_>) -> String {
    let gap = job.paper.fine(defaults::GLUE_GAP.value);
    let gap = sheet.figure(gap, defaults::GLUE_GAP.basis);
    let slip = sheet.figure(job.paper.fine(0.1), defaults::Basis::FromMemory);
    format!(
        "A slip of writing paper is about {slip} thick. Put one in each face that meets and \
         close the joint. It grips everywhere: right. It slips: too loose there. The joint does \
         not close over it: right for glue without gaps, tight for a joint to be knocked apart. \
         Two slips in one place: wider than the {gap} a glue line bears; make the half again or \
         glue in a shaving."
    )
}

fn pare(job: &JointJob<'_>) -> Vec<String> {
    let shoulders = match job.facts.name() {
        Some(JointName::SplayedScarf | JointName::TabledScarf) => {
            "Nibs first: both must bear at once. If one stands open, pare the nib that bears, \
             never the slope."
        }
        Some(JointName::TuskTenon) => {
            "Shoulders first: the wedge draws them up, so the tenon itself may be easy in the \
             post by a slip of paper."
        }
        _ => "Shoulders first: if one bears before the other, pare the one that bears.",
    };
    vec![
        "Rub soft pencil on half A, close the joint, open it: the marks on half B are the high \
         places. Pare only those, half B first, a shaving at a time."
            .to_owned(),
        shoulders.to_owned(),
        "Pare from both faces to the middle, and leave the middle a hair hollow, never full."
            .to_owned(),
        "Write what you pared on the template: the next joint starts there.".to_owned(),
    ]
}

fn glue(sheet: &mut Sheet, job: &JointJob<'_>) -> String {
    let ends = matches!(
        job.facts.name(),
        Some(JointName::SplayedScarf | JointName::TabledScarf | JointName::HalfLap)
            | None
    );
    let ends = if ends {
        let words = "Nibs and shoulders are end grain and add little";
        format!(" {}.", sheet.figure(words, END_GRAIN))
    } else {
        String::new()
    };
    format!("Thin glue on BOTH faces, everything to hand, dry clamped once before.{ends}")
}

/// End grain glued to end grain.
const END_GRAIN: defaults::Basis = defaults::Basis::Published(
    "Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010, chapter 10, Madison: an \
     end-grain butt joint has about 25 % of the tensile strength",
);

fn clamps(job: &JointJob<'_>) -> Vec<String> {
    const OUTLINES: &[&str] = &[
        "Lay both halves on a flat board under waxed paper.",
        "Clamps push square to the faces that meet, the longest face first, with a block on each \
         side; where a clamp makes the halves slide on each other, put a stop there first.",
    ];
    let words: &[&str] = match job.facts.name() {
        None if matches!(job.facts.kind, JointKind::TwoOutlines(_)) => OUTLINES,
        None | Some(JointName::SplayedScarf) => &[
            "Lay both halves on a straight board under waxed paper, against one straight edge.",
            "A stop at each far end first: the slope slides when it is squeezed.",
            "Then clamps square to the slope, the middle first, with a block on each side.",
        ],
        Some(JointName::TabledScarf) => &[
            "Lay both halves on a straight board under waxed paper, against one straight edge.",
            "Wedges before clamps: they close the nibs. Drive both by turns, small blows, until \
             the nibs bear; then clamps square to the slope.",
        ],
        Some(JointName::HalfLap) => &[
            "One clamp along the length draws the shoulders up; then clamps across the width, \
             with a block on each edge.",
        ],
        Some(JointName::DovetailedLap) => &[
            "One clamp straight across the lap, a block on each face; none along the stretcher: \
             the tail draws it home.",
        ],
        Some(JointName::Bridle) => &[
            "One clamp draws the tongue to the bottom of the fork; then one across the cheeks, \
             with blocks as large as the cheeks.",
        ],
        Some(JointName::TuskTenon) => &[
            "No glue and no clamps: the wedge draws it up, and it comes apart again.",
            "Tap the wedge in until the shoulders are closed; tap it on after the first dry \
             winter.",
        ],
        Some(JointName::FingerJoint) => &[
            "Blocks with notches over the fingers, so that they press beside them; clamps both \
             ways; measure both diagonals before the glue takes.",
        ],
    };
    let mut lines: Vec<String> = words.iter().map(|&line| line.to_owned()).collect();
    match job.wedges.map(|wedges| wedges.ask.kind) {
        Some(WedgeKind::Folding) => lines.push(
            "Each wedge goes in head outwards, one from face A and one from face B, as the \
             picture of the sheet Wedges shows."
                .to_owned(),
        ),
        Some(WedgeKind::Tusk) => lines.push(
            "The wedge goes in from above, its straight side against the post.".to_owned(),
        ),
        Some(WedgeKind::Tenon) | None => {}
    }
    lines
}

/// What the wood's movement does where grain crosses grain.
fn movement(sheet: &mut Sheet, job: &JointJob<'_>) -> Option<String> {
    let crosses = matches!(
        job.facts.name(),
        Some(JointName::DovetailedLap | JointName::TuskTenon | JointName::Bridle)
    );
    let moves = job.species.and_then(defaults::movement)?;
    let crosses = crosses
        || matches!(job.facts.kind, JointKind::TwoOutlines(_)) && 0.0 < job.facts.across;
    // Halves in line move alike, and finger joints move across the same way.
    if !crosses {
        return None;
    }
    let wide = job.facts.across;
    let swing = defaults::MOISTURE_SWING;
    let change = moves.change(wide, swing.value);
    if change < defaults::MOVEMENT_MATTERS.value {
        return None;
    }
    let change = sheet.figure(job.paper.fine(change), moves.basis);
    let swing = sheet.figure(format!("{} per cent", swing.value), swing.basis);
    Some(format!(
        "Grain crosses grain here. Over {} of width this wood moves {change} for {swing} of \
         moisture, and its mate does not. Let both rest in the room where they will stand before \
         the last fit; fit it closest in the damp season, and glue only the middle third of a \
         wide lap.",
        job.paper.length(wide)
    ))
}
