//! From bytes to the crate's drawing, within limits, and what is wrong with the file in words.
//!
//! Only what bears on lines is handed to the crate: header, tables, blocks and entities. The rest
//! (objects, classes, a picture of the drawing, dates) is made into comments, line for line, so
//! that line numbers hold: it can only do harm, and a damaged date would make the crate panic.

use std::collections::{BTreeMap, BTreeSet};

use dxf::{Drawing, DxfError};

use super::binary;
use crate::diag::{Place, Problem, Source};
use crate::read::Checked;

/// The largest drawing read, in bytes: more is never one part.
const BYTE_LIMIT: usize = 20_000_000;
/// The most entities read, vertices of old polylines among them. More is a map or a scan.
const ENTITY_LIMIT: usize = 200_000;
/// The sections that bear on lines.
const SECTIONS: [&[u8]; 4] = [b"HEADER", b"TABLES", b"BLOCKS", b"ENTITIES"];

/// A drawing as the crate reads it.
#[derive(Debug)]
pub(super) struct File<'a> {
    /// Its file's name.
    pub(super) name: &'a str,
    /// What it holds.
    pub(super) drawing: Drawing,
    /// The names of its frozen layers, in small letters: the crate does not keep them.
    pub(super) frozen: BTreeSet<String>,
    /// The layers of the hatchings that the crate passes over without a word, by the block they
    /// stand in, in small letters; those of the model stand under no name.
    pub(super) hatched: BTreeMap<String, Vec<String>>,
    /// Whether its entities have handles of their own, not only such as the crate gave them.
    pub(super) has_handles: bool,
}

impl<'a> File<'a> {
    /// Takes a file apart.
    pub(super) fn new(name: &'a str, bytes: &[u8]) -> Checked<Self> {
        let whole = || whole_of(name);
        if BYTE_LIMIT < bytes.len() {
            let found = format!("the drawing has {} bytes", bytes.len());
            let hint = "save only the part's outline into a file of its own";
            return Err(Problem::stop("dxf-too-large", found, hint)
                .expected(format!("at most {BYTE_LIMIT} bytes"))
                .at(whole())
                .into());
        }
        if !binary::is_binary(bytes) {
            let sifted = sift(bytes);
            return Self::parsed(name, &sifted, |error| {
                unreadable(error)
                    .map_or_else(whole, |line| Place { line: Some(line), ..whole() })
            });
        }
        let text = binary::text(bytes).map_err(|at| {
            let found = format!("the binary drawing breaks off at byte {at}");
            let hint = "save the drawing anew, as text (ASCII) if it can be chosen";
            Problem::stop("dxf-damaged", found, hint).at(whole())
        })?;
        Self::parsed(name, &sift(&text), |_| whole())
    }

    fn parsed(
        name: &'a str,
        sifted: &Sifted,
        place: impl Fn(&DxfError) -> Place,
    ) -> Checked<Self> {
        if !sifted.starts_well {
            let hint = "save the drawing as DXF, or as SVG with its size in mm or in";
            let found = "the file does not start as a DXF drawing does";
            let problem = Problem::stop("dxf-not-dxf", found, hint);
            return Err(problem.at(whole_of(name)).into());
        }
        if let Some((line, value)) = &sifted.no_number {
            let found = if value.is_empty() {
                "a number is missing: the file may break off here".to_owned()
            } else {
                format!("`{value}` is no number")
            };
            let hint = "save the drawing anew as DXF, or mend the file at this line";
            let place = Place { line: Some(*line), ..whole_of(name) };
            return Err(Problem::stop("dxf-damaged", found, hint).at(place).into());
        }
        if ENTITY_LIMIT < sifted.n_entities {
            let found = format!("the drawing has {} entities", sifted.n_entities);
            let hint = "save only the part's outline; a traced or scanned one needs far fewer points";
            return Err(Problem::stop("dxf-too-many-entities", found, hint)
                .expected(format!("at most {ENTITY_LIMIT} entities"))
                .at(whole_of(name))
                .into());
        }
        let drawing = Drawing::load(&mut sifted.text.as_slice()).map_err(|error| {
            let found = format!("this is not sound DXF: {}", cause(&error));
            let place = place(&error);
            let hint = match place.line {
                Some(_) => "save the drawing anew as DXF, or mend the file at this line",
                None => {
                    "save the drawing anew as DXF, or copy it again if it was cut short"
                }
            };
            Problem::stop("dxf-damaged", found, hint).at(place)
        })?;
        let (frozen, hatched) = (sifted.frozen.clone(), sifted.hatched.clone());
        Ok(Self { name, drawing, frozen, hatched, has_handles: sifted.has_handles })
    }

    /// The whole file as a place.
    pub(super) fn place(&self) -> Place {
        whole_of(self.name)
    }
}

fn whole_of(name: &str) -> Place {
    Place::whole(Source::Drawing, name)
}

/// A file's text without what does not bear on lines, and what was seen on the way.
#[derive(Debug, Default)]
struct Sifted {
    text: Vec<u8>,
    starts_well: bool,
    n_entities: usize,
    frozen: BTreeSet<String>,
    hatched: BTreeMap<String, Vec<String>>,
    has_handles: bool,
    /// The first line that should hold a number and does not: the crate forgets where it was.
    no_number: Option<(usize, String)>,
}

/// Two lines: a code and what it means.
#[derive(Clone, Copy)]
struct Group<'a> {
    code: &'a [u8],
    value: &'a [u8],
}

