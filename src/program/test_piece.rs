//! A piece to be cut and measured: a square, a slot, a ring and a long line, cut as a job's
//! template is; the readings say how wide the cut really is.

use super::{Header, header, promise, write};
use crate::diag::Failure;
use crate::geom::{Loop, Piece, Point, Span};
use crate::outline::{Edge, LoopKind, Outline};
use crate::path::{Task, lay, toolpath};
use crate::plan::Part;
use crate::post::Dialect;
use crate::prove::{ProvedProgram, prove};
use crate::read::{Cut, Feature, Role};
use crate::shop::{Machine, Shop};
use std::f64::consts::PI;

/// The program that cuts the test piece with the machine as the shop has it.
///
/// # Errors
/// Refused where there is no machine, or where the end mill is too wide for the piece.
pub fn test_piece(
    shop: &Shop,
    dialect: &Dialect,
    id: &str,
) -> Result<ProvedProgram, Failure> {
    let machine = shop.machine.as_ref().ok_or_else(header::no_machine)?;
    let machine = plain(machine);
    let parts = [part("square", square()), part("bar", bar())];
    let lay = lay(&parts, &machine, shop.paper)?;
    let mut shop = shop.clone();
    shop.template.extras.clear();
    let promise = promise(&parts, &shop, (&machine, &lay), dialect);
    let name = format!("{} test piece", shop.name);
    let header = Header { id: id.to_owned(), name };
    let mut candidates = Vec::new();
    let mut notes = Vec::new();
    for (tool, _) in promise.tools() {
        let thick = shop.blank_thick();
        let (marks, runs, paper) = (&[], None, shop.paper);
        let task = Task { machine: &machine, tool, thick, marks, runs, paper };
        let toolpath = toolpath(&parts, lay.clone(), task)?;
        candidates.push(write(&toolpath, dialect, &header));
        notes.extend(toolpath.notes);
    }
    let proved = prove(candidates, &promise).map_err(|verdict| verdict.refusal())?;
    let takes = super::likely(&proved, dialect, &machine);
    Ok(proved.with_told(notes, takes))
}

/// The machine without what belongs to a job's own blank, and as it runs by itself: what is
/// measured takes the place of what is kept.
fn plain(machine: &Machine) -> Machine {
    Machine {
        blank: None,
        axes: None,
        cut: Cut::Template,
        relieve: Vec::new(),
        small_mill: None,
        scribe: false,
        keep_outs: Vec::new(),
        recesses: Vec::new(),
        ..machine.clone()
    }
}

/// An upright rectangle, its lower left corner at a point.
fn rectangle(x: f64, y: f64, width: f64, height: f64) -> Loop {
    let at = Point::new;
    Loop::polygon(&[
        at(x, y),
        at(x + width, y),
        at(x + width, y + height),
        at(x, y + height),
    ])
}

/// A square with a ring in it.
fn square() -> Vec<Loop> {
    let size = Feature::SquareX.mm();
    let ring =
        Loop::opening(Point::new(size / 2.0, size / 2.0), Feature::RingX.mm() / 2.0);
    vec![rectangle(0.0, 0.0, size, size), ring]
}

/// A long bar with a slot in it, beyond the square.
fn bar() -> Vec<Loop> {
    let (long, width, wide) = (Feature::Long.mm(), 60.0, Feature::Slot.mm());
    let low = Feature::SquareX.mm() + 60.0;
    let (left, right, middle) = (60.0, long - 60.0, low + width / 2.0);
    let bow = |x: f64, from: f64| {
        Piece::arc_about(Point::new(x, middle), Point::new(x, middle + from), -PI)
    };
    let (end, start) = (bow(right, wide / 2.0), bow(left, -wide / 2.0));
    let slot = Loop::new(vec![
        Piece::line(start.to(), end.from()),
        end,
        Piece::line(end.to(), start.from()),
        start,
    ]);
    vec![rectangle(0.0, low, long, width), slot]
}

fn part(name: &str, loops: Vec<Loop>) -> Part {
    let kind = |ring: &Loop| {
        if ring.area() < 0.0 { LoopKind::Opening } else { LoopKind::Outside }
    };
    let edges = loops.iter().enumerate().map(|(on, ring)| Edge {
        span: Span { on, from: 0.0, length: ring.length() },
        role: Role::Rout,
        name: None,
        side: None,
    });
    let outline = Outline {
        name: name.to_owned(),
        kinds: loops.iter().map(kind).collect(),
        edges: edges.collect(),
        drawn: loops.clone(),
        loops: loops.clone(),
        deviation: 0.0,
        mirrored: false,
    };
    Part {
        guide: outline.clone(),
        outline,
        template: loops,
        set_from: None,
        shared: None,
        template_offset: 0.0,
        count: 1,
        reach: Vec::new(),
        light: Vec::new(),
        finished: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{machine, post, shop};
    use super::*;

    #[test]
    fn the_test_piece_proves_in_every_post_and_for_mills_of_all_widths() {
        for (wide, name) in [(3.0, "iso-mm"), (6.35, "iso-inch"), (8.0, "iso-mm-lines")] {
            let proved = test_piece(&shop(machine(wide)), &post(name), "abc123");
            let proved = proved.unwrap_or_else(|failure| panic!("{wide}: {failure:#?}"));
            assert_eq!(proved.texts().len(), 1, "one tool");
            let travel = proved.figures().travel;
            assert!(Feature::Long.mm() + wide < travel.width() + 0.01, "all of the bar");
        }
    }
}
