//! `spelch bits INPUT`: every bit of the rack held to a job, and the one to buy.

use super::Answer;
use super::args::{Format, PlanArgs};
use super::show::all_shown;
use super::verbs::{Reader, failed, whole_job};
use crate::diag::Failure;
use crate::plan::{BitRow, Purchase, Rack};
use crate::shop::{Bit, Shop};
use crate::units::Paper;
use crate::work;
use serde_json::{Value, json};

/// Carries it out.
pub(super) fn bits(args: &PlanArgs) -> Answer {
    let reader = Reader::default();
    match held(args, &reader) {
        Ok((rack, shop)) => {
            let stops: Vec<_> =
                rack.rows.iter().flat_map(|row| row.stopped.clone()).collect();
            let data = match args.job.said.format {
                Format::Human => table(&rack, &shop),
                Format::Json => as_data(&rack, &shop),
            };
            Answer { code: 0, data, talk: all_shown(&stops, &reader.texts.borrow()) }
        }
        Err(failure) => failed(&failure, args.job.said.format, &reader.texts.borrow()),
    }
}

fn held(args: &PlanArgs, reader: &Reader) -> Result<(Rack, Shop), Failure> {
    let (job, folder) = whole_job(args.input.as_deref(), &args.job, reader)?;
    work::rack(&job, &|name| reader.bytes(&folder.join(name), name))
}

const HEAD: [&str; 8] =
    ["bit", "", "touches", "bridges", "corners", "leaves", "laps", "in the plan"];

/// The table, a line a bit, columns as wide as they need to be.
fn table(rack: &Rack, shop: &Shop) -> String {
    let mut rows = vec![HEAD.map(str::to_owned)];
    rows.extend(rack.rows.iter().map(|row| cells(row, &shop.bits[row.bit], shop.paper)));
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max();
    let widths: Vec<usize> = (0..HEAD.len()).map(|it| width(it).unwrap_or(0)).collect();
    let line = |row: &[String; 8]| {
        let cells =
            row.iter().zip(&widths).map(|(cell, &width)| format!("{cell:width$}"));
        cells.collect::<Vec<_>>().join("  ").trim_end().to_owned() + "\n"
    };
    let lines: String = rows.iter().map(line).collect();
    format!("{lines}\n{}\n", buy(rack.purchase.as_ref(), shop.paper))
}

fn cells(row: &BitRow, bit: &Bit, paper: Paper) -> [String; 8] {
    let share = if 0.0 < row.edge.0 { row.edge.1 / row.edge.0 * 100.0 } else { 0.0 };
    let set_ups: Vec<String> = row.set_ups.iter().map(ToString::to_string).collect();
    let used = if set_ups.is_empty() {
        "no".to_owned()
    } else {
        format!("set-up {}", set_ups.join(", "))
    };
    let Some(laps) = row.laps else {
        let mut cells = [const { String::new() }; 8];
        (cells[0], cells[1]) = (bit.number.to_string(), bit.text.clone());
        "may not be used".clone_into(&mut cells[2]);
        return cells;
    };
    [
        bit.number.to_string(),
        bit.text.clone(),
        format!("{share:.1} % of {}", paper.decimals(row.edge.0, 0)),
        row.bridges.to_string(),
        row.corners.to_string(),
        paper.area(row.left),
        laps.to_string(),
        used,
    ]
}

/// What to buy, in words.
fn buy(purchase: Option<&Purchase>, paper: Paper) -> String {
    let Some(buy) = purchase else {
        return "no other bit would save time on this job".to_owned();
    };
    let long = buy.cut_length.map_or_else(
        || format!("as long as the stock is thick and {} more", paper.length(1.0)),
        |length| format!("at least {} of cutter", paper.length(length)),
    );
    let saves = buy.minutes.0.map_or_else(
        || "without it there is no plan".to_owned(),
        |before| format!("about {:.0} minutes less at the bench", before - buy.minutes.1),
    );
    format!(
        "the bit that would help most: {} with its bearing {}, {long}: edge by hand {} instead of {}; {saves}",
        paper.length(buy.diameter),
        match buy.guide {
            crate::shop::Guide::Tip => "at the tip",
            crate::shop::Guide::Shank | crate::shop::Guide::Bush => "by the shank",
        },
        paper.length(buy.by_hand.1),
        paper.length(buy.by_hand.0),
    )
}

fn as_data(rack: &Rack, shop: &Shop) -> String {
    let rows: Vec<Value> = rack.rows.iter().map(|row| row_data(row, shop)).collect();
    let purchase = rack.purchase.as_ref().map(|buy| {
        json!({
            "diameter": buy.diameter, "bearing_end": buy.guide.word(),
            "cut_length": buy.cut_length,
            "by_hand": [buy.by_hand.0, buy.by_hand.1],
            "minutes": [buy.minutes.0, Some(buy.minutes.1)],
        })
    });
    json!({ "bits": rows, "purchase": purchase }).to_string() + "\n"
}

fn row_data(row: &BitRow, shop: &Shop) -> Value {
    json!({
        "number": shop.bits[row.bit].number, "text": shop.bits[row.bit].text,
        "edge": row.edge.0, "touched": row.edge.1, "bridges": row.bridges,
        "corners": row.corners, "left": row.left, "laps": row.laps,
        "set_ups": row.set_ups,
    })
}
