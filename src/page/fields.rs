//! The few things of a job that a person writes into the title block, with their words.

use crate::diag::{Failure, Problem};
use crate::post;
use crate::read::{FileKind, GrainKind, JointName};
use crate::units::{Unit, parse_length};
use serde::Serialize;
use toml_edit::{Array, DocumentMut, Item, TableLike, Value, value};

/// How the text of a field goes into a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A length: without a unit it is in that of the paper.
    Length,
    /// A number.
    Number,
    /// `yes` or `no`.
    Flag,
    /// Words with commas between them: a list.
    List,
    /// As it is.
    Text,
}

impl Kind {
    /// A text as TOML.
    ///
    /// # Errors
    /// It is a length that could be meant in either unit.
    pub(super) fn item(self, text: &str, paper: Unit) -> Result<Item, Failure> {
        Ok(match self {
            Self::Length if is_bare(text) => {
                let unit = match paper {
                    Unit::Mm if text.contains('/') => return Err(either(text)),
                    Unit::Mm => "mm",
                    Unit::Inch => "in",
                };
                value(format!("{text}{unit}"))
            }
            Self::Number => {
                let whole = text.parse::<i64>().map(value);
                let number = whole.or_else(|_| text.parse::<f64>().map(value));
                number.unwrap_or_else(|_| value(text))
            }
            Self::Flag => value(text == YES),
            Self::List => {
                let words = text.split(',').map(str::trim);
                value(words.filter(|word| !word.is_empty()).collect::<Array>())
            }
            Self::Length | Self::Text => value(text),
        })
    }
}

/// A fraction on metric paper: few mean one of a millimetre, and nobody should guess.
fn either(text: &str) -> Failure {
    let found = format!("`{text}` has no unit: it could be inches or millimetres");
    let hint = parse_length(text, Some(Unit::Mm)).map_or_else(
        |error| error.hint().to_owned(),
        |length| {
            let mm = (length.mm() * 1e4).round() / 1e4;
            format!("write `{text}in` or `{mm}mm`")
        },
    );
    Failure::input(Problem::stop("length-without-unit", found, hint))
}

/// Whether a text is a bare number, or a fraction.
fn is_bare(text: &str) -> bool {
    text.starts_with(|letter: char| letter.is_ascii_digit() || letter == '.')
        && text.chars().all(|letter| letter.is_ascii_digit() || ". /-".contains(letter))
}

const YES: &str = "yes";
const NO: &str = "no";

/// The words to choose from: as the job has them, and as the person reads them.
type Choices = &'static [(&'static str, &'static str)];

/// A field by its key.
struct Known {
    key: &'static str,
    kind: Kind,
    group: &'static str,
    label: &'static str,
    help: &'static str,
    choices: Choices,
}

