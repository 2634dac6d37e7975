//! The one place where choices and reasons become words.

use super::put;
use crate::diag::Problem;
use crate::plan::{
    Carried, Exit, Feed, FromFace, HandKind, HandWork, Lap, Pass, Plan, RidesOn, SetUp,
    Stand, Start, Tool,
};
use crate::read::Station;
use crate::shop::{Bit, Face, Guide, Shop, bit_speed, defaults};
use crate::units::{MM_PER_INCH, Paper, Unit};

/// A length that is a least, rounded up to what a rule shows.
pub(super) fn at_least(mm: f64, paper: Paper) -> String {
    match paper.unit {
        Unit::Mm if mm < 100.0 => paper.length((mm * 10.0 - 1e-6).ceil() / 10.0),
        Unit::Mm => paper.length((mm - 1e-6).ceil()),
        Unit::Inch => {
            let step = if mm < 50.0 {
                0.125
            } else if mm < 250.0 {
                0.25
            } else {
                0.5
            };
            // A hair less, so that a whole number of steps stays one.
            let steps = (mm / MM_PER_INCH / step - 1e-6).ceil();
            paper.length(steps * step * MM_PER_INCH)
        }
    }
}

/// What the signs on the picture of a set-up mean, a line for each that is on it.
pub(super) fn signs(plan: &Plan, set_up: usize) -> Vec<String> {
    let mut lines = Vec::new();
    if !plan.short_grain.is_empty() {
        lines.push("!: short grain, it breaks easily. !!: more easily still.".to_owned());
    }
    lines.extend(contact_signs(plan, set_up));
    lines
}

/// What SLOW and EASE IN mean, where a picture of a set-up has them.
pub(super) fn contact_signs(plan: &Plan, set_up: usize) -> Vec<String> {
    let own = || plan.passes.iter().filter(|pass| pass.set_up == set_up);
    let mut lines = Vec::new();
    if own().flat_map(|pass| &pass.contact).any(|it| it.asks_for().is_some()) {
        lines.push(
            "SLOW: so many degrees of the bit stand in wood. Feed slowly there."
                .to_owned(),
        );
    }
    if own().any(|pass| pass.arrival.is_some()) {
        lines.push(
            "EASE IN: more wood as the corner comes, so many degrees of the bit. Ease in, stop at the touch, back off."
                .to_owned(),
        );
    }
    lines
}

/// How a pass starts.
pub(super) fn start(start: Start, paper: Paper) -> String {
    match start {
        Start::RunOn => "on the template's run-on, off the wood".to_owned(),
        Start::Block => "on a backer fixed flush".to_owned(),
        Start::SwingIn => "swing in at the star, bearing on first".to_owned(),
        Start::StartingPin => "off the starting pin".to_owned(),
        Start::BeforeCorner => {
            let before = at_least(defaults::BEFORE_CORNER.value, paper);
            format!("at the star, {before} before the corner, then round it")
        }
    }
}

/// How a pass ends.
pub(super) const fn exit(exit: Exit) -> &'static str {
    match exit {
        Exit::RunOn => "run off onto the template's run-on",
        Exit::Backer => "run off into the backer",
        Exit::Closed => "once round, past the star, then away",
        Exit::Overlap => "lift away past the change-over: passes blend there",
        Exit::BeforeHandWork => "lift away at the mark: hand work begins there",
        Exit::AtTouch => "stop at the touch of the inside corner and back off",
        Exit::NextEdgeFull => "round the corner, while the next edge is still full",
    }
}

/// The feed, for the bench.
pub(super) const fn feed(feed: Feed) -> &'static str {
    match feed {
        Feed::Conventional => "conventional",
        Feed::Climb => "CLIMB, a last whisker",
    }
}

/// Where the wood or the bit is, whatever the set-up.
pub(super) const fn keep_side(station: Station) -> &'static str {
    match station {
        Station::Hand => "By hand the wood is on the LEFT of the router as it moves.",
        Station::Table => {
            "At the table the bit is on the RIGHT of the stock as it moves: right to left on \
             your side of the bit."
        }
    }
}

