//! The picture of wedges in their slot, and of the strip they are sawn from.

use crate::draw::{
    Frame, Pen, Scene, Text, TitleBlock, View, arrow_along, double_arrow, hatched,
    round_scale,
};
use crate::geom::{Bounds, Point, Vector};
use crate::joint::{WedgeKind, Wedges};
use crate::units::Paper;

/// The picture.
pub(super) fn picture(wedges: &Wedges, paper: Paper, id: &str) -> Scene {
    let kind = wedges.ask.kind.words();
    let mut scene =
        Scene::a4_lying(format!("{kind} in place, and the strip to saw them from"));
    let frame = Frame::beside(&scene);
    let title = TitleBlock {
        name: "Wedges".to_owned(),
        heading: kind.to_uppercase(),
        lines: vec![format!("Plan {id}")],
    };
    frame.draw(&mut scene, &title);
    let middle = frame.drawing.centre().y;
    let above = Bounds { low: Point::new(frame.drawing.low.x, middle), ..frame.drawing };
    let below =
        Bounds { high: Point::new(frame.drawing.high.x, middle), ..frame.drawing };
    let mut notes = vec![in_place(&mut scene, wedges, (above.grown(-26.0), paper))];
    notes.push(strip(&mut scene, wedges, (below.grown(-24.0), paper)));
    notes.extend(words(wedges, paper));
    crate::draw::column(&mut scene, frame.notes, &notes, 4.4);
    scene
}

fn words(wedges: &Wedges, paper: Paper) -> Vec<String> {
    let measured = |mm| paper.measured(mm);
    vec![
        format!("#Head {}", measured(wedges.head)),
        format!("#Tip {}", measured(wedges.tip)),
        format!("#Length {}", paper.length(wedges.length)),
        format!("#Height {}", measured(wedges.height)),
        "Arrows: which way each is driven.".to_owned(),
        flush(wedges.ask.kind).to_owned(),
        "Hatched: the end grain it pushes on.".to_owned(),
    ]
}

const fn flush(kind: WedgeKind) -> &'static str {
    match kind {
        WedgeKind::Folding => {
            "Dash-dot: the faces of the stock. Saw flush there after the glue has set."
        }
        WedgeKind::Tenon => {
            "Dash-dot: the faces of the stock. Saw the heads flush after the glue has set."
        }
        WedgeKind::Tusk => {
            "Dash-dot: the faces of the tenon. The wedge stands proud of both."
        }
    }
}

/// A view that shows a box of this size as large as a round scale allows.
fn view(size: (f64, f64), area: Bounds) -> (View, String) {
    let most = (area.width() / size.0).min(area.height() / size.1);
    let (scale, words) = round_scale(most).unwrap_or((most, "not to scale".to_owned()));
    let centre = Point::new(size.0 / 2.0, size.1 / 2.0);
    (View { centre, on_page: area.centre(), scale, turned_over: false }, words)
}