const fn written(
    (key, kind): (&'static str, Kind),
    group: &'static str,
    label: &'static str,
    help: &'static str,
) -> Known {
    Known { key, kind, group, label, help, choices: &[] }
}

/// A field with words to choose from; the first is that of a job that says nothing.
const fn chosen(
    (key, kind): (&'static str, Kind),
    group: &'static str,
    label: &'static str,
    choices: Choices,
) -> Known {
    Known { key, kind, group, label, help: "", choices }
}

const PAPER: &str = "Paper";
const STOCK: &str = "Stock";
const BENCH: &str = "Bench";
const TEMPLATE: &str = "Template";
const DRAWING: &str = "Drawing";
const JOINT: &str = "Joint";
const MACHINE: &str = "Machine";
const SIZES: &str = "Sizes";

/// The field of the unit that a drawing is in where it does not say so.
pub(super) const DRAWN_IN: &str = "drawn-in";
const LAYERS: &str = "outline.layers";
const UNITS: &str = "units";
const END_MILL: &str = "machine.end-mill";
const POST: &str = "machine.post";

const OF_UNITS: Choices = &[("mm", "millimetres"), ("in", "inches")];
const OF_DRAWING: Choices =
    &[("", "what the drawing says"), ("mm", "millimetres"), ("in", "inches")];
const OF_FLAG: Choices = &[(NO, NO), (YES, YES)];
const OF_GRAIN: Choices = &[
    (GrainKind::Straight.word(), "straight"),
    (GrainKind::Stringy.word(), "stringy: it splits far"),
    (GrainKind::Interlocked.word(), "interlocked"),
    (GrainKind::Curly.word(), "curly"),
    (GrainKind::Mixed.word(), "mixed: nobody has read it"),
];
const OF_WORK: Choices = &[
    ("hand", "by hand"),
    ("table", "at the table"),
    ("both", "by hand or at the table"),
];
const OF_HANDED: Choices = &[("right", "right"), ("left", "left: only words change")];
const OF_WOOD: Choices = &[("hard", "hard"), ("soft", "soft")];
const OF_ZERO: Choices =
    &[("corner", "lower left corner of the blank"), ("centre", "middle of the blank")];
const OF_Z_ZERO: Choices = &[("top", "top of the blank"), ("table", "waste board")];

/// All of them, in the order they stand.
const KNOWN: &[Known] = {
    use Kind::{Flag, Length, List, Number, Text};
    &[
        chosen((UNITS, Text), PAPER, "Lengths in", OF_UNITS),
        written(("thick", Length), STOCK, "Thick", "measured, not as it was sold"),
        written(("width", Length), STOCK, "Wide", "across the grain, measured"),
        written(("species", Text), STOCK, "Wood", "only printed"),
        chosen(("grain-kind", Text), STOCK, "Its grain is", OF_GRAIN),
        written(("make", Number), STOCK, "How many", "of each part"),
        chosen(("work", Text), BENCH, "Routed", OF_WORK),
        written(("leave", Length), BENCH, "Leave for the router", "by the saw"),
        chosen(("handed", Text), BENCH, "The hand you work with", OF_HANDED),
        chosen(("hold-points", Flag), BENCH, "Stops to be looked at", OF_FLAG),
        chosen(("handout", Flag), BENCH, "A pupil's sheet too", OF_FLAG),
        written(("template.thick", Length), TEMPLATE, "Template thick", "measured"),
        chosen(
            ("template.moves", Flag),
            TEMPLATE,
            "It may go to the other face, on pins",
            OF_FLAG,
        ),
        written(
            ("outline.known-width", Length),
            DRAWING,
            "All that is drawn is so wide",
            "where the drawing does not say its size, or says it wrongly",
        ),
        written(
            ("outline.ppi", Number),
            DRAWING,
            "Pixels an inch",
            "instead of the width, of a drawing in pixels",
        ),
        Known {
            help: "where the drawing does not say it; lengths of the job without a unit too",
            ..chosen((DRAWN_IN, Text), DRAWING, "Drawn in", OF_DRAWING)
        },
        written(
            (LAYERS, List),
            DRAWING,
            "Only these layers",
            "with commas between them; `*` stands for any letters",
        ),
        written(
            ("joint.long", Length),
            JOINT,
            "How long the joint is",
            "along the piece",
        ),
        written(("joint.length", Length), JOINT, "Each piece is drawn so long", ""),
        written(
            ("joint.mate", Length),
            JOINT,
            "What it goes on or through is so wide",
            "left out, as wide as the stock",
        ),
        written(("joint.nib", Length), JOINT, "Nibs", "how deep"),
        written(
            ("joint.slope", Text),
            JOINT,
            "Slope",
            "of a tail or of wedges, like 1:8",
        ),
        written(("joint.slot", Length), JOINT, "Slot for wedges", "how wide"),
        written(("joint.fingers", Number), JOINT, "Fingers", "of both boards together"),
        written(("joint.clearance", Length), JOINT, "Clearance", "the gap between faces"),
        chosen(("joint.wood", Text), JOINT, "The wood is", OF_WOOD),
        written(
            (END_MILL, Length),
            MACHINE,
            "End mill of your machine",
            "measured; leave empty to cut the template by hand",
        ),
        written(("machine.blank", Text), MACHINE, "Blank", "like 300x200mm"),
        written((POST, Text), MACHINE, "Post", "how the program is written"),
        chosen(("machine.zero", Text), MACHINE, "X and Y zero", OF_ZERO),
        chosen(("machine.z-zero", Text), MACHINE, "Z zero", OF_Z_ZERO),
        written(("machine.kerf", Length), MACHINE, "It really cuts", "by a test piece"),
        written(("machine.clear", Length), MACHINE, "Clearance", "above every clamp"),
        written(("machine.feed", Text), MACHINE, "Feed", "like 1200mm/min"),
        written(("machine.plunge", Text), MACHINE, "Plunge", "like 300mm/min"),
        written(("machine.rpm", Number), MACHINE, "Turns a minute", "of the spindle"),
    ]
};

/// Sizes that only these joints have.
const ONLY_OF: [(&str, &[JointName]); 5] = {
    use JointName::{
        DovetailedLap, FingerJoint, HalfLap, SplayedScarf, TabledScarf, TuskTenon,
    };
    [
        ("joint.mate", &[HalfLap, DovetailedLap, TuskTenon]),
        ("joint.nib", &[SplayedScarf, TabledScarf]),
        ("joint.slope", &[DovetailedLap, TabledScarf, TuskTenon]),
        ("joint.slot", &[TabledScarf, TuskTenon]),
        ("joint.fingers", &[FingerJoint]),
    ]
};

/// What is of no use where the machine cuts the part itself.
const OF_ROUTER: [&str; 5] =
    ["work", "leave", "handed", "template.thick", "template.moves"];

/// Whether a joint of this name has the size of a key.
fn has_size(joint: &str, key: &str) -> bool {
    let only = ONLY_OF.iter().find(|(of, _)| *of == key);
    only.is_none_or(|(_, joints)| joints.iter().any(|name| name.word() == joint))
}

/// How a key's text goes into a job: named sizes are lengths.
pub(super) fn kind_of(key: &str) -> Kind {
    if key.starts_with("sizes.") {
        return Kind::Length;
    }
    let known = KNOWN.iter().find(|known| known.key == key);
    known.map_or(Kind::Text, |known| known.kind)
}

/// The key of the job that a field fills.
pub(super) fn job_key(key: &str) -> &str {
    if key == DRAWN_IN { UNITS } else { key }
}

/// A field as the page shows it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Field {
    pub(super) key: String,
    pub(super) label: String,
    value: String,
    help: String,
    group: &'static str,
    choices: Option<Vec<(String, String)>>,
}

/// The fields of a job.
pub(super) fn fields(job: &str) -> Vec<Field> {
    let Ok(text) = job.parse::<DocumentMut>() else { return Vec::new() };
    let has_machine = text.contains_key("machine");
    let cuts_part = at(&text, "machine.cut").and_then(Item::as_str) == Some("part");
    let is_used = |known: &&Known| !(cuts_part && OF_ROUTER.contains(&known.key));
    let drawing = at(&text, "outline.drawing").and_then(Item::as_str);
    let joint = at(&text, "joint.name").and_then(Item::as_str);
    let stands = |known: &&Known| match known.group {
        JOINT => joint.is_some_and(|joint| has_size(joint, known.key)),
        MACHINE => has_machine || known.key == END_MILL,
        DRAWING if [LAYERS, DRAWN_IN].contains(&known.key) => ends_with(drawing, "dxf"),
        DRAWING => drawing.is_some(),
        _ => true,
    };
    let known =
        KNOWN.iter().filter(is_used).filter(stands).map(|known| field(&text, known));
    known.chain(sizes(&text)).collect()
}

/// Whether a file's name ends so.
fn ends_with(name: Option<&str>, end: &str) -> bool {
    let own = name.and_then(|name| name.rsplit_once('.'));
    own.is_some_and(|(_, own)| own.eq_ignore_ascii_case(end))
}

fn field(text: &DocumentMut, known: &Known) -> Field {
    let Known { key, kind, group, label, help, choices } = *known;
    let item = match key {
        UNITS => at(text, "paper").or_else(|| at(text, UNITS)),
        _ => at(text, job_key(key)),
    };
    let said = item.map(|item| words(item, bare_unit(text, kind)));
    let unsaid = choices.first().map_or("", |(word, _)| *word);
    let value = said.unwrap_or_else(|| unsaid.to_owned());
    let choices = match key {
        POST => Some(posts(&value)),
        _ => (!choices.is_empty()).then(|| choices.iter().map(owned).collect()),
    };
    let (key, label, help) = (key.to_owned(), label.to_owned(), help.to_owned());
    Field { key, label, value, help, group, choices }
}

fn owned((word, words): &(&str, &str)) -> (String, String) {
    ((*word).to_owned(), (*words).to_owned())
}

/// The posts to choose from: that of the job's unit, those built in, and the job's own.
fn posts(own: &str) -> Vec<(String, String)> {
    let is_own = !own.is_empty() && post::names().all(|name| name != own);
    let own = Some(own).filter(|_| is_own).map(|name| (name, name));
    let named = post::names().map(|name| (name, name));
    let all = std::iter::once(("", "by the unit of the job")).chain(named).chain(own);
    all.map(|pair| owned(&pair)).collect()
}

/// The named sizes of a job.
fn sizes(text: &DocumentMut) -> impl Iterator<Item = Field> {
    let table = text.get("sizes").and_then(Item::as_table_like);
    let all = table.into_iter().flat_map(TableLike::iter);
    all.map(|(name, item)| Field {
        key: format!("sizes.{name}"),
        label: name.to_owned(),
        value: words(item, bare_unit(text, Kind::Length)),
        help: String::new(),
        group: SIZES,
        choices: None,
    })
}

/// What stands at a key with dots between its parts.
fn at<'t>(text: &'t DocumentMut, key: &str) -> Option<&'t Item> {
    key.split('.').try_fold(text.as_item(), |item, part| item.as_table_like()?.get(part))
}

