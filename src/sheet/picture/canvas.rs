//! A page with the plan's parts laid out on it, and what is taken on it already.

use super::key;
use super::layout::{Layout, Small, scale};
use crate::draw::{
    Circle, LATER, Label, Leader, Mark, Name, Pen, Places, Scene, Text, TitleBlock, View,
    box_about, scale_bar, through,
};
use crate::geom::{Bounds, Loop, Piece, Point, Span, Vector, nearest_loop};
use crate::plan::Plan;
use crate::shop::Face;
use crate::units::{MM_PER_INCH, Paper, Unit};
use std::collections::BTreeSet;

/// A page in the making.
pub(super) struct Canvas<'a> {
    pub(super) plan: &'a Plan,
    pub(super) scene: Scene,
    pub(super) layout: Layout,
    pub(super) places: Places,
    /// The face the page shows.
    pub(super) face: Face,
    /// The names that have their words.
    known: BTreeSet<String>,
}

impl<'a> Canvas<'a> {
    /// An empty page with a place for each part, in the layout that shows them larger; what
    /// is too small and crowded to be read is enlarged beside them.
    pub(super) fn new(
        plan: &'a Plan,
        title: &str,
        face: Face,
        crowded: &[Small],
    ) -> Self {
        let scene = Scene::a4_lying(title);
        let layout = Layout::new(plan, &scene, face, crowded);
        let places = Places::new(layout.frame.drawing.grown(-1.5));
        Self { plan, scene, layout, places, face, known: BTreeSet::new() }
    }

    /// An empty picture to stand among text, of this width and height.
    pub(super) fn alone(plan: &'a Plan, face: Face, (width, height): (f64, f64)) -> Self {
        let (title, marks) = ("the whole job".to_owned(), Vec::new());
        let scene = Scene { width, height, title, marks };
        let layout = Layout::alone(plan, &scene, face);
        let places = Places::new(layout.frame.drawing);
        Self { plan, scene, layout, places, face, known: BTreeSet::new() }
    }

    /// The view in which a point of a part is drawn with its letters: the part's own or, in a
    /// crowded place, the enlarged one.
    pub(super) fn view_at(&self, part: usize, point: Point) -> View {
        let inset = self.layout.insets.iter().find(|inset| inset.holds(part, point));
        inset.map_or(self.layout.cells.views[part], |inset| inset.view)
    }

    /// The view of a part as a whole.
    pub(super) fn view(&self, part: usize) -> View {
        self.layout.cells.views[part]
    }

    /// The view of a run of a loop of the guide: that of its middle.
    pub(super) fn view_of(&self, part: usize, span: Span) -> View {
        let ring = &self.plan.parts[part].guide.loops[span.on];
        self.view_at(part, ring.at(span.from + span.length / 2.0))
    }

    /// Draws something of a part wherever it is seen: on the part and in its insets.
    pub(super) fn draw(&mut self, part: usize, paint: impl Fn(&View, &mut Scene)) {
        let (width, height) = (self.scene.width, self.scene.height);
        let mut whole = Scene { width, height, title: String::new(), marks: Vec::new() };
        paint(&self.view(part), &mut whole);
        for mark in &whole.marks {
            if let Mark::Line(pieces, Pen::NotNow | Pen::NeverCut | Pen::Saw) = mark {
                self.places.add_line(pieces);
            }
        }
        self.scene.marks.append(&mut whole.marks);
        for inset in self.layout.insets.iter().filter(|inset| inset.part == part) {
            paint(&inset.view, &mut whole);
            let circle = inset.on_page();
            for mark in &whole.marks {
                if let Mark::Line(pieces, Pen::NotNow | Pen::NeverCut | Pen::Saw) = mark {
                    self.places.add_line_where(pieces, |point| circle.holds(point));
                }
            }
            let marks = through(circle, std::mem::take(&mut whole.marks));
            if !marks.is_empty() {
                self.scene.marks.push(Mark::Within(circle, marks));
            }
        }
    }

    /// Paints something under a name, with its words the first time, that it can be pointed at
    /// by on a screen.
    pub(super) fn named(
        &mut self,
        key: String,
        words: impl FnOnce() -> String,
        paint: impl FnOnce(&mut Self),
    ) {
        let before = self.scene.marks.len();
        paint(self);
        let marks = self.scene.marks.split_off(before);
        if !marks.is_empty() {
            let words = self.known.insert(key.clone()).then(words);
            let name = Name { key, words, pivot: None };
            self.scene.marks.push(Mark::Named(name, marks));
        }
    }

