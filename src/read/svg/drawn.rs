//! Shapes as paths of the drawing.

use roxmltree::Node;

use super::attribute::Attributes;
use super::document::{FARTHEST, STROKE_LIMIT, label};
use super::page::ends;
use super::path;
use super::shape::{self, Run};
use super::tree::{Inherited, Reader, Window};
use crate::diag::{Place, Problem, Weight};
use crate::geom::{Point, tolerance};
use crate::read::{Drawn, Path, Stroke};

impl<'a> Reader<'a> {
    /// Reads one shape.
    pub(super) fn shape(&mut self, node: Node<'a, 'a>, own: &Inherited) {
        let from = Attributes { text: self.text, node, room: own.room };
        let read = match node.tag_name().name() {
            "path" => path::path(from).map(|(runs, enlarged)| {
                self.enlarged(node, enlarged * own.map.growth());
                runs
            }),
            "rect" => shape::rect(from).map(Vec::from_iter),
            "circle" => shape::circle(from).map(Vec::from_iter),
            "ellipse" => shape::ellipse(from).map(Vec::from_iter),
            "line" => shape::line(from).map(Vec::from_iter),
            "polyline" => shape::polyline(from).map(Vec::from_iter),
            _ => shape::polygon(from).map(Vec::from_iter),
        };
        match read {
            Err(problem) => self.problems.push(*problem),
            Ok(runs) if runs.is_empty() => {
                let found = format!("`{}` draws nothing", label(node));
                let hint = "remove it, or give it a size";
                let problem =
                    Problem::new("svg-shape-without-size", Weight::Caution, found, hint);
                self.note(node, problem);
            }
            Ok(runs) => self.runs(node, own, &runs),
        }
    }

    fn runs(&mut self, node: Node<'a, 'a>, own: &Inherited, runs: &[Run]) {
        self.n_strokes += runs.iter().map(|run| run.marks.len()).sum::<usize>();
        if STROKE_LIMIT < self.n_strokes {
            self.problems.push(*self.text.too_many_strokes(node));
            self.full = true;
            return;
        }
        let first = self.paths.len();
        let place = self.place(node);
        for run in runs {
            self.run(node, own, (run, &place));
        }
        if !self.paths[first..].iter().all(is_near) {
            let found = format!(
                "`{}` lies more than {} km off the page",
                label(node),
                FARTHEST / 1e6
            );
            let hint = "remove it, or move it onto the page; where it does not seem so far off, a number or a transform has slipped";
            self.note(node, Problem::stop("svg-too-far", found, hint));
        }
        if let Some(window) = own.window
            && self.paths[first..].iter().any(|path| reaches_out(path, &window))
        {
            let found =
                "it reaches out of the nested drawing that shows it; it is read whole";
            let hint = "draw the shape itself as it is to be made";
            let problem = Problem::new("svg-clip-not-read", Weight::Caution, found, hint);
            self.note(node, problem);
        }
    }

    fn run(&mut self, node: Node<'a, 'a>, own: &Inherited, (run, place): (&Run, &Place)) {
        let cloned = self.clones.iter().find_map(|clone| clone.id.as_deref());
        let own_id = node.attribute("id").filter(|id| !id.is_empty());
        let name = cloned.or(own_id).map(str::to_owned);
        let strokes = run.marks.iter().flat_map(|mark| own.map.strokes(mark));
        let strokes =
            strokes.map(|stroke| Drawn { stroke, name: name.clone(), role: None });
        let path =
            Path { strokes: strokes.collect(), closed: run.closed, place: place.clone() };
        self.paths.push(path);
    }

    fn enlarged(&mut self, node: Node<'a, 'a>, mm: f64) {
        if tolerance::REPAIR < mm {
            let found = format!(
                "an arc's ends lie farther apart than its radius reaches: the radius was enlarged by {}, as SVG prescribes",
                self.text.paper.decimals(mm, 3)
            );
            let hint = "draw the arc with the radius it is to have";
            let problem = Problem::new("svg-arc-enlarged", Weight::Caution, found, hint);
            self.note(node, problem);
        }
    }
}

/// Whether a path stays where its places can be told apart.
fn is_near(path: &Path) -> bool {
    let near = |at: Point| at.x.abs() <= FARTHEST && at.y.abs() <= FARTHEST;
    path.strokes.iter().all(|drawn| match drawn.stroke {
        Stroke::Cubic(points) => points.into_iter().all(near),
        stroke @ (Stroke::Piece(_) | Stroke::Ellipse { .. }) => {
            let bounds = stroke.bounds();
            near(bounds.low) && near(bounds.high)
        }
    })
}

/// Whether a path reaches out of its window by more than a repair.
fn reaches_out(path: &Path, window: &Window) -> bool {
    let Window { back, size: (width, height) } = window;
    let slack = tolerance::REPAIR * back.growth();
    let out = |at: f64, size: f64| at < -slack || size + slack < at;
    path.strokes.iter().flat_map(|drawn| ends(&drawn.stroke)).any(|at| {
        let at = back.point(at);
        out(at.x, *width) || out(at.y, *height)
    })
}
