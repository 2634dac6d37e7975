//! The template made by hand: what its blank is, which edges are true, what is sawn, filed and
//! tried.

use super::template::is_routed;
use super::{Job, is_upright, long_by_wide};
use crate::geom::{Bounds, Join, Loop, Point};
use crate::plan::{Part, SharedWay};
use crate::read::Role;
use crate::sheet::model::{Block, Sheet};

/// The most corners that are named one by one.
const MOST_NAMED: usize = 8;

/// Adds the steps, where no machine cuts the template.
pub(super) fn add(sheet: &mut Sheet, job: &Job<'_>) {
    if job.shop.machine.is_some() {
        return;
    }
    sheet.heading("Made by hand");
    let end_for_end =
        |part: &Part| part.shared.is_some_and(|it| it.way == SharedWay::EndForEnd);
    let one_serves_both = job.plan.parts.iter().any(end_for_end);
    let parts = || job.plan.made().map(|(_, part)| part);
    let mut steps: Vec<String> = parts().map(|part| blank(job, part)).collect();
    if parts()
        .any(|part| part.outline.edges.iter().any(|it| it.role == Role::TrueAlready))
    {
        steps.push(
            "True already, and never filed again: the edges that lie on the board's own, marked \
             BOARD'S EDGE on the pattern. Square every line from one of them."
                .to_owned(),
        );
    }
    steps.push(
        "Draw the part as the sheet Layout says, or glue on the full-size pattern of the template \
         after measuring its bars."
            .to_owned(),
    );
    steps.extend(parts().filter_map(|part| own_line(job, part)));
    if parts().any(has_ears) {
        steps.push(
            "In the ears the line of the routed edge runs straight on as far as this sheet says; \
             their other sides are only room, and need no exact size."
                .to_owned(),
        );
    }
    steps.push(
        "Saw a pencil's width outside the line; file to it, the file held square by a block; sand \
         the last with a stick longer than any dip. Split the line, do not cross it."
            .to_owned(),
    );
    steps.extend(parts().filter_map(|part| corners(job, part)));
    steps.push(
        "Measure it as the sheet Checks says and write down what it is. Too small anywhere: make \
         it again; no shim holds under a bearing."
            .to_owned(),
    );
    if one_serves_both {
        steps.push(
            "Half-turn test: knife round it on a flat scrap, turn it half round on the same two \
             edges, knife again. One line everywhere: it serves both halves. Two lines: half of \
             what is between them is the error, on both."
                .to_owned(),
        );
    }
    sheet.blocks.push(Block::Steps(1, steps));
}

/// Where the template's line lies beside the part's, where it is not the same.
fn own_line(job: &Job<'_>, part: &Part) -> Option<String> {
    let offset = part.template_offset;
    let side = if offset < 0.0 { "INSIDE" } else { "OUTSIDE" };
    (5e-4 <= offset.abs()).then(|| {
        let rest = if part.set_from.is_some() {
            " Edges that are true already keep their line."
        } else {
            ""
        };
        format!(
            "{}: the template's own line lies {} {side} the part's wood, along every routed edge: \
             draw it with a rule as wide, or a gauge, and cut to that line, never to the part's.{rest}",
            part.outline.name,
            job.length(offset.abs())
        )
    })
}

/// Whether a template reaches past its part.
fn has_ears(part: &Part) -> bool {
    let whole: Bounds = part.template.iter().map(Loop::bounds).collect();
    let own = part.outline.bounds().grown(part.template_offset.max(0.0) + 1.0);
    let meets = [whole.low, whole.high].iter().all(|at| own.distance_squared(*at) <= 0.0);
    !meets
}

/// What a part's template is cut from.
fn blank(job: &Job<'_>, part: &Part) -> String {
    let whole: Bounds = part.template.iter().map(Loop::bounds).collect();
    let (long, wide) = long_by_wide(part, whole);
    let (long, wide) = (job.at_least(long), job.at_least(wide));
    let name = &part.outline.name;
    let blank =
        format!("{name}: a flat blank at least {long} by {wide}, its faces parallel");
    if !own_width(part) {
        return format!("{blank}.");
    }
    let width = job.length(long_by_wide(part, part.outline.bounds()).1);
    format!(
        "{blank}. But for its ears it is as wide as the stock itself, {width}: gauge or rip both \
         with one setting, so that edges and centre lines of template and stock lie on each other."
    )
}

/// Whether a template has the stock's two edges for its own.
fn own_width(part: &Part) -> bool {
    let whole = part.outline.bounds();
    let upright = is_upright(part);
    let across = |at: Point| if upright { at.x } else { at.y };
    let is_true = |side: f64| {
        part.outline.edges.iter().any(|edge| {
            let ring = &part.outline.loops[edge.span.on];
            let ends = [edge.span.from, edge.span.from + edge.span.length];
            edge.role == Role::TrueAlready
                && ends.iter().all(|&along| (across(ring.at(along)) - side).abs() < 1e-6)
        })
    };
    let stays = part.template_offset.abs() < 1e-6 || part.set_from.is_some();
    stays && is_true(across(whole.low)) && is_true(across(whole.high))
}

/// The inside corners between routed edges, that a file makes square: no bearing gets into
/// them, but the chisel rides on them.
fn corners(job: &Job<'_>, part: &Part) -> Option<String> {
    let inside = part.template.iter().flat_map(|ring| {
        let corners = (0..ring.pieces().len())
            .filter(|&at| ring.join(at) == Join::Corner && ring.turn(at) < 0.0)
            .filter(|&at| {
                let (before, after) =
                    (&ring.pieces()[ring.before(at)], &ring.pieces()[at]);
                is_routed(part, before.at(0.99)) && is_routed(part, after.at(0.01))
            });
        corners.map(|at| ring.pieces()[at].from())
    });
    let inside: Vec<Point> = inside.collect();
    let count = inside.len();
    if count == 0 {
        return None;
    }
    let sides = job.shop.reference.of(&part.outline);
    let places = inside.iter().take(MOST_NAMED).map(|&at| {
        let (end, edge) = sides.sizes(part.outline.bounds(), at);
        format!("{} from the end and {} from the edge", job.length(end), job.length(edge))
    });
    let mut places: Vec<String> = places.collect();
    if MOST_NAMED < count {
        places.push(format!("and {} more", count - MOST_NAMED));
    }
    Some(format!(
        "{}: file square, with the safe edge of the file on the finished wall, the inside corners \
         at {}.",
        part.outline.name,
        places.join("; ")
    ))
}
