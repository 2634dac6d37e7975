//! Walks the model's entities and the blocks they place, and gathers their paths, with what was
//! left out and why.

use std::collections::BTreeMap;

use dxf::Block;
use dxf::entities::{Entity, EntityType, Insert};
use dxf::tables::Layer;

use super::entity::{Found, Shape, found, kind};
use super::file::File;
use super::frame::Frame;
use super::unit::Scale;
use crate::diag::{Place, Problem, Problems, Weight};
use crate::geom::tolerance::CHECK;
use crate::read::pick::{Pick, fits};
use crate::read::{Drawn, Path, Tally};

/// The deepest nesting of blocks read: a block that holds itself must not go on for ever.
const NESTING_LIMIT: usize = 16;
/// The most placings of blocks, in all: arrays of arrays grow without bound.
const PLACING_LIMIT: usize = 50_000;
/// The most entities that placings of blocks repeat, in all, lines or not.
const MEETING_LIMIT: usize = 1_000_000;
/// The most strokes read, in all: more would fill the memory and is never one part.
const STROKE_LIMIT: usize = 500_000;
/// So many problems of one kind are told.
const MOST_TOLD: usize = 12;
/// The colour of a layer that says nothing.
const PLAIN: u8 = 7;

/// What was read.
#[derive(Debug)]
pub(super) struct Read {
    /// The paths in order.
    pub(super) paths: Vec<Path>,
    /// Why the drawing cannot be used; empty where it can.
    pub(super) stops: Problems,
    /// Cautions and hints.
    pub(super) notes: Problems,
    /// What was left out.
    pub(super) left_out: Tally,
}

/// Reads the model of a drawing.
pub(super) fn read(file: &File<'_>, scale: &Scale, pick: &Pick) -> Read {
    let drawing = &file.drawing;
    let mut reader = Reader {
        file,
        pick,
        blocks: drawing.blocks().map(|b| (b.name.to_lowercase(), b)).collect(),
        layers: drawing.layers().map(|l| (l.name.to_lowercase(), l)).collect(),
        seen: BTreeMap::new(),
        read: Read {
            paths: Vec::new(),
            stops: Vec::new(),
            notes: Vec::new(),
            left_out: Tally::default(),
        },
        n_strokes: 0,
        n_placed: 0,
        n_met: 0,
        is_full: false,
    };
    let context = Context {
        frame: Frame::scaled(scale.mm),
        layer: "0",
        colour: PLAIN,
        is_seen: true,
        depth: 0,
        within: "",
    };
    let model = drawing.entities().filter(|entity| !entity.common.is_in_paper_space);
    reader.hatchings("", &context);
    reader.entities(model, &context);
    reader.finish()
}

/// What entities take from the block they stand in.
#[derive(Debug, Clone, Copy)]
struct Context<'a> {
    frame: Frame,
    layer: &'a str,
    colour: u8,
    is_seen: bool,
    depth: usize,
    /// The inserts that lead here: `INSERT#51/`.
    within: &'a str,
}

struct Reader<'a> {
    file: &'a File<'a>,
    pick: &'a Pick,
    blocks: BTreeMap<String, &'a Block>,
    layers: BTreeMap<String, &'a Layer>,
    /// The layers with anything on them.
    seen: BTreeMap<String, usize>,
    read: Read,
    n_strokes: usize,
    n_placed: usize,
    n_met: usize,
    is_full: bool,
}

impl<'a> Reader<'a> {
    fn entities(
        &mut self,
        entities: impl Iterator<Item = &'a Entity>,
        from: &Context<'_>,
    ) {
        for (index, entity) in entities.enumerate() {
            if self.is_full {
                return;
            }
            self.entity(entity, index + 1, from);
        }
    }

