//! The sheet Wedges: sizes, what they do, how they are sawn and where they are trimmed.

mod picture;

use super::bench::{NOT_A_DESIGN, general, unit_words};
use super::model::{Block, PLAN, Picture, Sheet, Sheets};
use super::pages::broken;
use super::{Bundle, file_stem, html, markdown, phrase};
use crate::joint::{Hold, WedgeKind, Wedges};
use crate::shop::defaults;
use crate::units::Paper;

/// The files of wedges that stand alone.
pub fn wedge_bundle(wedges: &Wedges, paper: Paper, (name, id): (&str, &str)) -> Bundle {
    let sheets = Sheets {
        name: name.to_owned(),
        id: id.to_owned(),
        what: PLAN,
        units: unit_words(paper),
        pages: broken(vec![with_cautions(sheet(wedges, paper, id))]),
    };
    let name = file_stem(name);
    let files = vec![
        (format!("{name}-wedges.html"), html::written(&sheets).into_bytes()),
        (format!("{name}-wedges.md"), markdown::written(&sheets).into_bytes()),
    ];
    Bundle { name, files }
}

/// The sheet.
pub(super) fn sheet(wedges: &Wedges, paper: Paper, id: &str) -> Sheet {
    let mut sheet = Sheet::new("Wedges");
    sheet.paragraph(opening(wedges, paper));
    sizes(&mut sheet, wedges, paper);
    height(&mut sheet, wedges, paper);
    driving(&mut sheet, wedges, paper);
    sawing(&mut sheet, wedges, paper);
    let scene = picture::picture(wedges, paper, id);
    let title = format!("The {} in place, and their strip", wedges.ask.kind.words());
    sheet.blocks.push(Block::Picture(Picture { scene, title, file: None }));
    sheet
}

fn with_cautions(mut sheet: Sheet) -> Sheet {
    general(&mut sheet);
    sheet.cautions.push(NOT_A_DESIGN.to_owned());
    sheet
}

fn opening(wedges: &Wedges, paper: Paper) -> String {
    let slot = wedges.ask.slot;
    let (width, height, through) =
        (paper.length(slot.width), paper.length(slot.height), paper.length(slot.through));
    match wedges.ask.kind {
        WedgeKind::Folding => format!(
            "Two wedges fold on each other in a slot {width} wide and {height} high, through \
             stock {through} thick. Their outer faces stay parallel while they are driven."
        ),
        WedgeKind::Tusk => format!(
            "One wedge through a slot {width} wide in the middle and {height} high, in a tenon \
             {through} deep. It draws the shoulders up."
        ),
        WedgeKind::Tenon => format!(
            "A wedge at each side of the tenon's end fills {width} at the outer face of a \
             mortise {through} deep. Flare the mortise by that much on its two END-GRAIN walls."
        ),
    }
}

fn sizes(sheet: &mut Sheet, wedges: &Wedges, paper: Paper) {
    let habits = defaults::WEDGE_HABITS;
    let ask = wedges.ask;
    let slope = format!("1 in {}, {:.1}°", trimmed(wedges.one_in), wedges.degrees());
    let usual = defaults::wedge_slope(ask.kind);
    let slope = if (wedges.one_in - usual.value).abs() < 1e-9 {
        sheet.figure(slope, usual.basis)
    } else {
        slope
    };
    // A tenon wedge ends in its kerf: only its head is trimmed.
    let to_trim = match ask.kind {
        WedgeKind::Folding | WedgeKind::Tusk => {
            format!(" and {} to trim", paper.length(ask.habits.to_trim))
        }
        WedgeKind::Tenon => String::new(),
    };
    let extra = format!(
        "{} with {} to drive{to_trim}",
        paper.length(wedges.length),
        paper.length(ask.habits.to_drive)
    );
    let usual_extra = (ask.habits.to_drive - habits.to_drive).abs() < 1e-9
        && (ask.habits.to_trim - habits.to_trim).abs() < 1e-9;
    let extra = if usual_extra {
        sheet.figure(extra, defaults::WEDGE_TO_DRIVE.basis)
    } else {
        extra
    };
    let row = |what: &str, size: String| vec![what.to_owned(), size];
    let rows = vec![
        row("How many", (ask.kind.count() * ask.sets).to_string()),
        row("Thick end, the head", paper.measured(wedges.head)),
        row("Thin end, the tip", paper.measured(wedges.tip)),
        row("Length as cut", extra),
        row("Height", paper.measured(wedges.height)),
        row("Slope of the whole wedge", slope),
    ];
    sheet.table(&["Wedge", "Size"], rows, &[]);
}

fn height(sheet: &mut Sheet, wedges: &Wedges, paper: Paper) {
    let (slot, shaving) = (wedges.ask.slot, wedges.ask.habits.shaving);
    let shaving = sheet.figure(paper.fine(shaving), defaults::WEDGE_SHAVING.basis);
    let (what, does) = match wedges.ask.kind {
        WedgeKind::Folding => ("slot is", "lifts the halves apart"),
        WedgeKind::Tusk => ("slot is", "splits the tenon"),
        WedgeKind::Tenon => ("tenon and its mortise are", "splits the mortise's cheeks"),
    };
    let words = format!(
        "Height: the {what} {} high, and a wedge of that height or more {does}. Plane it a \
         shaving under, {shaving}, and try it with a slip of paper on top.",
        paper.length(slot.height)
    );
    sheet.blocks.push(Block::Note("caution", words));
}

