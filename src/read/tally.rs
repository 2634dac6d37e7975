//! What was left out of a drawing: how many of which kind on which layer.

use std::collections::BTreeMap;

/// Counts by layer and kind, in the order of their names.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tally(BTreeMap<String, BTreeMap<String, usize>>);

impl Tally {
    /// Counts one more.
    pub fn add(&mut self, layer: &str, kind: &str) {
        let kinds = self.0.entry(layer.to_owned()).or_default();
        *kinds.entry(kind.to_owned()).or_default() += 1;
    }

    /// Whether nothing was counted.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many of a kind there are on all layers.
    pub fn of_kind(&self, kind: &str) -> usize {
        self.0.values().filter_map(|kinds| kinds.get(kind)).sum()
    }

    /// How many there are in all.
    pub fn total(&self) -> usize {
        self.0.values().flat_map(BTreeMap::values).sum()
    }

    /// In words: ``on layer `0` 5 DIMENSION, 2 LINE; on layer `notes` 1 TEXT``.
    pub fn words(&self) -> String {
        let of_layer = |(layer, kinds): (&String, &BTreeMap<String, usize>)| {
            let kinds: Vec<String> =
                kinds.iter().map(|(kind, n)| format!("{n} {kind}")).collect();
            format!("on layer `{layer}` {}", kinds.join(", "))
        };
        self.0.iter().map(of_layer).collect::<Vec<_>>().join("; ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_stand_by_layer_and_kind() {
        let mut tally = Tally::default();
        for (layer, kind) in
            [("notes", "TEXT"), ("0", "LINE"), ("0", "ARC"), ("0", "LINE")]
        {
            tally.add(layer, kind);
        }
        assert_eq!(tally.words(), "on layer `0` 1 ARC, 2 LINE; on layer `notes` 1 TEXT");
        assert_eq!((tally.of_kind("LINE"), tally.total()), (2, 4), "of all layers");
    }
}
