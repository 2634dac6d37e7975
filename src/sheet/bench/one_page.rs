//! The set-up sheet: the whole job on one page, to be taped up before the bench.
//!
//! Its fields stand in one order whatever the job, and what the job does not have is left out.
//! Its tables are as long as the page has room for; the other sheets have all of them.

use super::{Job, Written, caution, checks, rout, solid, stock, template};
use crate::geom::{Join, Piece, Point};
use crate::outline::LoopKind;
use crate::plan::{Exit, HandWork, Part, Pass, Saw, Start, waste_limit};
use crate::sheet::model::{Block, Set, Sheet, Table};
use crate::sheet::{pages, phrase, picture};
use crate::shop::{Bit, bit_speed};
use crate::units::Paper;

/// How wide and high its picture is drawn, and how high it stands on the page, in mm.
const PICTURE: (f64, f64) = (297.0, 104.0);
const HIGH: f64 = pages::WIDE * PICTURE.1 / PICTURE.0;

/// How many points of the layout, and how many sizes to check, stand side by side.
const ABREAST: usize = 10;

/// A line to write on.
const BLANK: &str = "________";

/// The sheet.
pub(super) fn sheet(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet { set: Set::Small, ..Sheet::new("Set-up sheet") };
    caution::add(&mut sheet, job);
    let scene = picture::whole(job.plan, job.shop, PICTURE);
    sheet.blocks = fitted(&fields(job), pages::room(&sheet) - pages::drawing(HIGH));
    sheet.blocks.insert(1, Block::Drawing(scene, HIGH));
    sheet
}

/// The tables with as many rows as so much room holds: what is done at the bench first, then
/// the rest, a row each in turn.
fn fitted(fields: &[Field], room: f64) -> Vec<Block> {
    let mut cuts: Vec<Block> = fields.iter().map(|field| field.cut(1)).collect();
    let mut rows = vec![1; fields.len()];
    let mut free = room - cuts.iter().map(pages::small_height).sum::<f64>();
    for first in [true, false] {
        let mut grows = true;
        while std::mem::take(&mut grows) {
            for (index, field) in fields.iter().enumerate() {
                if field.is_first() != first || field.table.rows.len() <= rows[index] {
                    continue;
                }
                let longer = field.cut(rows[index] + 1);
                let more =
                    pages::small_height(&longer) - pages::small_height(&cuts[index]);
                if more <= free {
                    free -= more;
                    rows[index] += 1;
                    cuts[index] = longer;
                    grows = true;
                }
            }
        }
    }
    cuts
}

/// A table, and the sheet that has all of it.
struct Field {
    table: Table,
    whole: &'static str,
}

impl Field {
    /// Whether it is about what is done at the bench: that has its room first.
    fn is_first(&self) -> bool {
        ["Rout", "Hand list"].contains(&self.whole)
    }

    /// The table with at most so many rows, the last of which says where the others are.
    fn cut(&self, most: usize) -> Block {
        let mut table = self.table.clone();
        if most < table.rows.len() {
            table.rows.truncate(most - 1);
            let mut last = vec![String::new(); table.head.len()];
            last[0].push('…');
            last[1] = format!("see {}", self.whole);
            table.rows.push(last);
        }
        Block::Table(table)
    }
}

/// All fields the job has, in their order.
fn fields(job: &Job<'_>) -> Vec<Field> {
    let mut all = if job.shop.cuts_part() {
        vec![parts(job), wood_alone(job), runs(job), corners(job)]
    } else {
        vec![
            parts(job),
            stock_and_template(job),
            bits(job),
            passes(job),
            corners(job),
            saw(job),
            points(job),
        ]
    };
    all.extend(job.program.map(|program| machine(job, program)));
    all.push(sizes(job));
    all.retain(|field| !field.table.rows.is_empty());
    all
}

fn field(whole: &'static str, head: &[&str], rows: Vec<Vec<String>>) -> Field {
    let head = head.iter().map(|&word| word.to_owned()).collect();
    Field { table: Table { head, rows, large: Vec::new() }, whole }
}