fn driving(sheet: &mut Sheet, wedges: &Wedges, paper: Paper) {
    sheet.heading("Driving");
    let (ask, step) = (wedges.ask, 10.0);
    let spread = match ask.kind {
        WedgeKind::Folding => "spreads the pair by",
        WedgeKind::Tusk => "draws the joint by",
        WedgeKind::Tenon => "spreads the tenon by",
    };
    let mut lines = vec![
        format!(
            "When it first bites, each wedge still stands out {} to be driven.",
            paper.length(wedges.drive_left())
        ),
        format!(
            "Driving one wedge {} {spread} {}; all there is to drive, by {}.",
            paper.length(step),
            paper.fine(wedges.lift(step)),
            paper.fine(wedges.most_lift())
        ),
        format!(
            "To drive it takes about {:.2} of the force that it clamps with.",
            wedges.force()
        ),
    ];
    let holds = hold(sheet, wedges);
    if wedges.hold() == Hold::Holds {
        lines.insert(2, holds);
    } else {
        sheet.blocks.push(Block::Note("caution", holds));
    }
    lines.extend(pushes(sheet, wedges, paper));
    lines.push(trim(ask.kind).to_owned());
    sheet.checks(lines);
}

/// When to stop, and where it is trimmed.
const fn trim(kind: WedgeKind) -> &'static str {
    match kind {
        WedgeKind::Folding | WedgeKind::Tenon => {
            "Stop when the joint is closed. Saw heads and tips off flush after the glue has set, \
             then plane; never snap them."
        }
        WedgeKind::Tusk => {
            "Stop when the shoulders are closed. It is not trimmed: it stands proud at both ends, \
             so that it can be tapped on, or out again."
        }
    }
}

fn hold(sheet: &mut Sheet, wedges: &Wedges) -> String {
    let friction = wedges.ask.habits.friction;
    let friction = sheet.figure(friction, defaults::WOOD_FRICTION.basis);
    let limit = 1.0 / libm::tan(2.0 * libm::atan(wedges.ask.habits.friction));
    let rule = trimmed((10.0 / wedges.ask.habits.friction).ceil() / 10.0);
    match wedges.hold() {
        Hold::Holds => format!(
            "It holds by friction even where one face slips, waxed or wet with glue: flatter \
             than 1 in {rule}, with friction of {friction}. The limit, with both faces dry, is \
             1 in {limit:.1}."
        ),
        Hold::WhileDry => format!(
            "Slope: 1 in {} holds only while both its faces are dry (limit 1 in {limit:.1}, with \
             friction of {friction}). Wet with glue or waxed, one face slips and the wedge backs \
             out: taper it flatter than 1 in {rule}, or drive it dry and peg it before it is \
             sawn off.",
            trimmed(wedges.one_in)
        ),
        Hold::SpringsBack => "It does not hold.".to_owned(),
    }
}

/// On which walls it pushes, and what it must stay clear of.
fn pushes(sheet: &mut Sheet, wedges: &Wedges, paper: Paper) -> Vec<String> {
    let grain = "The grain runs along the wedge, from head to tip.".to_owned();
    match wedges.ask.kind {
        WedgeKind::Folding => vec![
            "It pushes on END GRAIN only, along the grain of both halves: never across long \
             grain, which it splits."
                .to_owned(),
            "Start one wedge from each face, heads outwards, and drive them by turns."
                .to_owned(),
            grain,
        ],
        WedgeKind::Tusk => {
            let set_in = wedges.ask.habits.set_in;
            let room = paper.length(set_in * wedges.one_in);
            let set_in = sheet.figure(paper.length(set_in), defaults::TUSK_SET_IN.basis);
            vec![
                "It pushes on the END GRAIN of the tenon beyond the slot and on the face it \
                 draws up. Cut the slot's outer wall to the wedge's slope."
                    .to_owned(),
                format!(
                    "Begin the slot {set_in} inside the face, so that the wedge draws. It would \
                     touch the slot's inner wall only after {room} of drive: it must not."
                ),
                grain,
            ]
        }
        WedgeKind::Tenon => vec![
            "It pushes the tenon against the END-GRAIN walls of the mortise, never against its \
             long grain, which splits."
                .to_owned(),
            format!(
                "Saw the kerf {} deep, past where the wedge will end, and drill a small hole at \
                 its bottom, so that it does not run on.",
                paper.length(wedges.ask.slot.through)
            ),
            grain,
        ],
    }
}

fn sawing(sheet: &mut Sheet, wedges: &Wedges, paper: Paper) {
    let (strip, kerf) = (&wedges.strip, wedges.ask.habits.kerf);
    sheet.heading("Sawing them from one strip");
    let kerf = sheet.figure(paper.length(kerf), defaults::WEDGE_KERF.basis);
    sheet.paragraph(format!(
        "Strip: {} along the grain, at least {} wide, planed to {} thick, one edge true. Mark \
         each cut at both ends from the true edge; the kerf of {kerf} lies beyond the mark. \
         Angles alternate: turn the strip over end for end, or swing the fence, for every other \
         cut.",
        paper.length(strip.length),
        phrase::at_least(strip.width + 3.0, paper),
        paper.measured(strip.thick)
    ));
    let row = |(number, cut): (usize, &crate::joint::Cut)| {
        let ends = [cut.near, cut.far].map(|mm| paper.measured(mm));
        let [near, far] = ends;
        vec![number.to_string(), near, far]
    };
    let rows = (1..).zip(&strip.cuts).map(row).collect();
    sheet.table(&["Cut", "From the edge, near end", "From the edge, far end"], rows, &[]);
}

/// A number with at most one decimal.
fn trimmed(number: f64) -> String {
    let text = format!("{number:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}
