//! What a job can call the edges of an outline: by name, by the side they face, or by a place.
//!
//! ```text
//!           far
//!         .-----.          by its name, where edges of one side alone bear it; else by the side
//!    left |     | shelf    it faces; else by its middle, as `at 40 0`
//!         '-----'
//! ```
//!
//! Our own.

use super::{Edge, Outline};
use crate::geom::{Point, nearest_loop};
use crate::read::Side;
use crate::units::Paper;
use std::collections::{BTreeMap, BTreeSet};

/// What a job can call an edge.
#[derive(Debug, Clone, PartialEq)]
pub enum Call {
    /// By its name.
    Named(String),
    /// By the side that it faces.
    Facing(Side),
    /// By its middle, to a tenth of a millimetre.
    At(Point),
}

impl Call {
    /// What it is known by: names and sides as a job writes them, a place as `at 120.5 45`.
    pub fn key(&self) -> String {
        match self {
            Self::Named(name) => name.clone(),
            Self::Facing(side) => side.word().to_owned(),
            Self::At(at) => format!("at {} {}", at.x, at.y),
        }
    }

    /// The place that such a key names.
    pub fn place_of(key: &str) -> Option<Point> {
        let (x, y) = key.strip_prefix("at ")?.split_once(' ')?;
        Some(Point::new(x.parse().ok()?, y.parse().ok()?))
    }

    /// The call in words, behind “edge”.
    pub fn words(&self, paper: Paper) -> String {
        match self {
            Self::Named(name) => name.clone(),
            Self::Facing(side) => side.word().to_owned(),
            Self::At(at) => {
                format!("at X {}, Y {}", paper.length(at.x), paper.length(at.y))
            }
        }
    }
}

/// What a job can call the edges of an outline. A name that stands for edges of several sides, as
/// that of a whole drawn path does, calls none of them.
#[derive(Debug)]
pub struct Calls<'o> {
    outline: &'o Outline,
    wide: BTreeSet<&'o String>,
}

impl Calls<'_> {
    /// What a job can call one of them; in a mirror image a place is another than in what was
    /// drawn, and calls nothing.
    pub fn of(&self, edge: &Edge) -> Option<Call> {
        let name = edge.name.as_ref().filter(|name| !self.wide.contains(*name));
        if let Some(name) = name {
            return Some(Call::Named(name.clone()));
        }
        if let Some(side) = edge.side {
            return Some(Call::Facing(side));
        }
        let ring = &self.outline.loops[edge.span.on];
        let middle = ring.at(edge.span.from + edge.span.length / 2.0);
        // Adding nothing takes the sign off a nought.
        let [x, y] = [middle.x, middle.y].map(|mm| (mm * 10.0).round() / 10.0 + 0.0);
        (!self.outline.mirrored).then_some(Call::At(Point::new(x, y)))
    }
}

impl Outline {
    /// What a job can call its edges.
    pub fn calls(&self) -> Calls<'_> {
        let mut sides: BTreeMap<&String, Option<Side>> = BTreeMap::new();
        let mut wide = BTreeSet::new();
        for edge in &self.edges {
            let Some(name) = &edge.name else { continue };
            if *sides.entry(name).or_insert(edge.side) != edge.side {
                wide.insert(name);
            }
        }
        Calls { outline: self, wide }
    }
}

/// Of several outlines the edge that is nearest to a place.
pub fn edge_near<'o>(
    outlines: impl IntoIterator<Item = &'o Outline>,
    at: Point,
) -> Option<&'o Edge> {
    let near = outlines.into_iter().filter_map(|outline| {
        let (distance, on, along) = nearest_loop(&outline.loops, at)?;
        Some((distance, outline.edge_at(on, along)?))
    });
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, edge)| edge)
}