    /// Paints the grain's arrow, which on a screen is turned about its middle.
    pub(super) fn turned_about(
        &mut self,
        (middle, mirrored): (Point, bool),
        paint: impl FnOnce(&mut Self),
    ) {
        let (key, words) = if mirrored {
            (key::MIRRORED_GRAIN, key::MIRRORED_GRAIN_WORDS)
        } else {
            (key::GRAIN, key::GRAIN_WORDS)
        };
        self.named(key.to_owned(), || words.to_owned(), paint);
        if let Some(Mark::Named(name, _)) = self.scene.marks.last_mut() {
            name.pivot = Some(middle);
        }
    }

    /// A place that only a screen shows.
    pub(super) fn spot(&mut self, key: String, words: String, at: Point) {
        let name = Name { key, words: Some(words), pivot: Some(at) };
        self.scene.marks.push(Mark::Named(name, Vec::new()));
    }

    /// Rings round the insets and the places they enlarge, which bear the same mark: a line
    /// between the two would cross what is drawn.
    pub(super) fn insets(&mut self) {
        for (inset, mark) in self.layout.insets.iter().zip(INSET_MARKS) {
            let (there, here) = (self.layout.cells.views[inset.part], inset.on_page());
            let small = Circle {
                centre: there.point(inset.centre),
                radius: inset.radius * there.scale,
            };
            for circle in [small, here] {
                self.scene.line(circle.pieces(), Pen::Fine);
                self.places.add_line(&circle.pieces());
            }
            let label = Label { text: mark.to_owned(), size: 5.0, room: 0.6 };
            let around: Vec<Point> = (0..8)
                .map(|step| std::f64::consts::FRAC_PI_4 * (f64::from(step) + 0.5))
                .map(|angle| {
                    small.centre + Vector::at_angle(angle) * (small.radius + 4.0)
                })
                .collect();
            let text = self.places.label(&label, &around);
            self.scene.letters(text);
        }
    }

    /// The words of the insets, under, over or beside them, where nothing else stands.
    pub(super) fn inset_words(&mut self) {
        for (inset, mark) in self.layout.insets.iter().zip(INSET_MARKS) {
            let here = inset.on_page();
            let far = here.radius + 5.0;
            let (wide, farther) = (far + 12.0, far + 5.0);
            let beside =
                [(0.0, -far), (0.0, far), (wide, 0.0), (-wide, 0.0), (0.0, farther)];
            let beside = beside.map(|(x, y)| here.centre + Vector::new(x, y));
            let words = format!("{mark} enlarged {}", inset.words);
            let text = |at| Text::new(at, words.clone(), 3.8).centred();
            let room = text(here.centre).bounds();
            let at = self.places.best(&beside, room.width(), room.height());
            self.scene.letters(text(at));
        }
    }

    /// A place on a span's loop and the way off it into the waste, on the page.
    pub(super) fn off_edge(
        &self,
        part: usize,
        span: Span,
        along: f64,
    ) -> (Point, Vector) {
        let ring: &Loop = &self.plan.parts[part].guide.loops[span.on];
        let view = self.view_of(part, span);
        (view.point(ring.at(along)), view.direction(ring.direction_after(along).right()))
    }

    /// Places a label near an edge: at the waste side first, nearest first, along the span;
    /// where another edge would be nearer to it than its own, only at a price.
    pub(super) fn label_edge(&mut self, part: usize, span: Span, label: &Label) {
        let mut spots = Vec::new();
        let mut price = 0.0;
        for distance in DISTANCES {
            for share in SHARES {
                let (foot, out) =
                    self.off_edge(part, span, span.from + span.length * share);
                spots.push((Spot { at: foot + out * distance, foot }, price));
                price += LATER;
            }
        }
        let prices: Vec<(Point, f64)> =
            spots.iter().map(|(spot, price)| (spot.at, *price)).collect();
        let size = label.size_of_box();
        let spot_at = |at: Point| {
            spots.iter().map(|(spot, _)| spot).find(|spot| spot.at.distance(at) < 1e-6)
        };
        let leader_at = |at: Point| {
            let own = self.is_nearest(part, span, at);
            let beyond = if own { LEADER } else { 0.0 };
            let to = spot_at(at)?.foot;
            Some((own, Leader { to, size, beyond }.line(at)))
        };
        let further = |at: Point| {
            let Some((own, leader)) = leader_at(at) else { return 0.0 };
            let crossed = leader.map_or(0.0, |line| self.places.leader_cost(&line));
            crossed + if own { 0.0 } else { NOT_OWN }
        };
        let middle = self.places.best_weighed(&prices, further, size);
        let leader = leader_at(middle).and_then(|(_, leader)| leader);
        self.places.add_box(box_about(middle, size));
        self.leader(leader);
        let text = Text::new(middle, label.text.clone(), label.size).bold().centred();
        self.scene.letters(text);
    }

