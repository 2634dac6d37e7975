//! What the server keeps for a while: files by their digests, and the desks of the newest plans.

use super::desk::{Desk, digest};
use super::line::ByDigest;
use std::collections::{BTreeMap, VecDeque};
use std::sync::Arc;

/// So many bytes of files are kept (from memory): the oldest make room, and are asked for again.
const MOST_FILES: usize = 120_000_000;
/// So many plans are kept for download (from memory): more than a person has windows open.
const MOST_PLANS: usize = 32;

/// Files and plans that are kept for a while, the newest last.
#[derive(Debug, Default)]
pub(super) struct Kept {
    /// Files by their digests.
    pub(super) files: BTreeMap<String, Arc<Vec<u8>>>,
    order: VecDeque<String>,
    /// Desks by the ids of their plans.
    pub(super) plans: VecDeque<(String, Desk)>,
}

impl Kept {
    /// Keeps a file: its digest.
    pub(super) fn keep(&mut self, bytes: Vec<u8>) -> String {
        let digest = digest(&bytes);
        if self.files.insert(digest.clone(), Arc::new(bytes)).is_none() {
            self.order.push_back(digest.clone());
        }
        let size = |files: &BTreeMap<String, Arc<Vec<u8>>>| -> usize {
            files.values().map(|bytes| bytes.len()).sum()
        };
        while MOST_FILES < size(&self.files) && 1 < self.order.len() {
            let oldest = self.order.pop_front().unwrap_or_default();
            self.files.remove(&oldest);
        }
        digest
    }

    /// The files of a desk; or the digests of those that are not here.
    pub(super) fn files_of(&self, desk: &Desk) -> Result<Vec<ByDigest>, Vec<String>> {
        let is_missing = |digest: &&String| !self.files.contains_key(*digest);
        let missing: Vec<String> =
            desk.files.values().filter(is_missing).cloned().collect();
        if !missing.is_empty() {
            return Err(missing);
        }
        let digests = desk.files.values();
        Ok(digests
            .filter_map(|digest| {
                let bytes = self.files.get(digest)?;
                Some((digest.clone(), Arc::clone(bytes)))
            })
            .collect())
    }

    /// Keeps the desk of a plan by the plan's id.
    pub(super) fn remember(&mut self, id: String, desk: Desk) {
        self.plans.retain(|(other, _)| *other != id);
        self.plans.push_back((id, desk));
        if MOST_PLANS < self.plans.len() {
            self.plans.pop_front();
        }
    }
}
