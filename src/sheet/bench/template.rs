//! Template: its size against the part, run-on, thickness, what its own corners need.

use super::Job;
use crate::geom::tolerance::{CHECK, REPORT_DEPTH};
use crate::geom::{Bounds, Loop, Piece, Point, SMOOTH_TURN, nearest_loop};
use crate::outline::LoopKind;
use crate::plan::Part;
use crate::read::{Extra, Role};
use crate::sheet::hold::Hold;
use crate::sheet::model::{Block, Picture, Sheet};
use crate::sheet::picture;
use crate::shop::{Face, Sides, defaults};

/// The sheet.
pub(super) fn sheet(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("Template");
    let rows = job.plan.parts.iter().map(|part| row(job, part)).collect();
    let head = ["For", "Length", "Width", "Against the part", "Smallest inside radius"];
    sheet.table(&head, rows, &[1, 2]);
    thickness(&mut sheet, job);
    run_on(&mut sheet, job);
    fit(&mut sheet, job);
    islands(&mut sheet, job);
    extras(&mut sheet, job);
    sheet.checks(
        [
            "Edges smooth and square: every dip in the template is in every part.",
            "Marked on face A: the job's name, FACE A, the grain arrow, the letters of the stretches.",
            "Its own inside corners as sharp as they are to guide a chisel; a round one is no guide.",
            "Fastened so that nothing stands proud of the face that slides.",
        ]
        .map(str::to_owned),
    );
    if job.plan.set_ups.iter().any(|it| it.template_face == Face::B) {
        sheet.paragraph(
            "The template goes to the other face: two pins, drilled square through template \
             and waste, put it back in its place.",
        );
    }
    super::by_hand::add(&mut sheet, job);
    Hold::Template.add(&mut sheet, job.shop.sheets.hold_points);
    let scene = picture::template(job.plan, job.shop, job.id);
    let title = "The template".to_owned();
    sheet.blocks.push(Block::Picture(Picture { scene, title, file: None }));
    sheet
}

fn row(job: &Job<'_>, part: &Part) -> Vec<String> {
    if let Some(shared) = part.shared {
        let none = String::new;
        let with = &job.plan.parts[shared.with].outline.name;
        let words = format!("that of {with}, {}", shared.way.words());
        return vec![part.outline.name.clone(), none(), none(), words, none()];
    }
    let whole: Bounds = part.template.iter().map(Loop::bounds).collect();
    let (long, wide) = super::long_by_wide(part, whole);
    vec![
        part.outline.name.clone(),
        job.length(long),
        job.length(wide),
        offset_words(job, part),
        inside_words(job, part),
    ]
}

/// How the template's routed edges lie to the part's.
pub(super) fn offset_words(job: &Job<'_>, part: &Part) -> String {
    let offset = part.template_offset;
    if offset.abs() < 5e-4 {
        return "same size on routed edges".to_owned();
    }
    let by = job.length(offset.abs());
    let (outside, opening) = if 0.0 < offset {
        ("larger: set out", "smaller")
    } else {
        ("smaller: set in", "larger")
    };
    let openings = if part.outline.kinds.contains(&LoopKind::Opening) {
        format!("; openings {opening} by as much all round")
    } else {
        String::new()
    };
    format!("{outside} by {by} on routed edges{openings}")
}

/// The tightest inside of the template's routed edges: a sharp corner, as its maker leaves it,
/// or a radius. Where a run-on meets the part no bit arrives.
pub(super) fn inside_words(job: &Job<'_>, part: &Part) -> String {
    let sharp = part.template.iter().any(|ring| {
        (0..ring.pieces().len()).any(|at| {
            let (before, after) = (&ring.pieces()[ring.before(at)], &ring.pieces()[at]);
            ring.turn(at) < -SMOOTH_TURN
                && [(before, 0.99), (after, 0.01)]
                    .iter()
                    .all(|(piece, t)| is_routed(part, piece.at(*t)))
        })
    });
    match (sharp, &job.shop.machine, least_inside_radius(part)) {
        (true, Some(machine), _) => {
            let radius = job.shop.paper.measured(machine.end_mill.radius());
            format!("sharp corners, which the end mill leaves at {radius}")
        }
        (true, None, _) => "sharp corners".to_owned(),
        (false, _, Some(radius)) => job.shop.paper.measured(radius),
        (false, _, None) => "none: no inside curve".to_owned(),
    }
}

