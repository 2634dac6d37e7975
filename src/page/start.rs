//! Desks to begin with: a drawing, a joint by name, a sample.

use super::desk::Desk;
use crate::read::JointName;
use crate::sheet::file_stem;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use toml_edit::{Array, DocumentMut, Item, Table, value};

/// What is begun with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub(super) enum Start {
    /// A drawing that was handed over.
    Drawing {
        /// Its name.
        drawing: String,
        /// Its digest.
        digest: String,
        /// The unit of the paper.
        #[serde(default)]
        units: Option<String>,
    },
    /// A joint by name.
    Joint {
        /// The name.
        joint: String,
        /// The unit of the paper.
        #[serde(default)]
        units: Option<String>,
    },
    /// A job in a file.
    Job {
        /// Its text.
        job: String,
        /// Its file's name.
        file: String,
        /// The files beside it.
        #[serde(default)]
        files: BTreeMap<String, String>,
    },
    /// A sample by name.
    Sample {
        /// The name.
        sample: String,
    },
}

/// A sample: its name, its text, and the file it names, if any.
pub(super) struct Sample {
    /// Its name.
    pub(super) name: &'static str,
    /// The job; empty where it is a drawing alone.
    pub(super) job: &'static str,
    /// The file it names.
    pub(super) file: Option<(&'static str, &'static [u8])>,
}

macro_rules! sample {
    ($name:literal) => {
        Sample {
            name: $name,
            job: include_str!(concat!("../../samples/", $name, ".toml")),
            file: None,
        }
    };
    ($name:literal, $file:literal) => {
        Sample {
            file: Some(($file, include_bytes!(concat!("../../samples/", $file)))),
            ..sample!($name)
        }
    };
}

macro_rules! drawn {
    ($name:literal, $file:literal) => {
        Sample {
            name: $name,
            job: "",
            file: Some(($file, include_bytes!(concat!("../../samples/", $file)))),
        }
    };
}

/// The samples, the one to begin with first.
pub(super) const SAMPLES: [Sample; 17] = [
    sample!("trestle-foot"),
    sample!("arched-apron"),
    sample!("cap-rail-mouth"),
    sample!("class-half-lap"),
    sample!("gate-rail-scarf"),
    sample!("gate-rail-wedged"),
    sample!("house-sign"),
    sample!("lapped-stretcher"),
    sample!("oak-bracket"),
    sample!("one-way-bracket"),
    sample!("other-way-bracket"),
    sample!("pole-bracket", "rack.toml"),
    sample!("saw-handle"),
    sample!("shelf-end"),
    sample!("wall-hook"),
    drawn!("ogee-bracket", "ogee-bracket.svg"),
    drawn!("key-rack", "key-rack.dxf"),
];

/// The desk to begin with; nothing where no such joint or sample is known.
pub(super) fn desk(start: &Start, mut keep: impl FnMut(&[u8]) -> String) -> Option<Desk> {
    match start {
        Start::Drawing { drawing, digest, units } => {
            let files = BTreeMap::from([(drawing.clone(), digest.clone())]);
            Some(Desk { job: job_of_drawing(drawing, units.as_deref()), files })
        }
        Start::Job { job, file, files } => {
            Some(Desk { job: named_job(job, file), files: files.clone() })
        }
        Start::Joint { joint, units } => {
            let name = JointName::ALL.into_iter().find(|name| name.word() == joint)?;
            let job = job_of_joint(name, units.as_deref());
            Some(Desk { job, files: BTreeMap::new() })
        }
        Start::Sample { sample } => {
            let sample = SAMPLES.iter().find(|one| one.name == sample)?;
            let files =
                sample.file.iter().map(|(name, bytes)| ((*name).to_owned(), keep(bytes)));
            let files = files.collect();
            let job = match sample.file {
                Some((file, _)) if sample.job.is_empty() => job_of_drawing(file, None),
                _ => sample.job.to_owned(),
            };
            Some(Desk { job, files })
        }
    }
}

/// The bits that most people have who rout along templates (from memory).
const BITS: [&str; 2] = ["12.7mm pattern", "12.7mm flush-trim"];
const BITS_INCH: [&str; 2] = ["1/2in pattern", "1/2in flush-trim"];

/// A job with what any has: a name, the paper, the grain, bits.
fn begun(name: &str, units: Option<&str>) -> DocumentMut {
    let mut text = DocumentMut::new();
    text["name"] = value(file_stem(name));
    let inches = units == Some("in");
    if inches {
        text["paper"] = value("in");
    }
    text["grain"] = value("long");
    let bits: Array = if inches { BITS_INCH } else { BITS }.into_iter().collect();
    text["bits"] = value(bits);
    text
}

/// A job that plans a drawing.
pub fn job_of_drawing(file: &str, units: Option<&str>) -> String {
    let name = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let mut text = begun(name, units);
    let mut outline = Table::new();
    outline["drawing"] = value(file);
    text["outline"] = Item::Table(outline);
    text.to_string()
}

/// A job that says its name: its file's, where it says none.
pub fn named_job(job: &str, file: &str) -> String {
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    match job.parse::<DocumentMut>() {
        Ok(text) if !text.contains_key("name") => {
            format!("name = {}\n{job}", value(file_stem(stem)))
        }
        _ => job.to_owned(),
    }
}

/// The name of a job's file when it is handed out.
pub(super) fn job_file(job: &str) -> String {
    let text = job.parse::<DocumentMut>().ok();
    let name = text.as_ref().and_then(|text| text.get("name")?.as_str());
    format!("{}.toml", file_stem(name.unwrap_or("job")))
}

/// A job that plans a joint, in stock to be measured.
pub(super) fn job_of_joint(name: JointName, units: Option<&str>) -> String {
    let mut text = begun(name.word(), units);
    if name == JointName::DovetailedLap {
        // Its socket has a floor, and its tail's corners ask for a narrow bit.
        text["bits"] = value(Array::from_iter(["1/4in straight + 1/2in bush, 1in long"]));
    }
    let (thick, width) =
        if units == Some("in") { ("3/4in", "2 3/4in") } else { ("20mm", "70mm") };
    text["thick"] = value(thick);
    text["width"] = value(width);
    let mut joint = Table::new();
    joint["name"] = value(name.word());
    text["joint"] = Item::Table(joint);
    text.to_string()
}

/// The first line of a sample without its mark: what it shows.
pub(super) fn shows(sample: &Sample) -> &'static str {
    let first =
        sample.job.lines().next().unwrap_or("A drawing, as a drawing program saves it.");
    first.trim_start_matches(['#', ' ']).trim_start_matches("Shows: ")
}