    fn entity(&mut self, entity: &'a Entity, number: usize, from: &Context<'_>) {
        let common = &entity.common;
        // What lies on layer 0 of a block lies on the layer that the block is placed on.
        let layer = if common.layer == "0" { from.layer } else { &common.layer };
        let known = self.layers.get(&layer.to_lowercase()).copied();
        let colour = match common.color.index() {
            Some(index) => index,
            None if common.color.is_by_block() => from.colour,
            None => known.and_then(|layer| layer.color.index()).unwrap_or(PLAIN),
        };
        let is_on = known.is_none_or(|layer| layer.is_layer_on)
            && !self.file.frozen.contains(&layer.to_lowercase());
        let is_seen = from.is_seen && common.is_visible;
        let name = self.name(entity, number, from);
        if let EntityType::Insert(insert) = &entity.specific {
            let is_seen = is_seen && (is_on || !self.pick.layers.is_empty());
            let own = Context { layer, colour, is_seen, within: &name, ..*from };
            return self.insert(insert, &own);
        }
        *self.seen.entry(layer.to_owned()).or_default() += 1;
        let place = Place { layer: Some(layer.to_owned()), ..self.file.place() };
        let place = place.element(name);
        let kind = kind(&entity.specific);
        // A layer that is asked for by its name is read even where it is off.
        let is_seen = is_seen && (is_on || self.pick.names(layer));
        if !is_seen || !self.pick.takes(layer, colour) {
            return self.read.left_out.add(layer, kind);
        }
        match found(&entity.specific, CHECK / from.frame.growth()) {
            Found::NoLine => self.read.left_out.add(layer, kind),
            Found::Bad(why) => {
                let hint = "draw it again, or turn it into lines and arcs in the drawing program";
                self.stop(Problem::stop("dxf-unreadable", why, hint).at(place));
            }
            Found::Drawn(shape) => self.shape(&shape, place, from),
        }
    }

    /// What an entity is called: by its handle, or by its number where the file has none.
    fn name(&self, entity: &Entity, number: usize, from: &Context<'_>) -> String {
        let (within, kind) = (from.within, kind(&entity.specific));
        let handle = entity.common.handle;
        if self.file.has_handles && !handle.is_empty() {
            format!("{within}{kind}#{}", handle.as_string())
        } else {
            format!("{within}{kind} number {number}")
        }
    }

    fn insert(&mut self, insert: &Insert, own: &Context<'_>) {
        let outermost = own.within.split('/').next().unwrap_or(own.within);
        let place = self.file.place().element(outermost);
        let Some(block) = self.blocks.get(&insert.name.to_lowercase()).copied() else {
            let found = format!("the block `{}` is not in the file", insert.name);
            let hint = "remove its placing, or put the block into this drawing";
            return self.note(
                Problem::new("dxf-no-such-block", Weight::Caution, found, hint).at(place),
            );
        };
        if NESTING_LIMIT < own.depth {
            let found = format!("blocks are nested deeper than {NESTING_LIMIT}");
            let hint = "take the blocks apart in the drawing program, and look whether one of them holds itself";
            self.is_full = true;
            return self.stop(Problem::stop("dxf-too-deep", found, hint).at(place));
        }
        let within = format!("{}/", own.within);
        for row in 0..insert.row_count.max(1) {
            for column in 0..insert.column_count.max(1) {
                let frame = own.frame.placed(insert, &block.base_point, (column, row));
                let inner =
                    Context { frame, depth: own.depth + 1, within: &within, ..*own };
                if !self.place_block(block, &inner, &place) {
                    return;
                }
            }
        }
    }

    /// Places a block once; whether to go on.
    fn place_block(&mut self, block: &'a Block, own: &Context<'_>, at: &Place) -> bool {
        self.n_placed += 1;
        self.n_met += block.entities.len() + self.hatched(&block.name).len();
        if PLACING_LIMIT < self.n_placed || MEETING_LIMIT < self.n_met {
            let hint = "take the arrays apart and keep one of each part";
            let problem = Problem::stop("dxf-too-many-placings", "too many blocks", hint)
                .expected(format!(
                    "at most {PLACING_LIMIT} placings of {MEETING_LIMIT} entities in all"
                ));
            self.is_full = true;
            self.stop(problem.at(at.clone()));
        } else if own.frame.is_sound() {
            self.hatchings(&block.name, own);
            self.entities(block.entities.iter(), own);
        } else {
            let found = format!("the block `{}` is placed with a scale of 0", block.name);
            let hint = "give its placing a scale, or remove it";
            self.stop(Problem::stop("dxf-scale", found, hint).at(at.clone()));
        }
        !self.is_full
    }