fn parts(job: &Job<'_>) -> Field {
    let row = |part: &Part| {
        let (long, wide) = super::long_by_wide(part, part.outline.bounds());
        vec![
            part.outline.name.clone(),
            part.count.to_string(),
            format!("{} × {}", job.length(long), job.length(wide)),
            BLANK.to_owned(),
            BLANK.to_owned(),
        ]
    };
    let rows = job.plan.parts.iter().map(row).collect();
    let head = ["Part", "Make", "Length × width", "Drawn by", "Fit, when done"];
    field("Stock and mark", &head, rows)
}

fn stock_and_template(job: &Job<'_>) -> Field {
    let shop = job.shop;
    let species = shop.stock.species.as_deref().unwrap_or(BLANK);
    let thick =
        shop.stock.thick.map_or_else(|| BLANK.to_owned(), |it| job.length(it.mm()));
    let wood = format!(
        "{species}, {thick} thick, measured ____; grain {}; quarter, rift or plain ____; \
         rested ____ days; blanks: sheet Stock and mark",
        stock::grain_of_all(job)
    );
    let one = |part: &Part| {
        format!(
            "{}; inside: {}",
            template::offset_words(job, part),
            template::inside_words(job, part)
        )
    };
    let own = job.plan.made().map(|(_, part)| part);
    let mut kinds: Vec<String> = own.map(one).collect();
    kinds.dedup();
    let words = format!(
        "material ________, {} thick; {}; test piece no. ____",
        job.length(shop.template.thick.mm()),
        kinds.join("; ")
    );
    field("Template", &["Stock", "Template"], vec![vec![wood, words]])
}

/// The stock of a part that the machine cuts itself.
fn wood_alone(job: &Job<'_>) -> Field {
    let mut row = stock_and_template(job).table.rows.remove(0);
    row.truncate(1);
    field("Stock and mark", &["Stock"], vec![row])
}

/// The runs of the finishing lap.
fn runs(job: &Job<'_>) -> Field {
    let rows = job.plan.passes.iter().map(|pass| solid::row(job, pass)).collect();
    field("Machine", &solid::HEAD, rows)
}

fn bits(job: &Job<'_>) -> Field {
    let set_ups_of = |bit: usize| -> Vec<String> {
        let set_ups = job.plan.set_ups.iter().enumerate();
        let own = set_ups.filter(|(_, set_up)| set_up.bit == bit);
        own.map(|(index, _)| (index + 1).to_string()).collect()
    };
    let row = |(index, bit): (usize, &Bit)| {
        let set_ups = set_ups_of(index);
        (!set_ups.is_empty()).then(|| bit_row(job, bit, &set_ups.join(", ")))
    };
    let rows = job.shop.bits.iter().enumerate().filter_map(row).collect();
    let head = [
        "Bit",
        "Cutter",
        "Bearing",
        "Cutting length",
        "Shank",
        "Set-up",
        "Turns a minute",
        "Most waste",
    ];
    field("Rout", &head, rows)
}

fn bit_row(job: &Job<'_>, bit: &Bit, set_ups: &str) -> Vec<String> {
    let paper = job.shop.paper;
    let length = match (bit.cut_length, job.plan.least_cut_length) {
        (Some(length), _) => job.length(length.mm()),
        (None, Some(least)) => format!("at least {}", job.at_least(least)),
        (None, None) => BLANK.to_owned(),
    };
    let turns = bit_speed(bit);
    let turns = if turns.is_finite() {
        format!("at most {turns:.0}")
    } else {
        "as marked".to_owned()
    };
    let guides: Vec<&str> = bit.guides.iter().map(|guide| guide.word()).collect();
    let shank =
        bit.body.shank.map_or_else(|| BLANK.to_owned(), |it| paper.measured(it.mm()));
    let most = waste_limit(bit.cutter.mm());
    vec![
        bit.number.to_string(),
        paper.measured(bit.cutter.mm()),
        format!(
            "{} {}",
            paper.measured(bit.bearing.mm()),
            guides.join(", ").to_uppercase()
        ),
        length,
        shank,
        set_ups.to_owned(),
        turns,
        job.length(most),
    ]
}

