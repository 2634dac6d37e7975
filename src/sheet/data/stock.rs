//! The stock and its grain, as data.

use super::rounded;
use crate::shop::Stock;
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(super) struct StockData {
    thick: Option<f64>,
    grain: f64,
    grain_kind: &'static str,
    downhill_promised: bool,
    strips: Vec<StripData>,
}

#[derive(Debug, Serialize)]
struct StripData {
    wide: f64,
    grain: f64,
}

pub(super) fn stock(stock: &Stock) -> StockData {
    let strip = |&(wide, grain): &(f64, f64)| StripData {
        wide: rounded(wide),
        grain: rounded(grain),
    };
    StockData {
        thick: stock.thick.map(|thick| rounded(thick.mm())),
        grain: rounded(stock.grain),
        grain_kind: stock.kind.word(),
        downhill_promised: stock.kind.keeps_its_way(),
        strips: stock.strips.iter().map(strip).collect(),
    }
}