/// What a left-handed person is told wherever a drawing stands: nothing is mirrored.
pub(super) const NOT_MIRRORED: &str =
    "Left-handed: drawing NOT mirrored; the bit goes the same way round.";

/// How a left-handed person stands.
pub(super) const LEFT_STANCE: &str = "Left-handed: cord over the LEFT shoulder and behind you, the \
     switch within reach of the left hand.";

/// How a left-handed person marks.
pub(super) const LEFT_BEVEL: &str = "Left-handed: knife and gauge with the bevel ground for the      left hand, its flat against the rule, the bevel in the waste.";

/// `FACE A UP`, and for face B how the page shows it.
pub(super) const fn face_title(face: Face) -> &'static str {
    match face {
        Face::A => "FACE A UP, drawn as seen on face A",
        Face::B => "FACE B UP, drawn as seen on face B",
    }
}

/// Where the template lies in this set-up, and what slides on what.
pub(super) fn template_words(set_up: &SetUp, stand: &Stand) -> String {
    if !stand.by_template {
        return "Template off: the bearing rides on the edge routed before".to_owned();
    }
    let up = set_up.template_face == set_up.face_up();
    let face = set_up.template_face.letter();
    let lies = if up { "on top" } else { "underneath" };
    let slides = match (set_up.station, up) {
        (Station::Hand, true) => "the router's base rides on the template",
        (Station::Hand, false) => "the router's base rides on the part",
        (Station::Table, true) => "the part slides on the table",
        (Station::Table, false) => "the template slides on the table",
    };
    format!("Template on face {face}, {lies}: {slides}")
}

/// A bit in few words: its number, what it measures, and what guides it here.
pub(super) fn bit_words(bit: &Bit, guide: Guide, paper: Paper) -> String {
    let (cutter, rides) =
        (paper.measured(bit.cutter.mm()), paper.measured(bit.bearing.mm()));
    let guided = match guide {
        Guide::Shank => format!("{rides} bearing by the SHANK"),
        Guide::Tip => format!("{rides} bearing at the TIP"),
        Guide::Bush => format!("{rides} guide BUSH"),
    };
    format!("Bit {}: {cutter}, {guided}", bit.number)
}

/// The station.
pub(super) const fn station(station: Station) -> &'static str {
    match station {
        Station::Hand => "by hand",
        Station::Table => "at the table",
    }
}

/// The kind of a place for the hand.
pub(super) const fn hand_kind(kind: HandKind) -> &'static str {
    match kind {
        HandKind::Site(site) => site.words(),
        HandKind::Stretch => "stretch",
    }
}

/// A hand tool, its width as the paper writes it.
pub(super) fn tool(tool: Tool, paper: Paper) -> String {
    match tool {
        Tool::Chisel(width) => format!("chisel {}", paper.length(width)),
        Tool::FretsawAndKnife => "fretsaw on the bisector, then a knife".to_owned(),
        Tool::Plane => "plane or flat spokeshave".to_owned(),
        Tool::RoundSpokeshave => "round spokeshave".to_owned(),
        Tool::Scraper => "fine rasp, then a scraper".to_owned(),
        Tool::Rasp => "rasp or drum, then a file".to_owned(),
        Tool::DrillAndFile => "drill, then a file".to_owned(),
    }
}

/// What a hand tool rides on.
pub(super) fn rides_on(work: &HandWork, plan: &Plan) -> String {
    match work.rides_on {
        RidesOn::Template => "template".to_owned(),
        RidesOn::Stretch(index) => plan.stretches.get(index).map_or_else(
            || "line".to_owned(),
            |stretch| format!("stretch {}", stretch.name),
        ),
        RidesOn::Line => "line".to_owned(),
    }
}

/// From which face a hand tool works: `A`, `B` or `both`.
pub(super) const fn from_face(face: FromFace) -> &'static str {
    match face {
        FromFace::One(face) => face.letter(),
        FromFace::Both => "both",
    }
}

