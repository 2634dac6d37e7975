//! The sheets as Markdown, from the same model as the page.

use super::model::{Block, Sheet, Sheets, Table, letter};
use super::pages::SEEN;
use super::put;

/// The text.
pub(super) fn written(sheets: &Sheets) -> String {
    let mut out = format!(
        "# {}: bench sheets\n\nPlan {}. All lengths: {}.\n",
        plain(&sheets.name),
        sheets.id,
        sheets.units
    );
    let count = sheets.pages.len();
    for (number, sheet) in (1..).zip(&sheets.pages) {
        put(&mut out, format_args!("\n## {}\n\n", plain(&sheet.title)));
        put(&mut out, format_args!("*Plan {}, sheet {number} of {count}*\n", sheets.id));
        if let Some(units) = &sheet.units {
            put(&mut out, format_args!("\nAll lengths on this sheet: {units}.\n"));
        }
        for block in &sheet.blocks {
            out.push('\n');
            self::block(&mut out, block);
        }
        foot(&mut out, sheet);
    }
    out
}

fn foot(out: &mut String, sheet: &Sheet) {
    if sheet.cautions.is_empty() {
        return;
    }
    out.push('\n');
    for line in &sheet.cautions {
        put(out, format_args!("> {}\n>\n", plain(line)));
    }
    for (index, basis) in sheet.bases.iter().enumerate() {
        put(
            out,
            format_args!("> [{}] {}\n>\n", letter(index), plain(&basis.to_string())),
        );
    }
    if out.ends_with(">\n") {
        out.truncate(out.len() - 2);
    }
}

fn block(out: &mut String, block: &Block) {
    match block {
        Block::Heading(text) => put(out, format_args!("### {}\n", plain(text))),
        Block::Paragraph(text) => put(out, format_args!("{}\n", plain(text))),
        Block::Steps(first, lines) => {
            for (number, line) in (*first..).zip(lines) {
                put(out, format_args!("{number}. [ ] {}\n", plain(line)));
            }
        }
        Block::Checks(lines) => {
            for line in lines {
                put(out, format_args!("- [ ] {}\n", plain(line)));
            }
        }
        Block::Table(rows) => table(out, rows),
        Block::Picture(picture) => match &picture.file {
            Some(file) => {
                put(out, format_args!("![{}]({file})\n", plain(&picture.title)));
            }
            None => {
                put(out, format_args!("({}: see the page of sheets)\n", picture.title));
            }
        },
        Block::Drawing(..) => out.push_str("(The drawing: see the page of sheets.)\n"),
        Block::Hold(words) => {
            put(out, format_args!("**STOP:** {} {SEEN}\n", plain(words)));
        }
        Block::Note(weight, text) => {
            put(out, format_args!("**{}:** {}\n", weight.to_uppercase(), plain(text)));
        }
    }
}

fn table(out: &mut String, table: &Table) {
    let row = |cells: &[String]| {
        let cells: Vec<String> = cells.iter().map(|cell| plain(cell)).collect();
        format!("| {} |\n", cells.join(" | "))
    };
    out.push_str(&row(&table.head));
    put(out, format_args!("|{}\n", " --- |".repeat(table.head.len())));
    for cells in &table.rows {
        out.push_str(&row(cells));
    }
}

/// A text with everything escaped that Markdown would read as a mark: names come from the job.
fn plain(text: &str) -> String {
    let mut out = String::new();
    let letters: Vec<char> = text.chars().collect();
    for (index, &letter) in letters.iter().enumerate() {
        let marks = match letter {
            '<' | '&' | '|' | '*' | '`' | '\\' => true,
            '_' => !is_blank(&letters, index),
            _ => false,
        };
        if marks {
            out.push('\\');
        }
        out.push(letter);
    }
    out
}

/// Whether an underscore belongs to a line to write on: a run with no word at either end marks
/// nothing in Markdown.
fn is_blank(letters: &[char], index: usize) -> bool {
    let other = |letter: &&char| **letter != '_';
    let before = letters[..index].iter().rev().find(other);
    let after = letters[index..].iter().find(other);
    [before, after].into_iter().flatten().all(|letter| letter.is_whitespace())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_from_the_job_mark_nothing() {
        let name = r"a|b <c> & *d* `e` f_g _h_ \i";
        let expected = r"a\|b \<c> \& \*d\* \`e\` f\_g \_h\_ \\i";
        assert_eq!(plain(name), expected);
        let cells = vec![name.to_owned()];
        let rows = Table { head: cells.clone(), rows: vec![cells], large: Vec::new() };
        let mut out = String::new();
        table(&mut out, &rows);
        assert_eq!(out, format!("| {expected} |\n| --- |\n| {expected} |\n"));
    }

    #[test]
    fn a_line_to_write_on_stays() {
        assert_eq!(plain("date: ____ and ____"), "date: ____ and ____");
        assert_eq!(plain("__________"), "__________", "a cell of its own");
    }
}