/// The unit that a bare number of a length has.
fn bare_unit(text: &DocumentMut, kind: Kind) -> &str {
    let unit = text.get(UNITS).and_then(Item::as_str);
    unit.filter(|_| kind == Kind::Length).unwrap_or("")
}

/// A value as a person would write it into the field.
fn words(item: &Item, unit: &str) -> String {
    match item.as_value() {
        Some(Value::String(text)) => text.value().clone(),
        Some(Value::Boolean(flag)) => if *flag.value() { YES } else { NO }.to_owned(),
        Some(Value::Integer(number)) => format!("{}{unit}", number.value()),
        Some(Value::Float(number)) => format!("{}{unit}", number.value()),
        Some(Value::Array(all)) => {
            let words: Vec<&str> = all.iter().filter_map(Value::as_str).collect();
            words.join(", ")
        }
        _ => String::new(),
    }
}

/// What a kind of file is called on the page, and its label.
pub(super) const fn file_words(kind: FileKind) -> (&'static str, &'static str) {
    match kind {
        FileKind::Page => ("page", "Sheets for the bench, to print"),
        FileKind::Text => ("text", "Sheets as plain text"),
        FileKind::Pictures => ("picture", "Drawing"),
        FileKind::Data => ("data", "The plan as data"),
        FileKind::Program => ("program", "Program"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value_of(job: &str, key: &str) -> Option<String> {
        fields(job).into_iter().find(|field| field.key == key).map(|field| field.value)
    }

    #[test]
    fn a_field_says_what_the_job_says() {
        let job = "units = \"mm\"\nthick = 45\nmake = 2\n[sizes]\nleg = \"width / 3\"\n";
        for (key, value) in [
            ("thick", "45mm"),
            ("make", "2"),
            ("sizes.leg", "width / 3"),
            ("work", "hand"),
            ("width", ""),
            ("units", "mm"),
        ] {
            assert_eq!(value_of(job, key).as_deref(), Some(value), "{key}");
        }
        assert_eq!(value_of(job, "machine.feed"), None, "there is no machine");
        let job = format!("{job}[machine]\nend-mill = 6\n");
        assert_eq!(value_of(&job, END_MILL).as_deref(), Some("6mm"));
        assert_eq!(value_of(&job, "machine.feed").as_deref(), Some(""));
        let scarf = "[joint]\nname = \"splayed-scarf\"\nnib = \"8mm\"\n";
        assert_eq!(value_of(scarf, "joint.nib").as_deref(), Some("8mm"));
        assert_eq!(value_of(scarf, "joint.fingers"), None, "it has none");
        let job = job.replace("end-mill", "cut = \"part\"\nend-mill");
        assert_eq!(value_of(&job, "template.thick"), None, "there is no template");
        assert_eq!(value_of(&job, "work"), None, "nothing is routed");
        let dxf = "[outline]\ndrawing = \"a.DXF\"\nlayers = [\"CUT\", \"HOLE*\"]\n";
        assert_eq!(value_of(dxf, DRAWN_IN).as_deref(), Some(""));
        let said = format!("units = \"in\"\n{dxf}");
        assert_eq!(value_of(&said, DRAWN_IN).as_deref(), Some("in"));
        assert_eq!(value_of(dxf, LAYERS).as_deref(), Some("CUT, HOLE*"));
        let list = Kind::List.item("CUT, HOLE*", Unit::Mm).expect("a list").to_string();
        assert_eq!(list, "[\"CUT\", \"HOLE*\"]");
    }
}