/// The codes that are followed by numbers (the format's own table).
const NUMBERS: [(u16, u16); 9] = [
    (10, 99),
    (110, 179),
    (210, 239),
    (270, 299),
    (370, 389),
    (400, 409),
    (420, 429),
    (440, 469),
    (1010, 1071),
];

impl Group<'_> {
    /// Whether it is a handle that is none: the crate would not read on, and no line needs it.
    fn is_odd_handle(&self) -> bool {
        let text = std::str::from_utf8(self.value).unwrap_or("");
        self.code == b"5" && u64::from_str_radix(text, 16).is_err()
    }

    /// Whether it should hold a number and does not.
    fn is_no_number(&self) -> bool {
        let text = |bytes| std::str::from_utf8(bytes).unwrap_or("");
        let code = text(self.code).parse().unwrap_or(0);
        let is_number = NUMBERS.iter().any(|(low, high)| (*low..=*high).contains(&code));
        is_number && text(self.value).parse::<f64>().is_err()
    }
}

fn groups(bytes: &[u8]) -> impl Iterator<Item = Group<'_>> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut lines = bytes.split(|&byte| byte == b'\n');
    std::iter::from_fn(move || {
        let code = lines.next()?.trim_ascii();
        Some(Group { code, value: lines.next().unwrap_or_default().trim_ascii() })
    })
}

fn sift(bytes: &[u8]) -> Sifted {
    let mut sifted = Sifted::default();
    let all: Vec<Group<'_>> = groups(bytes).collect();
    let starts = |group: &&Group<'_>| group.code != b"999";
    sifted.starts_well =
        all.iter().find(starts).is_some_and(|g| g.code == b"0" && g.value == b"SECTION");
    let (mut section, mut entity): (&[u8], &[u8]) = (b"", b"");
    let mut dated = false;
    let mut layer = "";
    let mut block = String::new();
    for (index, group) in all.iter().enumerate() {
        if group.code == b"0" {
            entity = group.value;
            layer = "";
            if entity == b"SECTION" {
                section = all.get(index + 1).map_or(b"", |name| name.value);
                block.clear();
            }
        }
        if group.code == b"9" || group.code == b"0" {
            dated = section == b"HEADER" && group.value.starts_with(b"$TD");
        }
        let lines = section == b"ENTITIES" || section == b"BLOCKS";
        match (group.code, entity) {
            (b"0", _) if lines => sifted.n_entities += 1,
            (b"5", _) if lines && !group.is_odd_handle() => sifted.has_handles = true,
            (b"2", b"BLOCK") => {
                block = String::from_utf8_lossy(group.value).to_lowercase();
            }
            (b"8", b"HATCH") if lines => {
                let layer = String::from_utf8_lossy(group.value).into_owned();
                sifted.hatched.entry(block.clone()).or_default().push(layer);
            }
            (b"2", b"LAYER") => layer = std::str::from_utf8(group.value).unwrap_or(""),
            (b"70", b"LAYER") if is_frozen(group.value) => {
                sifted.frozen.insert(layer.to_lowercase());
            }
            _ => {}
        }
        let is_end = group.code == b"0" && group.value == b"EOF";
        let is_named_oddly = lines && group.is_odd_handle();
        let wanted = is_end || (SECTIONS.contains(&section) && !dated && !is_named_oddly);
        sifted.keep(group, wanted);
        if wanted && group.is_no_number() && sifted.no_number.is_none() {
            let value = String::from_utf8_lossy(group.value).into_owned();
            sifted.no_number = Some((2 * index + 2, value));
        }
    }
    sifted
}

impl Sifted {
    /// Keeps a group, or a comment in its place.
    fn keep(&mut self, group: &Group<'_>, wanted: bool) {
        let (code, value): (&[u8], &[u8]) =
            if wanted { (group.code, group.value) } else { (b"999", b"") };
        for line in [code, b"\n", value, b"\n"] {
            self.text.extend_from_slice(line);
        }
    }
}

/// Whether a layer's flags say that it is frozen.
fn is_frozen(flags: &[u8]) -> bool {
    let flags = std::str::from_utf8(flags).ok().and_then(|text| text.parse::<i64>().ok());
    flags.is_some_and(|flags| flags & 1 == 1)
}

/// The line at which the crate could not go on, where it says so.
fn unreadable(error: &DxfError) -> Option<usize> {
    match error {
        DxfError::ParseFloatError(_, line)
        | DxfError::ParseIntError(_, line)
        | DxfError::ParseError(line)
        | DxfError::UnexpectedCode(_, line)
        | DxfError::UnexpectedByte(_, line)
        | DxfError::UnexpectedEnumValue(line)
        | DxfError::ExpectedTableType(line)
        | DxfError::WrongValueType(line) => Some(*line),
        DxfError::UnexpectedCodePair(pair, _) => Some(pair.offset),
        _ => None,
    }
}

/// What the crate says, without its own names and numbers.
fn cause(error: &DxfError) -> String {
    match error {
        DxfError::ParseFloatError(error, _) => format!("a number is unreadable: {error}"),
        DxfError::ParseIntError(error, _) => {
            format!("a whole number is unreadable: {error}")
        }
        DxfError::UnexpectedCode(code, _) => format!("code {code} is out of place"),
        DxfError::UnexpectedCodePair(pair, expected) => {
            format!("code {} is out of place: {expected}", pair.code)
        }
        DxfError::UnexpectedEnumValue(_) => "an unknown code".to_owned(),
        DxfError::UnexpectedEndOfInput => "it breaks off before its end".to_owned(),
        DxfError::MalformedString => "a text is not in the file's encoding".to_owned(),
        _ => "a group is out of place".to_owned(),
    }
}