    /// Whether a label has a place near an edge that covers no other letters to speak of.
    pub(super) fn has_room(&self, part: usize, span: Span, label: &Label) -> bool {
        let size = label.size_of_box();
        DISTANCES.iter().any(|&distance| {
            SHARES.iter().any(|&share| {
                let (foot, out) =
                    self.off_edge(part, span, span.from + span.length * share);
                let at = foot + out * distance;
                let cost = self.places.cost(box_about(at, size));
                cost < ROOM_ENOUGH && self.is_nearest(part, span, at)
            })
        })
    }

    /// Whether of all edges of a part this span is the one nearest to a point of the page.
    fn is_nearest(&self, part: usize, span: Span, on_page: Point) -> bool {
        let at = self.view_of(part, span).back(on_page);
        let loops = &self.plan.parts[part].guide.loops;
        let Some((_, on, along)) = nearest_loop(loops, at) else { return false };
        let ring = &loops[on];
        on == span.on && ring.wrapped(along - span.from) <= span.length + 1e-6
    }

    /// Draws a leader, where there is one.
    pub(super) fn leader(&mut self, leader: Option<Piece>) {
        if let Some(line) = leader {
            self.places.add_line(&[line]);
            self.scene.line(vec![line], Pen::Fine);
        }
    }

    /// The page, with its border, title block, face and scale bar.
    pub(super) fn finish(mut self, title: &TitleBlock, paper: Paper) -> Scene {
        let corner = self.layout.frame.drawing.low;
        let (length, words) = bar(scale(&self.layout.cells), paper);
        let at = corner + Vector::new(4.0, 3.5);
        scale_bar(
            &mut self.scene,
            at,
            length,
            &format!("{words}   scale {}", self.layout.cells.words),
        );
        self.face_title();
        self.layout.frame.draw(&mut self.scene, title);
        self.scene
    }

    /// The picture, to stand among text: with its face and its border, and some words in
    /// its foot.
    pub(super) fn finish_alone(mut self, words: &str) -> Scene {
        self.face_title();
        let Bounds { low, high } = self.layout.frame.drawing;
        let foot = low + Vector::new(4.0, 3.0);
        self.scene.letters(Text::new(foot, words, 4.6).bold());
        let corners = [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)];
        self.scene.ring(&corners, Pen::Border);
        self.scene
    }

    /// The face the page shows, at its top left.
    fn face_title(&mut self) {
        let drawing = self.layout.frame.drawing;
        let top = Point::new(drawing.low.x + 4.0, drawing.high.y - 8.0);
        let face = super::phrase::face_title(self.face);
        self.scene.letters(Text::new(top, face, 6.0).bold());
    }
}

/// The marks of insets: neither letters of stretches nor numbers of hand work.
const INSET_MARKS: [&str; 3] = ["(i)", "(ii)", "(iii)"];

/// A place for a label.
struct Spot {
    at: Point,
    /// The point of its edge it stands beside.
    foot: Point,
}

/// A place that costs less covers no letters, at most a line or two.
const ROOM_ENOUGH: f64 = 40.0;

/// The price of standing nearer to another edge.
const NOT_OWN: f64 = 400.0;

/// How far from an edge a label may stand, nearest first; negative is on the part.
const DISTANCES: [f64; 6] = [10.5, -7.5, 14.0, 18.0, -12.0, 24.0];
/// Where along a span a label may stand.
const SHARES: [f64; 9] = [0.5, 0.42, 0.58, 0.34, 0.66, 0.25, 0.75, 0.15, 0.85];
/// From this distance on a label has a leader, and any that stands nearer to another edge.
const LEADER: f64 = 13.0;

/// A round length for the scale bar, between 25 and 65 mm on the page, and its words.
fn bar(scale: f64, paper: Paper) -> (f64, String) {
    let (unit, word) = match paper.unit {
        Unit::Mm => (1.0, "mm"),
        Unit::Inch => (MM_PER_INCH, "in"),
    };
    let mut power = 0.01;
    loop {
        for step in [1.0, 2.0, 4.0, 5.0] {
            let count = step * power;
            let length = count * unit * scale;
            if 25.0 <= length {
                let count = format!("{count:.2}");
                let count = count.trim_end_matches('0').trim_end_matches('.');
                return (length, format!("{count} {word}"));
            }
        }
        power *= 10.0;
    }
}
