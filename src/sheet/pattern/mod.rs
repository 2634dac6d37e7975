//! The full-size pattern on paper: tiles of the outline at true size, as PDF and SVG.
//!
//! Every sheet carries bars to measure, crosses it shares with its neighbours, and what the
//! bench needs to lay it on the wood: KEEP, X, grain, letters, and which edges lie on the
//! board's own.

mod marks;

mod page;

mod printer;

mod tiles;

#[cfg(test)]
mod tests;

pub use printer::{PageSize, PatternOf, Printer};

use super::{Bundle, file_stem};
use crate::diag::Failure;
use crate::draw;
use crate::geom::{Join, Loop, Point, Vector, nearest_loop};
use crate::grain::of_mirror_image;
use crate::outline::Outline;
use crate::plan::{HandKind, Plan};
use crate::shop::Shop;
use crate::units::Paper;
use page::Sheet;
use tiles::Tiles;

/// What a pattern shows.
#[derive(Debug, Clone)]
pub struct Pattern<'a> {
    /// The job's name.
    name: String,
    /// The short id on every sheet.
    id: &'a str,
    /// How the paper writes lengths.
    paper: Paper,
    /// The axis of the grain, in degrees counter-clockwise from +x.
    grain: f64,
    parts: Vec<Part<'a>>,
}

/// One part of a pattern.
#[derive(Debug, Clone)]
struct Part<'a> {
    outline: &'a Outline,
    /// The template, where that is what is drawn.
    template: Option<&'a [Loop]>,
    /// Stretch letters, and the numbers of corners and hand work.
    spots: Vec<Spot>,
}

/// Something small to write beside a place of the outline.
#[derive(Debug, Clone, PartialEq)]
struct Spot {
    text: String,
    at: Point,
    /// Into the wood, length one.
    inward: Vector,
    ringed: bool,
}

impl<'a> Pattern<'a> {
    /// The pattern of a plan's parts, with the plan's letters and numbers.
    pub fn of_plan(plan: &'a Plan, shop: &Shop, id: &'a str) -> Self {
        let part = |(index, part): (usize, &'a crate::plan::Part)| Part {
            outline: &part.outline,
            template: None,
            spots: plan_spots(plan, index),
        };
        let parts = plan.parts.iter().enumerate().map(part).collect();
        let (name, grain) = (shop.name.clone(), shop.stock.grain);
        Self { name, id, paper: shop.paper, grain, parts }
    }

    /// The same of the parts' templates.
    #[must_use]
    pub fn of_templates(mut self, plan: &'a Plan) -> Self {
        for (part, planned) in self.parts.iter_mut().zip(&plan.parts) {
            part.template = Some(&planned.template);
        }
        self
    }

    /// The pattern of outlines that have no plan: their corners are numbered.
    pub fn of_outlines(
        outlines: &'a [Outline],
        (name, id): (&str, &'a str),
        grain: f64,
        paper: Paper,
    ) -> Self {
        let mut number = 0;
        let parts = outlines.iter().map(|outline| {
            let corners = outline.loops.iter().flat_map(corners);
            let spots = corners.map(|(at, inward)| {
                number += 1;
                Spot { text: number.to_string(), at, inward, ringed: true }
            });
            let spots = spots.collect();
            Part { outline, template: None, spots }
        });
        let parts = parts.collect();
        Self { name: name.to_owned(), id, paper, grain, parts }
    }
}

fn corners(ring: &Loop) -> Vec<(Point, Vector)> {
    let indices = 0..ring.pieces().len();
    let corners = indices.filter(|&index| ring.join(index) == Join::Corner);
    corners
        .map(|index| {
            let at = ring.pieces()[index].from();
            (at, inward(ring, ring.start_of(index)))
        })
        .collect()
}

/// The way into the wood at a place of a loop; at a corner along its bisector.
fn inward(ring: &Loop, along: f64) -> Vector {
    let (before, after) = (ring.direction_before(along), ring.direction_after(along));
    (before.left() + after.left()).unit().unwrap_or(after.left())
}

fn plan_spots(plan: &Plan, part: usize) -> Vec<Spot> {
    let owner = &plan.parts[part];
    let stretches = plan.stretches.iter().filter(|stretch| stretch.part == part);
    let letters = stretches.map(|stretch| {
        let ring = &owner.guide.loops[stretch.span.on];
        let along = ring.wrapped(stretch.span.from + stretch.span.length / 2.0);
        let inward = ring.direction_after(along).left();
        let text = stretch.name.clone();
        Spot { text, at: ring.at(along), inward, ringed: false }
    });
    let works = plan.hand.iter().filter(|work| work.part == part);
    let sites = works.filter(|work| matches!(work.kind, HandKind::Site(_)));
    let numbers = sites.map(|work| {
        let rings = &owner.outline.loops;
        let inward = nearest_loop(rings, work.at)
            .map_or(Vector::new(0.0, 1.0), |(_, on, along)| inward(&rings[on], along));
        Spot { text: work.number.to_string(), at: work.at, inward, ringed: true }
    });
    letters.chain(numbers).collect()
}

/// The files of a pattern: all sheets as one PDF, each as an SVG, and each part whole.
///
/// # Errors
/// The bars as measured are too far off to be made up for.
pub fn pattern(pattern: &Pattern<'_>, printer: &Printer) -> Result<Bundle, Failure> {
    let stretch = printer.stretch()?;
    let page = printer.page(stretch);
    let grain = |part: &Part<'_>| {
        let mirrored = part.outline.mirrored;
        if mirrored { of_mirror_image(pattern.grain) } else { pattern.grain }
    };
    let drawn: Vec<_> =
        pattern.parts.iter().map(|part| marks::drawn(part, grain(part))).collect();
    let grid = page::grid(pattern.paper);
    let tiles: Vec<Tiles> =
        drawn.iter().map(|drawn| Tiles::best(&drawn.outline, page, grid)).collect();
    let total = tiles.iter().map(|tiles| tiles.printed().count()).sum();
    let mut scenes = Vec::new();
    for (index, (tiles, drawn)) in tiles.iter().zip(&drawn).enumerate() {
        for tile in tiles.printed() {
            let number = scenes.len() + 1;
            let sheet = Sheet { pattern, part: index, tiles, number: (number, total) };
            scenes.push(sheet.scene(tile, drawn));
        }
    }
    let job = file_stem(&pattern.name);
    let name = match printer.of {
        PatternOf::Part => job.clone(),
        PatternOf::Template => format!("{job}-template"),
    };
    let mut files = vec![(format!("{name}-pattern.pdf"), draw::pdf(&scenes, stretch))];
    for (number, scene) in (1..).zip(&scenes) {
        let svg = draw::svg_stretched(scene, stretch);
        files.push((format!("{name}-pattern-sheet-{number}.svg"), svg.into_bytes()));
    }
    for (index, drawn) in drawn.iter().enumerate() {
        let tiles = Tiles::whole(&drawn.outline);
        let sheet = Sheet { pattern, part: index, tiles: &tiles, number: (1, 1) };
        let part = file_stem(&pattern.parts[index].outline.name);
        let part = part.strip_prefix(&job).unwrap_or(&part).trim_start_matches('-');
        let which = if part.is_empty() { String::new() } else { format!("-{part}") };
        // A whole pattern is one sheet.
        for tile in tiles.printed() {
            let svg = draw::svg_stretched(&sheet.scene(tile, drawn), stretch);
            files.push((format!("{name}-pattern-whole{which}.svg"), svg.into_bytes()));
        }
    }
    Ok(Bundle { name: job, files })
}
