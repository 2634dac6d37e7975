//! The steps before the router in words, for the sheet and the data alike.

use super::put;
use crate::geom::Point;
use crate::outline::LoopKind;
use crate::plan::{Fastening, Part, Plan, Saw, Seat, Step, TakeDown, Task, Under};
use crate::shop::Shop;
use crate::units::Paper;

/// A step as a sentence, without its reason.
pub(super) fn words(step: &Step, (plan, shop): (&Plan, &Shop), paper: Paper) -> String {
    let at = |point: Point| place(step.part, point, (plan, shop), paper);
    match &step.task {
        Task::Align(seat) => align(*seat, &plan.parts[step.part], plan),
        Task::Pins => {
            "Drill for two pins, square through template and stock, as far apart as \
            can be"
                .to_owned()
        }
        Task::Trace => {
            let part = &plan.parts[step.part];
            let openings = part.outline.kinds.contains(&LoopKind::Opening);
            trace(part.template_offset, openings, paper)
        }
        Task::TemplateOff => "Template off before anything is sawn".to_owned(),
        Task::Bore { at: centre, wide, .. } => {
            format!("Bore {} right through, {}", paper.length(*wide), at(*centre))
        }
        Task::SawOpening { on, saw } => {
            let middle = plan.parts[step.part].guide.loops[*on].bounds().centre();
            format!(
                "{} the opening {}, to its saw line",
                saw_words(*saw, paper),
                at(middle)
            )
        }
        Task::SawOutside { saw, .. } => {
            let relief = if saw.wants_relief() { "; relief cuts first" } else { "" };
            format!("{} outside, to the saw line{relief}", saw_words(*saw, paper))
        }
        Task::TakeDown { at: spot, way, most } => {
            let most = paper.measured(*most);
            format!(
                "{} the hollow {}, to {most} at most",
                take_down(*way, paper),
                at(*spot)
            )
        }
        Task::TemplateBack(seat, fastening) => back(*seat, *fastening),
        Task::Fill { on, wide, under } => {
            let middle = plan.parts[step.part].guide.loops[*on].bounds().centre();
            let mut text = format!(
                "Fix a filler, at most {} wide, in the middle of the opening {}",
                paper.length(*wide),
                at(middle)
            );
            put(&mut text, format_args!(", {}", high(*under)));
            text
        }
    }
}

/// How template and stock are laid to each other; a template made for another part says so.
fn align(seat: Seat, part: &Part, plan: &Plan) -> String {
    let template = part.shared.map_or_else(
        || "Template".to_owned(),
        |shared| {
            let name = &plan.parts[shared.with].outline.name;
            format!("Template of {name}, {},", shared.way.words())
        },
    );
    let place = match seat {
        Seat::TrueEdge => {
            "its true edges and those of the stock against one straight edge"
        }
        Seat::Inside => "the blank standing out all round",
    };
    format!("{template} on face A, {place}; grain arrows alike; clamp")
}

/// The pencil follows the template, which may be of another size than the part.
fn trace(offset: f64, openings: bool, paper: Paper) -> String {
    let openings = if openings { " and in its openings" } else { "" };
    let mut text = format!(
        "Trace round the template{openings}; KEEP inside, X on the waste; the saw line outside it"
    );
    if NO_OFFSET < offset.abs() {
        let side = if offset < 0.0 { "inside" } else { "outside" };
        let by = paper.length(offset.abs());
        put(&mut text, format_args!(". The pencil lies {by} {side} the part's own line"));
    }
    text
}

/// An offset that no pencil shows, in mm.
const NO_OFFSET: f64 = 0.05;

/// Where a point of a part lies, from its reference end and edge.
fn place(part: usize, at: Point, (plan, shop): (&Plan, &Shop), paper: Paper) -> String {
    let outline = &plan.parts[part].outline;
    let (end, edge) = shop.reference.of(outline).sizes(outline.bounds(), at);
    format!("{} from the end and {} from the edge", paper.length(end), paper.length(edge))
}

fn saw_words(saw: Saw, paper: Paper) -> String {
    match saw {
        Saw::Bandsaw(width) => format!("Bandsaw, {} blade:", paper.length(width)),
        Saw::Jigsaw => "Jigsaw, from a hole in the waste:".to_owned(),
        Saw::Fretsaw => {
            "Fretsaw or coping saw, threaded through a hole in the waste:".to_owned()
        }
        Saw::Drill(width) => format!("Drill {}, hole beside hole:", paper.length(width)),
    }
}

fn take_down(way: TakeDown, paper: Paper) -> String {
    match way {
        TakeDown::Drill(width) => format!("Bore {} in", paper.length(width)),
        TakeDown::Drum(width) => {
            format!("Sanding drum, at most {} wide, in", paper.length(width))
        }
        TakeDown::Rasp => "Rasp".to_owned(),
    }
}

fn back(seat: Seat, fastening: Fastening) -> String {
    let place = match seat {
        Seat::TrueEdge => "Template back against the same straight edge",
        Seat::Inside => {
            "Template back inside its pencil line, the line showing evenly all round"
        }
    };
    let fast = match fastening {
        Fastening::PinsToMove | Fastening::Pins => {
            "on its pins, and held with tape or with screws where there is waste"
        }
        Fastening::ScrewsForArea | Fastening::ScrewsForThin => {
            "with screws, sunk, where there is waste or where no hole shows; else rout it while \
             it is part of a larger board"
        }
        Fastening::Tape => {
            "with thin cloth-backed double-faced tape, none that is foam-backed: faces free of \
             dust, strips near the edges and in the middle, pressed in a clamp"
        }
    };
    format!("{place}, fast {fast}; push and pull: it does not shift")
}

const fn high(under: Under) -> &'static str {
    match under {
        Under::Part => "of the stock's own thickness",
        Under::Template => "as high as stock and template together",
        Under::Both => {
            "of the stock's own thickness, with a loose piece of the template's on it in the \
             set-ups where the base rides on the template"
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: common practice, no source: cloth-backed tape, none that is foam-backed; clean
    /// faces, pressed in a clamp.
    #[test]
    fn tape_is_cloth_backed_clean_and_pressed() {
        let words = back(Seat::TrueEdge, Fastening::Tape);
        for word in
            ["cloth-backed", "none that is foam-backed", "free of dust", "pressed"]
        {
            assert!(words.contains(word), "{word}: {words}");
        }
    }

    #[test]
    fn the_pencil_lies_off_the_line_where_the_template_does() {
        assert!(
            !trace(0.0, false, Paper::MM).contains("pencil"),
            "of the part's own size"
        );
        let smaller = trace(-3.175, false, Paper::MM);
        assert!(smaller.contains("3.2 mm inside the part's own line"), "{smaller}");
    }
}