fn passes(job: &Job<'_>) -> Field {
    let row = |pass: &Pass| {
        let set_up = &job.plan.set_ups[pass.set_up];
        vec![
            pass.number.to_string(),
            format!("{}, face {}", pass.set_up + 1, set_up.face_up().letter()),
            job.shop.bits[set_up.bit].number.to_string(),
            phrase::worked(job.plan, pass),
            rout::depth(job, &pass.layer),
            start(pass.start.0).to_owned(),
            end(pass.exit.0).to_owned(),
        ]
    };
    let rows = job.plan.passes.iter().map(row).collect();
    let head = ["Pass", "Set-up, face up", "Bit", "Stretches", "Depth", "Start", "End"];
    field("Rout", &head, rows)
}

/// How a pass starts, in few words; the sheet of its set-up has them all.
const fn start(start: Start) -> &'static str {
    match start {
        Start::RunOn => "on the run-on",
        Start::Block => "on a backer",
        Start::SwingIn => "swing in",
        Start::StartingPin => "starting pin",
        Start::BeforeCorner => "before the corner",
    }
}

/// How it ends.
const fn end(exit: Exit) -> &'static str {
    match exit {
        Exit::RunOn => "off on the run-on",
        Exit::Backer => "into the backer",
        Exit::Closed => "once round",
        Exit::Overlap => "lift past the change",
        Exit::BeforeHandWork => "lift at the mark",
        Exit::AtTouch => "back off at the touch",
        Exit::NextEdgeFull => "round the corner",
    }
}

fn corners(job: &Job<'_>) -> Field {
    let paper = job.shop.paper;
    let row = |work: &HandWork| {
        let outline = &job.plan.parts[work.part].outline;
        let reference = job.shop.reference.of(outline);
        let (end, edge) = reference.sizes(outline.bounds(), work.at);
        let angle = work.angle.map(|angle| format!(" {angle:.0}°")).unwrap_or_default();
        vec![
            work.number.to_string(),
            format!("{}{angle}", phrase::hand_kind(work.kind)),
            job.length(edge),
            job.length(end),
            paper.measured(work.depth),
            phrase::tool(work.tool, paper),
            phrase::from_face(work.from_face).to_owned(),
            "____".to_owned(),
        ]
    };
    let rows = job.plan.hand.iter().map(row).collect();
    let head = [
        "No.",
        "By hand",
        "From ref. edge",
        "From ref. end",
        "Left",
        "Tool",
        "From face",
        "Shows?",
    ];
    field("Hand list", &head, rows)
}

fn saw(job: &Job<'_>) -> Field {
    let name = |saw: Saw| match saw {
        Saw::Bandsaw(wide) => format!("bandsaw, blade at most {}", job.length(wide)),
        Saw::Jigsaw => "jigsaw".to_owned(),
        Saw::Fretsaw => "fretsaw".to_owned(),
        Saw::Drill(wide) => format!("drill {}", job.length(wide)),
    };
    let mut saws: Vec<String> = job.plan.sawn.iter().map(|sawn| name(sawn.saw)).collect();
    saws.sort();
    saws.dedup();
    let mut leaves: Vec<String> =
        job.plan.saw.iter().map(|line| job.length(line.leave)).collect();
    leaves.dedup();
    let mut kinds = job.plan.parts.iter().flat_map(|part| &part.outline.kinds);
    let openings = kinds.any(|kind| *kind == LoopKind::Opening);
    let tight = job.plan.thick.iter().filter(|it| it.most < it.left).count();
    let tight = match tight {
        0 => "none".to_owned(),
        n_places => format!("{n_places}, see sheet Saw"),
    };
    let row = vec![
        saws.join("; "),
        leaves.join(", "),
        job.length(job.shop.leave_end_grain.mm()),
        tight,
        "into tight curves, first".to_owned(),
        if openings { "openings, then outside" } else { "outside" }.to_owned(),
    ];
    let rows = if job.plan.saw.is_empty() { Vec::new() } else { vec![row] };
    let head = [
        "Saw",
        "Leave outside the line",
        "On end grain",
        "Places to take down",
        "Relief cuts",
        "Order",
    ];
    field("Saw", &head, rows)
}