    /// The layers of the hatchings in a block.
    fn hatched(&self, block: &str) -> &'a [String] {
        self.file.hatched.get(&block.to_lowercase()).map_or(&[], Vec::as_slice)
    }

    /// Counts the hatchings of a block, or of the model, which has no name.
    fn hatchings(&mut self, block: &str, own: &Context<'_>) {
        for layer in self.hatched(block) {
            let layer = if layer == "0" { own.layer } else { layer };
            self.read.left_out.add(layer, "HATCH");
        }
    }

    fn shape(&mut self, shape: &Shape, place: Place, from: &Context<'_>) {
        let Shape { marks, closed, normal, guess } = shape;
        self.n_strokes += marks.len();
        if STROKE_LIMIT < self.n_strokes {
            let hint = "make the outline simpler: a traced or scanned one needs far fewer points";
            let found = "the drawing has too many strokes";
            self.is_full = true;
            return self.stop(
                Problem::stop("dxf-too-many-strokes", found, hint)
                    .expected(format!("at most {STROKE_LIMIT} strokes"))
                    .at(place),
            );
        }
        let frame = normal.as_ref().map_or(from.frame, |n| from.frame.on_plane(n));
        let layer = place.layer.clone().filter(|layer| layer != "0");
        let drawn = |stroke| Drawn { stroke, name: layer.clone(), role: None };
        let strokes: Vec<Drawn> =
            marks.iter().flat_map(|mark| frame.strokes(mark)).map(drawn).collect();
        let Some(first) = strokes.first() else { return };
        let at = first.stroke.from();
        let place = if at.is_finite() { place.at(at.x, at.y) } else { place };
        if !frame.is_flat(marks) {
            let hint = "make it lie in the plane of the board, or name the layers that lie in it with `--layer`";
            let found = "a line does not lie flat: it rises out of the drawing";
            return self.stop(Problem::stop("dxf-not-flat", found, hint).at(place));
        }
        if let Some(guess) = guess {
            let hint = "look at its run in the picture, or save it with control points";
            let problem = Problem::new("dxf-fit-points", Weight::Caution, *guess, hint);
            self.note(problem.at(place.clone()));
        }
        self.read.paths.push(Path { strokes, closed: *closed, place });
    }

    fn stop(&mut self, problem: Problem) {
        let told = self.read.stops.iter().filter(|stop| stop.id == problem.id).count();
        if told < MOST_TOLD {
            self.read.stops.push(problem);
        }
    }

    fn note(&mut self, problem: Problem) {
        let told = self.read.notes.iter().filter(|note| note.id == problem.id).count();
        if told < MOST_TOLD {
            self.read.notes.push(problem);
        }
    }

    fn finish(mut self) -> Read {
        for (pattern, place) in &self.pick.layers {
            if !self.seen.keys().any(|layer| fits(pattern, layer)) {
                let problem = no_such_layer(pattern, &self.seen);
                self.read.stops.push(problem.at(place.clone()));
            }
        }
        if self.read.paths.is_empty() && self.read.stops.is_empty() {
            let problem = nothing(&self.read.left_out, self.pick);
            self.read.stops.push(problem.at(self.file.place()));
            // What was told on the way may be why: a block that is not there.
            self.read.stops.append(&mut self.read.notes);
        }
        self.read
    }
}

fn no_such_layer(pattern: &str, seen: &BTreeMap<String, usize>) -> Problem {
    /// So many layers are named.
    const MOST_NAMED: usize = 12;
    let found = format!("nothing in the drawing lies on a layer `{pattern}`");
    let names: Vec<String> =
        seen.keys().take(MOST_NAMED).map(|layer| format!("`{layer}`")).collect();
    let more = seen.len().saturating_sub(MOST_NAMED);
    let more = if more == 0 { String::new() } else { format!(" and {more} more") };
    let hint = "name one of them, with `*` for any run of letters and `?` for any one";
    Problem::stop("dxf-no-such-layer", found, hint)
        .expected(format!("one of {}{more}", names.join(", ")))
}

/// Why there is no path at all.
fn nothing(left_out: &Tally, pick: &Pick) -> Problem {
    let texts: usize =
        ["TEXT", "MTEXT", "ATTRIB", "ATTDEF"].iter().map(|k| left_out.of_kind(k)).sum();
    if 0 < texts && texts == left_out.total() {
        let hint = "convert the text to lines in the drawing program (a font's letters have no outline in the file)";
        return Problem::stop("dxf-text-only", "the drawing holds only text", hint);
    }
    let hint = if pick.is_all() {
        "draw the part's outline in the model with lines, arcs, circles, ellipses, polylines or splines"
    } else {
        "name other layers or colours, or none to read the whole drawing"
    };
    let found = if left_out.is_empty() {
        "the model of the drawing holds nothing that could be read".to_owned()
    } else {
        format!("no line was read; left out: {}", left_out.words())
    };
    Problem::stop("dxf-empty", found, hint)
}
