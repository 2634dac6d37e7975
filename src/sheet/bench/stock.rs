//! Stock and mark: what to prepare, and the marks on it.

use super::Job;
use crate::geom::tolerance::CHECK;
use crate::geom::{Bounds, Point, Vector};
use crate::grain::of_mirror_image;
use crate::plan::Part;
use crate::read::{GrainKind, Role};
use crate::sheet::model::{Block, Sheet};
use crate::shop::defaults::Basis;

/// Room for the saw and for running off, added to each side of a routed part (from memory).
const AROUND: f64 = crate::shop::defaults::ROUND_THE_PART.value;

/// The sheet.
pub(super) fn sheet(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("Stock and mark");
    let stock = &job.shop.stock;
    let thick = stock
        .over_floor
        .or(stock.thick)
        .map_or_else(|| "____ (measure)".to_owned(), |thick| job.length(thick.mm()));
    let blank = sheet.figure("Blank, at least", Basis::FromMemory);
    let rows = job.plan.parts.iter().map(|part| row(job, part, &thick)).collect();
    let head = ["Part", "How many", "Length", "Width", "Thickness", &blank];
    sheet.table(&head, rows, &[2, 3, 4]);
    let species = job.shop.stock.species.as_deref().unwrap_or("____________");
    let width = job.shop.stock.width;
    let width =
        width.map_or_else(String::new, |it| format!(", {} wide", job.length(it.mm())));
    sheet.paragraph(format!("Wood: {species}{width}. Grain: {}.", grain_of_all(job)));
    sheet.checks(
        [
            "All pieces planed to one thickness, within a shaving, before anything is marked.",
            "Face A marked on every piece, and the reference edge and end that the pictures show.",
            "Long arrow with GRAIN drawn on every piece; it matches the arrow on the template.",
            "Grain read on the edge too: where it is not as drawn, the plan does not hold.",
            "One spare piece for trying each set-up.",
            "X on the waste, KEEP on what is never cut.",
        ]
        .map(str::to_owned),
    );
    if job.plan.parts.iter().any(|part| has_role(part, Role::TrueAlready)) {
        sheet.paragraph(
            "Edges marked KEEP are planed or sawn true first: the template is laid to them.",
        );
    }
    if job.plan.parts.iter().any(|part| has_role(part, Role::GoesOn)) {
        sheet.paragraph(
            "Where a part goes on past its template it is longer than the table says, as far as \
             it goes; its reference end is then a line squared across it.",
        );
    }
    super::template::islands(&mut sheet, job);
    notes(&mut sheet, job);
    sheet
}

fn row(job: &Job<'_>, part: &Part, thick: &str) -> Vec<String> {
    let whole = part.outline.bounds();
    let (long, wide) = super::long_by_wide(part, whole);
    let (blank_long, blank_wide) = super::long_by_wide(part, with_waste(part, whole));
    vec![
        part.outline.name.clone(),
        part.count.to_string(),
        job.length(long),
        job.length(wide),
        thick.to_owned(),
        format!("{} × {}", job.at_least(blank_long), job.at_least(blank_wide)),
    ]
}

/// A part's bounds and the waste outside them, on the sides that are routed: none where an edge
/// that is true already lies along the side, or the piece goes on.
fn with_waste(part: &Part, whole: Bounds) -> Bounds {
    let outline = &part.outline;
    let waste = |is_on_side: &dyn Fn(Point) -> bool| {
        let kept =
            outline.edges.iter().filter(|edge| edge.role != Role::Rout).any(|edge| {
                let ring = &outline.loops[edge.span.on];
                let along =
                    [0.0, 0.5, 1.0].map(|t| edge.span.from + t * edge.span.length);
                along.into_iter().all(|along| is_on_side(ring.at(along)))
            });
        if kept { 0.0 } else { AROUND }
    };
    let is = |a: f64, b: f64| (a - b).abs() < CHECK;
    let Bounds { low, high } = whole;
    let before = Vector::new(waste(&|at| is(at.x, low.x)), waste(&|at| is(at.y, low.y)));
    let beyond =
        Vector::new(waste(&|at| is(at.x, high.x)), waste(&|at| is(at.y, high.y)));
    Bounds { low: low - before, high: high + beyond }
}

fn has_role(part: &Part, role: Role) -> bool {
    part.outline.edges.iter().any(|edge| edge.role == role)
}

/// How the grain lies: in the other hand of a pair it is mirrored; strips one by one.
pub(super) fn grain_of_all(job: &Job<'_>) -> String {
    let stock = &job.shop.stock;
    let upright = job.plan.parts.first().is_some_and(super::is_upright);
    let mut words = grain_words(stock.grain, upright);
    let mirrored = of_mirror_image(stock.grain);
    let is_other = |part: &&Part| part.outline.mirrored;
    if let Some(part) = job.plan.parts.iter().find(is_other)
        && 1e-9 < (mirrored - stock.grain).abs()
    {
        words = format!(
            "{words}; in {} {}",
            part.outline.name,
            grain_words(mirrored, upright)
        );
    }
    if !stock.strips.is_empty() {
        let strip = |(wide, grain): &(f64, f64)| {
            format!("{} wide at {grain:.1} degrees", job.length(*wide))
        };
        let strips: Vec<String> = stock.strips.iter().map(strip).collect();
        words = format!("in strips, in this order: {}", strips.join(", "));
    }
    if stock.kind != GrainKind::Straight {
        words = format!("{words}; it is {}", stock.kind.word());
    }
    words
}

/// The grain against the longer side of the part, which may be drawn upright.
fn grain_words(degrees: f64, upright: bool) -> String {
    let (across_page, up_page) = ("from left to right", "from near to far");
    let (long, along, across) =
        if upright { (90.0, up_page, across_page) } else { (0.0, across_page, up_page) };
    // Between square to the length, clockwise, and square to it: a line has no direction.
    let off = (degrees - long + 90.0).rem_euclid(180.0) - 90.0;
    if off.abs() < 1e-9 {
        format!("along the length ({along} on face A)")
    } else if (off.abs() - 90.0).abs() < 1e-9 {
        format!("across the length ({across} on face A)")
    } else {
        let way = if 0.0 < off { "counter-clockwise" } else { "clockwise" };
        format!("{:.1} degrees from the length, {way} on face A", off.abs())
    }
}

/// What the plan has to say, heaviest first; what is about sawing stands on that sheet.
pub(super) fn notes(sheet: &mut Sheet, job: &Job<'_>) {
    let elsewhere = |id: &str| {
        id.starts_with("saw-") || ["entry-hole", "support-in-opening"].contains(&id)
    };
    let mut notes: Vec<_> =
        job.plan.notes.iter().filter(|note| !elsewhere(note.id)).collect();
    notes.sort_by_key(|note| std::cmp::Reverse(note.weight));
    if !notes.is_empty() {
        sheet.heading("To know before you begin");
    }
    // What is said of two places, or of two parts, is said once: the pictures show where.
    let mut told: Vec<(&str, String)> = Vec::new();
    for note in notes {
        let said = (note.weight.word(), super::phrase::note(note));
        if !told.contains(&said) {
            told.push(said);
        }
    }
    sheet.blocks.extend(told.into_iter().map(|(weight, text)| Block::Note(weight, text)));
}