/// The corners of the outside side by side: a column each, running from the one reference end.
fn points(job: &Job<'_>) -> Field {
    let mut rows = Vec::new();
    for part in &job.plan.parts {
        let (whole, sides) =
            (part.outline.bounds(), job.shop.reference.of(&part.outline));
        let sizes: Vec<(f64, f64)> = corners_of(part, sides.corner(whole))
            .map(|at| sides.sizes(whole, at))
            .collect();
        for some in sizes.chunks(ABREAST) {
            let line = |what: &str, cell: &dyn Fn(&(f64, f64)) -> f64| {
                // The unit stands once, on the sheet.
                let bare =
                    |mm: f64| job.length(mm).replacen(" in", "", 1).replace(" mm", "");
                let cells = some.iter().map(|size| bare(cell(size)));
                let mut row: Vec<String> =
                    std::iter::once(what.to_owned()).chain(cells).collect();
                row.resize(ABREAST + 1, String::new());
                row
            };
            rows.push(line("From ref. end", &|size| size.0));
            rows.push(line("From ref. edge", &|size| size.1));
        }
    }
    let abreast = |row: &Vec<String>| row.iter().filter(|cell| !cell.is_empty()).count();
    let wide = rows.iter().map(abreast).max().unwrap_or(1);
    for row in &mut rows {
        row.truncate(wide);
    }
    let mut head = vec!["Corners, from the ref. corner round"];
    head.resize(wide, "");
    field("Layout", &head, rows)
}

/// The corners of a part's outsides, counter-clockwise on face A, that nearest to the reference
/// corner first.
fn corners_of(part: &Part, first: Point) -> impl Iterator<Item = Point> {
    let mut corners: Vec<Point> = part
        .outline
        .loops
        .iter()
        .filter(|ring| 0.0 < ring.area())
        .flat_map(|ring| {
            let pieces = ring.pieces().iter().enumerate();
            let at_corner =
                |(index, _): &(usize, &Piece)| ring.join(*index) == Join::Corner;
            pieces.filter(at_corner).map(|(_, piece)| piece.from())
        })
        .collect();
    let far = |at: &usize| corners[*at].distance(first);
    let nearest = (0..corners.len()).min_by(|a, b| far(a).total_cmp(&far(b)));
    corners.rotate_left(nearest.unwrap_or(0));
    corners.into_iter()
}

fn machine(job: &Job<'_>, written: Written<'_>) -> Field {
    let figures = written.proved.figures();
    let paper = Paper { unit: figures.units, ..job.shop.paper };
    let fine = |mm: f64| paper.fine(mm);
    let travel = &figures.travel;
    let row = vec![
        written.files.join(", "),
        fine(figures.end_mill),
        format!("{} × {}", fine(travel.width()), fine(travel.height())),
        fine(figures.deepest),
        format!("{:.0}", figures.minutes),
        format!("X {} Y {}: ____", fine(travel.high.x), fine(travel.high.y)),
    ];
    let head = [
        "Program",
        "End mill",
        "Box of the path",
        "Deepest Z",
        "Minutes",
        "Far corner reads",
    ];
    field("Machine", &head, vec![row])
}

/// Sizes to measure on the template, two side by side, with room for what was found.
fn sizes(job: &Job<'_>) -> Field {
    let all: Vec<(String, f64)> =
        job.plan.parts.iter().flat_map(checks::all_sizes).collect();
    let cells = |of: Option<&(String, f64)>| match of {
        Some((what, size)) => [what.clone(), job.length(*size), "______".to_owned()],
        None => [String::new(), String::new(), String::new()],
    };
    let row = |two: &[(String, f64)]| [cells(two.first()), cells(two.get(1))].concat();
    let rows = all.chunks(2).map(row).collect();
    let what = if job.shop.cuts_part() { "Check the part" } else { "Check the template" };
    let head = [what, "Should be", "Is", "Check", "Should be", "Is"];
    field("Checks", &head, rows)
}