/// The wedges in the slot, seen along their height; gives the scale in words.
fn in_place(
    scene: &mut Scene,
    wedges: &Wedges,
    (area, paper): (Bounds, Paper),
) -> String {
    let (slot, habits) = (wedges.ask.slot, wedges.ask.habits);
    let (deep, out, past) = (slot.through, habits.to_drive, habits.to_trim);
    let wide = if wedges.ask.kind == WedgeKind::Tenon { wedges.head } else { slot.width };
    let (mut view, scale) = view((deep + 2.0 * out, wide.max(wedges.head)), area);
    view.centre = Point::new(deep / 2.0, wide / 2.0);
    let at = |x: f64, y: f64| view.point(Point::new(x, y));
    let wall = 7.0 / view.scale;
    hatched(scene, &[at(0.0, -wall), at(deep, -wall), at(deep, 0.0), at(0.0, 0.0)]);
    // One wedge lies against a wall of its own slope, two against parallel ones.
    let top = match wedges.ask.kind {
        WedgeKind::Folding => [wide, wide],
        WedgeKind::Tusk | WedgeKind::Tenon => {
            let slope = 1.0 / wedges.one_in;
            [wedges.head - out * slope, wedges.head - (out + deep) * slope]
        }
    };
    let [near, far] = top;
    hatched(
        scene,
        &[at(0.0, near), at(deep, far), at(deep, far + wall), at(0.0, near + wall)],
    );
    let end = wedges.length - out;
    let one = [at(-out, 0.0), at(end, 0.0), at(end, wedges.tip), at(-out, wedges.head)];
    scene.ring(&one, Pen::Now);
    let mut heads = vec![(at(-out, wedges.head / 2.0), Vector::new(1.0, 0.0))];
    if wedges.ask.kind == WedgeKind::Folding {
        let (left, right) = (-past, deep + out);
        let other = [
            at(left, wide),
            at(right, wide),
            at(right, wide - wedges.head),
            at(left, wide - wedges.tip),
        ];
        scene.ring(&other, Pen::Now);
        heads.push((at(right, wide - wedges.head / 2.0), Vector::new(-1.0, 0.0)));
    }
    for (head, way) in heads {
        arrow_along(scene, &[head - way * 17.0, head - way * 3.0]);
    }
    let over = wall * 1.9;
    for x in [0.0, deep] {
        scene.straight(at(x, -over), at(x, wide + over), Pen::Centre);
        let is_sawn = match wedges.ask.kind {
            WedgeKind::Folding => true,
            WedgeKind::Tusk => false,
            // Its tip ends in the kerf.
            WedgeKind::Tenon => x <= 0.0,
        };
        if is_sawn {
            let place = at(x, -over) - Vector::new(0.0, 4.0);
            scene.letters(Text::new(place, "saw flush", 3.8).centred());
        }
    }
    let level = at(0.0, wide + over) + Vector::new(0.0, 3.0);
    let far = Point::new(at(deep, 0.0).x, level.y);
    double_arrow(scene, level, far);
    let words = format!("stock {}", paper.length(deep));
    let place = level.middle(far) + Vector::new(0.0, 4.0);
    scene.letters(Text::new(place, words, 4.4).bold().centred());
    format!("Above: in place, {scale}.")
}

/// The strip with its cuts; gives the scale in words.
fn strip(scene: &mut Scene, wedges: &Wedges, (area, paper): (Bounds, Paper)) -> String {
    let strip = &wedges.strip;
    let (view, scale) = view((strip.length, strip.width), area);
    let at = |x: f64, y: f64| view.point(Point::new(x, y));
    let (long, wide) = (strip.length, strip.width);
    scene
        .ring(&[at(0.0, 0.0), at(long, 0.0), at(long, wide), at(0.0, wide)], Pen::NotNow);
    for (number, cut) in (1..).zip(&strip.cuts) {
        let [near, far] = [at(0.0, cut.near), at(long, cut.far)];
        scene.straight(near, far, Pen::Now);
        scene.straight(
            at(0.0, cut.near + wedges.ask.habits.kerf),
            at(long, cut.far + wedges.ask.habits.kerf),
            Pen::Fine,
        );
        let left = near - Vector::new(5.0, 0.0);
        scene.letters(Text::new(left, number.to_string(), 4.2).bold().centred());
    }
    let foot = at(long / 2.0, 0.0) - Vector::new(0.0, 5.0);
    let words = format!(
        "true edge; near end at the left; {} along the grain",
        paper.length(long)
    );
    scene.letters(Text::new(foot, words, 4.0).centred());
    let head = at(long / 2.0, wide) + Vector::new(0.0, 5.0);
    double_arrow(scene, head - Vector::new(20.0, 0.0), head + Vector::new(20.0, 0.0));
    scene.letters(Text::new(head + Vector::new(0.0, 4.0), "GRAIN", 4.0).bold().centred());
    format!("Below: the strip, {scale}.")
}
