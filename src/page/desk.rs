//! The desk: all that a page works on, and nothing else.

use super::change::Change;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// A job and the files it names: the whole state of a page.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Desk {
    /// The job's text: the one truth.
    pub job: String,
    /// The files by their names, each by the digest of its bytes.
    #[serde(default)]
    pub files: BTreeMap<String, String>,
}

impl Desk {
    /// What the rack that jobs share is kept under, where the person has one. No job can name
    /// it: names are read without the blanks about them.
    pub const SHARED_RACK: &'static str = " the rack that jobs share";

    /// The same desk with the rack that jobs share on it.
    pub(super) fn with_shared_rack(mut self, digest: Option<&String>) -> Self {
        if let Some(digest) = digest {
            self.files.entry(Self::SHARED_RACK.to_owned()).or_insert(digest.clone());
        }
        self
    }
}

/// What is asked of the worker.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Ask {
    /// Keep a file of this digest; its bytes follow the line.
    Keep {
        /// Its digest.
        digest: String,
        /// How many bytes.
        bytes: usize,
    },
    /// Plan a desk after a change.
    Plan {
        /// The desk.
        desk: Desk,
        /// The change, if any.
        change: Option<Change>,
        /// The pictures that are in sight, by their keys.
        in_sight: Vec<String>,
    },
    /// Give the sheets of the plan of a desk, and all its pictures.
    Sheets {
        /// The desk.
        desk: Desk,
    },
    /// Step through a program of the plan of a desk.
    Steps {
        /// The desk.
        desk: Desk,
        /// Which program, from 0.
        program: usize,
    },
    /// Say what a job can begin with.
    Offers,
    /// Give one file of the plan of a desk.
    Made {
        /// The desk.
        desk: Desk,
        /// The file's name.
        file: String,
    },
}

/// What the worker says on the way, a line each, and before the bytes of its answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Said {
    /// It has come to this stage.
    At(String),
    /// The answer follows: so many bytes.
    Answer {
        /// What it is, as HTTP calls it; nothing where there is none.
        kind: Option<String>,
        /// How many bytes follow.
        bytes: usize,
    },
}

/// The digest of a file's bytes.
pub fn digest(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

/// Bytes in hexadecimal.
pub(super) fn hexadecimal(bytes: &[u8]) -> String {
    let halves = bytes.iter().flat_map(|byte| [byte >> 4, byte & 15]);
    halves.filter_map(|half| char::from_digit(u32::from(half), 16)).collect()
}