/// Whether a point of the template's line guides the bit along a routed edge; the rim of a hole
/// for a pin guides nothing.
pub(super) fn is_routed(part: &Part, at: Point) -> bool {
    let loops = &part.guide.loops;
    nearest_loop(loops, at).is_some_and(|(far, on, along)| {
        far <= part.template_offset.abs() + CHECK
            && part.guide.role_at(on, along) == Role::Rout
    })
}

/// An island is a loose piece: nothing but its own fastening holds it in its place.
pub(super) fn islands(sheet: &mut Sheet, job: &Job<'_>) {
    let mut parts = job.plan.parts.iter();
    if parts.any(|part| part.outline.kinds.contains(&LoopKind::Island)) {
        sheet.paragraph(
            "An island is a loose piece of wood under a loose piece of template: fasten both \
             where they belong, each on its own, before anything is cut round it.",
        );
    }
}

/// The smallest radius among routed arcs that bend into the material; loops have it on their
/// left.
fn least_inside_radius(part: &Part) -> Option<f64> {
    let pieces = part.template.iter().flat_map(Loop::pieces);
    let inside = pieces.filter_map(|piece| match piece {
        Piece::Arc { sweep, .. } if *sweep < 0.0 && is_routed(part, piece.at(0.5)) => {
            piece.radius()
        }
        _ => None,
    });
    inside.min_by(f64::total_cmp)
}

fn thickness(sheet: &mut Sheet, job: &Job<'_>) {
    let mut thick = job.length(job.shop.template.thick.mm());
    if (job.shop.template.thick.mm() - defaults::TEMPLATE_THICK.value).abs() < 1e-9 {
        thick = sheet.figure(thick, defaults::TEMPLATE_THICK.basis);
    }
    let least = job.at_least(defaults::BEARING_CONTACT.value);
    let least = sheet.figure(least, defaults::BEARING_CONTACT.basis);
    sheet.paragraph(format!(
        "Thickness {thick}. The bearing must ride on at least {least} of template or routed edge \
         all round."
    ));
}

fn run_on(sheet: &mut Sheet, job: &Job<'_>) {
    let runs = job.plan.parts.iter().flat_map(|part| &part.guide.edges);
    if runs.filter(|edge| edge.role == Role::RunOn).count() == 0 {
        return;
    }
    let mut on = job.at_least(job.shop.template.run_on.mm());
    if (job.shop.template.run_on.mm() - defaults::RUN_ON.value).abs() < 1e-9 {
        on = sheet.figure(on, defaults::RUN_ON.basis);
    }
    sheet.paragraph(format!(
        "The template runs on {on} past the part where a routed edge meets one that is not cut: \
         passes start and end there, off the wood."
    ));
}

/// How far the arcs stray from the curves that were drawn, where any were.
fn fit(sheet: &mut Sheet, job: &Job<'_>) {
    let parts = job.plan.parts.iter();
    let most = parts.map(|part| part.outline.deviation).fold(0.0, f64::max);
    if most <= 0.0 {
        return;
    }
    let off = if most <= REPORT_DEPTH {
        "less than a knife line".to_owned()
    } else {
        job.shop.paper.measured(most)
    };
    sheet.paragraph(format!(
        "Curves of the drawing are followed by arcs, everywhere {off} off."
    ));
}

fn extras(sheet: &mut Sheet, job: &Job<'_>) {
    let extras = &job.shop.template.extras;
    let rows = extras
        .iter()
        .map(|extra| {
            let (what, at, across) = match extra {
                Extra::Pin { at, diameter } => ("pin hole", at, diameter),
                Extra::HangHole { at, diameter } => ("hole to hang it by", at, diameter),
            };
            let first = job.plan.parts.first();
            let whole =
                first.map_or(Bounds::EMPTY.with(*at), |part| part.outline.bounds());
            let sides = first.map_or(Sides { far: false, right: false }, |part| {
                job.shop.reference.of(&part.outline)
            });
            let (end, edge) = sides.sizes(whole, *at);
            vec![
                what.to_owned(),
                job.length(end),
                job.length(edge),
                job.length(across.mm()),
            ]
        })
        .collect();
    let head = ["Hole", "From the reference end", "From the reference edge", "Width"];
    sheet.table(&head, rows, &[1, 2, 3]);
}