/// The names of stretches, in order: `A, B, C`.
pub(super) fn names(plan: &Plan, stretches: &[usize]) -> String {
    let names: Vec<&str> = stretches
        .iter()
        .filter_map(|&index| plan.stretches.get(index))
        .map(|stretch| stretch.name.as_str())
        .collect();
    names.join(", ")
}

/// The names of a pass's stretches in the order they are worked.
pub(super) fn worked(plan: &Plan, pass: &Pass) -> String {
    let mut stretches = pass.stretches.clone();
    if plan.set_ups[pass.set_up].s() < 0 {
        stretches.reverse();
    }
    names(plan, &stretches)
}

/// What a pass's bearing leaves, behind its depth; nothing where it has the only lap.
pub(super) fn lap(pass: &Pass, paper: Paper) -> String {
    let bearing = paper.measured(pass.bearing.mm());
    match pass.lap {
        Lap::Only => String::new(),
        Lap::Light(leaves) => {
            let leaves = paper.measured(leaves);
            format!("; light lap: {bearing} bearing on, leaves {leaves}")
        }
        Lap::Flush(_) => format!("; flush lap: {bearing} bearing on"),
    }
}

/// How the bearing is changed between the light lap and the flush one.
pub(super) fn bearing_change(passes: &[&Pass], paper: Paper) -> Option<String> {
    let is_light = |pass: &&&Pass| matches!(pass.lap, Lap::Light(_));
    let light = passes.iter().rfind(is_light)?;
    let flush = passes.iter().find(|pass| matches!(pass.lap, Lap::Flush(_)))?;
    Some(format!(
        "The {} bearing first, all round. After pass {}: unplug, put the {} bearing on, and go \
         round again the same way. Never a bearing smaller than its cutter.",
        paper.measured(light.bearing.mm()),
        light.number,
        paper.measured(flush.bearing.mm())
    ))
}

/// How a set-up goes on without the template: after which pass it comes off, and how far the
/// teeth then end below the base or above the table.
pub(super) fn template_off(passes: &[&Pass], shop: &Shop) -> Vec<String> {
    let through = shop.stock.thick.filter(|_| shop.stock.over_floor.is_none());
    let past = shop.paper.measured(defaults::PAST_FAR_FACE.value);
    let pairs = passes.windows(2);
    let lower = pairs.filter(|two| {
        two[0].layer.number < two[1].layer.number && !two[1].layer.template_on
    });
    lower
        .map(|two| {
            let off = if two[0].layer.template_on { ", template off" } else { "" };
            let depth = match (two[1].layer.to, through) {
                (Some(to), Some(thick)) if thick.mm() <= to => {
                    format!(" until its teeth stand {past} past the far face")
                }
                (Some(to), _) => {
                    let to = shop.paper.length(to);
                    format!(" until its teeth go {to} deep into the work")
                }
                (None, _) => String::new(),
            };
            format!(
                "After pass {}: unplug{off}, bit set deeper{depth}; its bearing must ride on the \
                 edge just routed.",
                two[0].number
            )
        })
        .collect()
}

/// How long a metre takes with a bit whose flutes are known, behind `steady feed`.
pub(super) fn pace(bit: &Bit) -> String {
    let turns = bit_speed(bit);
    let Some(flutes) = bit.body.flutes.filter(|_| turns.is_finite()) else {
        return String::new();
    };
    let metres = turns * f64::from(flutes) * defaults::HAND_CHIP.value / 1000.0;
    format!(", about {:.0} seconds a metre (a yard) at {turns:.0} turns", 60.0 / metres)
}

