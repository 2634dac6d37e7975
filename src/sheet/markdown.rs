//! The sheets as Markdown, from the same model as the page.

use super::model::{Block, Sheet, Sheets, Table, letter};
use super::put;

/// The text.
pub(super) fn written(sheets: &Sheets) -> String {
    let mut out = format!(
        "# {}: bench sheets\n\nPlan {}. All lengths: {}.\n",
        sheets.name, sheets.id, sheets.units
    );
    let count = sheets.pages.len();
    for (number, sheet) in (1..).zip(&sheets.pages) {
        put(&mut out, format_args!("\n## {}\n\n", sheet.title));
        put(&mut out, format_args!("*Plan {}, sheet {number} of {count}*\n", sheets.id));
        for block in &sheet.blocks {
            out.push('\n');
            self::block(&mut out, block);
        }
        foot(&mut out, sheet);
    }
    out
}

fn foot(out: &mut String, sheet: &Sheet) {
    out.push('\n');
    for line in &sheet.cautions {
        put(out, format_args!("> {line}\n>\n"));
    }
    for (index, basis) in sheet.bases.iter().enumerate() {
        put(out, format_args!("> [{}] {basis}\n>\n", letter(index)));
    }
    if out.ends_with(">\n") {
        out.truncate(out.len() - 2);
    }
}

fn block(out: &mut String, block: &Block) {
    match block {
        Block::Heading(text) => put(out, format_args!("### {text}\n")),
        Block::Paragraph(text) => put(out, format_args!("{text}\n")),
        Block::Steps(lines) => {
            for (number, line) in (1..).zip(lines) {
                put(out, format_args!("{number}. [ ] {line}\n"));
            }
        }
        Block::Checks(lines) => {
            for line in lines {
                put(out, format_args!("- [ ] {line}\n"));
            }
        }
        Block::Table(rows) => table(out, rows),
        Block::Picture(picture) => match &picture.file {
            Some(file) => put(out, format_args!("![{}]({file})\n", picture.title)),
            None => {
                put(out, format_args!("({}: see the page of sheets)\n", picture.title));
            }
        },
        Block::Note(weight, text) => {
            put(out, format_args!("**{}:** {text}\n", weight.to_uppercase()));
        }
    }
}

fn table(out: &mut String, table: &Table) {
    let row = |cells: &[String]| {
        let cells: Vec<String> =
            cells.iter().map(|cell| cell.replace('|', "\\|")).collect();
        format!("| {} |\n", cells.join(" | "))
    };
    out.push_str(&row(&table.head));
    put(out, format_args!("|{}\n", " --- |".repeat(table.head.len())));
    for cells in &table.rows {
        out.push_str(&row(cells));
    }
}