/// How the bit is set in height; nothing where too little is known of it.
pub(super) fn stand(stand: &Stand, set_up: &SetUp, paper: Paper) -> Option<String> {
    let station = set_up.station;
    if stand.teeth_end.is_none() && stand.by_template && set_up.guide == Guide::Shank {
        let begin =
            "Height: the teeth begin right under the template, never level with it.";
        return Some(begin.to_owned());
    }
    let end = paper.length(stand.teeth_end?);
    let (from, teeth) = match (station, stand.carried) {
        (Station::Hand, Carried::Template) => {
            ("below the base", "begin under the template")
        }
        (Station::Table, Carried::Template) => {
            ("above the table", "begin over the template")
        }
        (Station::Hand, Carried::Part) => ("below the base", "end at the template"),
        (Station::Table, Carried::Part) => ("above the table", "end at the template"),
    };
    let mut text = if set_up.guide == Guide::Bush {
        format!("Height: the teeth end {end} {from}")
    } else if stand.by_template {
        format!("Height: the teeth end {end} {from}. They {teeth}, never level with it")
    } else {
        format!(
            "Height: the teeth end {end} {from}; the bearing rides on the edge routed before"
        )
    };
    if let Some(height) = stand.on_template {
        put(&mut text, format_args!("; {} of bearing ride on it", paper.length(height)));
    }
    if let Some(spacer) = stand.spacer {
        let thick = paper.length(spacer);
        put(&mut text, format_args!(". Spacer {thick} thick between template and stock"));
    }
    if let Some(out) = stand.stands_out.filter(|out| 0.0 < *out) {
        let out = at_least(out, paper);
        put(
            &mut text,
            format_args!(". Leave at least {out} free beyond: the bit stands out"),
        );
    }
    Some(text + ".")
}

/// A note as one sentence or two.
pub(super) fn note(note: &Problem) -> String {
    let mut sentences = vec![sentence(&note.found)];
    if !note.expected.is_empty() {
        sentences.push(format!("Expected: {}", sentence(&note.expected)));
    }
    if !note.hint.is_empty() {
        sentences.push(sentence(&note.hint));
    }
    off_the_command(&sentences.join(" "))
}

/// A note without the option of the command that a bracket names: paper has no options.
fn off_the_command(text: &str) -> String {
    let Some((before, rest)) = text.split_once(" (`--") else { return text.to_owned() };
    let Some((_, after)) = rest.split_once("`)") else { return text.to_owned() };
    format!("{before}{}", off_the_command(after))
}

/// A clause as a sentence: a capital first, a full stop last.
fn sentence(clause: &str) -> String {
    let mut letters = clause.trim().chars();
    let Some(first) = letters.next() else { return String::new() };
    let mut text: String = first.to_uppercase().chain(letters).collect();
    if !text.ends_with(['.', '!', '?', ':']) {
        text.push('.');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_names_no_option_of_the_command() {
        let hint = "fix it to the other face (`--template-moves`), or buy a bit";
        let said = note(&Problem::stop("uphill", "it is uphill", hint));
        assert_eq!(said, "It is uphill. Fix it to the other face, or buy a bit.");
    }
    use crate::diag::Weight;

    #[test]
    fn leasts_are_rounded_up_to_what_a_rule_shows() {
        let inch = Paper { unit: Unit::Inch, fraction: 32 };
        for (mm, words) in
            [(25.0, "1 in"), (100.0, "4 in"), (300.0, "12 in"), (3.0, "1/8 in")]
        {
            assert_eq!(at_least(mm, inch), words);
        }
        assert_eq!(at_least(25.4, inch), "1 in", "not one step more");
        assert_eq!(at_least(25.0, Paper::MM), "25 mm");
        assert_eq!(at_least(122.03, Paper::MM), "123 mm");
    }

    /// Basis: geometry: 20000 turns of two edges that take 0.1 mm each go 4 m a minute.
    #[test]
    fn a_metre_takes_its_time() {
        let mut bit = crate::sheet::fixture::shop().bits.remove(0);
        assert_eq!(pace(&bit), "", "its flutes are not known");
        bit.body.flutes = Some(2);
        bit.marked_speed = Some(20000.0);
        assert!(pace(&bit).starts_with(", about 15 seconds"), "{}", pace(&bit));
    }

    #[test]
    fn a_note_is_made_of_sentences() {
        let problem =
            Problem::new("a", Weight::Caution, "the bit is short", "use a longer one");
        let text = note(&problem.expected("20 mm of cutter"));
        assert_eq!(
            text,
            "The bit is short. Expected: 20 mm of cutter. Use a longer one."
        );
    }
}
