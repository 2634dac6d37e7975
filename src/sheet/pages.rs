//! One sheet, one printed page: a sheet that is too long is set tighter, and one that is still
//! too long is broken into sheets that say so. A picture is a page of its own.
//!
//! How high a block stands is reckoned from the widths of its letters, on the smaller of the
//! two papers; columns are given their widths here, so that the page breaks lines where this
//! room reckons that it does.

use super::model::{Block, Set, Sheet, Table};

/// The type of running text, in points, and that of a tight sheet.
pub(super) const TYPE: f64 = 12.5;
pub(super) const TIGHT: f64 = 10.8;
/// The type of a sheet that gathers everything on one page.
pub(super) const SMALL: f64 = 8.4;
/// The height of a line as a share of its type.
pub(super) const LINE: f64 = 1.2;
/// The type of a table, of its heads and of its large figures, as shares of running text.
pub(super) const TABLE: f64 = 0.93;
pub(super) const LARGE: f64 = 1.35;
/// The type of a sheet's foot, in points.
pub(super) const FOOT: f64 = 10.0;
/// How wide a sheet is, in mm: what A4 leaves between its margins, and Letter too.
pub(super) const WIDE: f64 = 190.0;
/// What a cell has round its letters at each side, and at top and bottom together, in mm, with
/// its line.
pub(super) const CELL_SIDE: f64 = 1.65;
pub(super) const CELL_TOP: f64 = 1.9;
/// The same in small type.
pub(super) const SMALL_CELL_TOP: f64 = 1.1;
/// What a line to tick is set in by, and what a step is, in mm.
pub(super) const TICK: f64 = 8.0;
pub(super) const STEP: f64 = 15.0;

/// How high a page is between its margins, in mm: Letter, less a line that may break earlier
/// than was reckoned.
const HIGH: f64 = 279.4 - 24.0 - 4.0;
/// The least height of a sheet's head: three rows of name, plan and date.
const HEAD: f64 = 17.5;
/// The type of the title, in points, and the room it has beside name and unit, in mm.
pub(super) const TITLE: f64 = 20.0;
pub(super) const TITLE_ROOM: f64 = 84.0;
/// A point, in mm.
const POINT: f64 = 25.4 / 72.0;
/// How much wider heavy letters are, and what a browser may need more than the letters.
const HEAVY: f64 = 1.08;
const EASE: f64 = 1.03;

/// The sheets as pages.
pub(super) fn broken(sheets: Vec<Sheet>) -> Vec<Sheet> {
    sheets.into_iter().flat_map(pages).collect()
}

/// The pages of one sheet: its text, then each of its pictures.
fn pages(mut sheet: Sheet) -> Vec<Sheet> {
    let (pictures, text): (Vec<Block>, Vec<Block>) = std::mem::take(&mut sheet.blocks)
        .into_iter()
        .partition(|block| matches!(block, Block::Picture(_)));
    let room = room(&sheet);
    let high = |type_| text.iter().map(|block| block_height(block, type_)).sum::<f64>();
    if sheet.set == Set::Plain && room < high(TYPE) {
        sheet.set = Set::Tight;
    }
    let whole = sheet.set == Set::Small || high(TIGHT) <= room;
    let shares = if whole { vec![text] } else { shared(&text, room) };
    let many = shares.len();
    let mut pages: Vec<Sheet> = (1..)
        .zip(shares)
        .map(|(number, blocks)| {
            let mut page = Sheet { blocks, ..sheet.clone() };
            if 1 < many {
                page.title = format!("{} ({number} of {many})", sheet.title);
            }
            page
        })
        .collect();
    pages.extend(pictures.into_iter().map(|picture| {
        let title = format!("{}: picture", sheet.title);
        Sheet { blocks: vec![picture], ..Sheet::new(title) }
    }));
    pages
}

/// What a page has for a sheet's blocks, in mm.
pub(super) fn room(sheet: &Sheet) -> f64 {
    HIGH - head_height(&sheet.title) - foot_height(sheet)
}

/// How high a block stands in small type.
pub(super) fn small_height(block: &Block) -> f64 {
    block_height(block, SMALL)
}

/// How high a drawing stands among text, with what it keeps free round itself.
pub(super) const fn drawing(high: f64) -> f64 {
    high + 2.0
}

/// Blocks shared out over pages of so much room, in tight type.
fn shared(blocks: &[Block], room: f64) -> Vec<Vec<Block>> {
    let mut pages: Vec<Vec<Block>> = vec![Vec::new()];
    let morsels: Vec<Block> = blocks.iter().flat_map(morsels).collect();
    let mut rest = morsels.as_slice();
    while !rest.is_empty() {
        let (kept, after) = rest.split_at(kept_together(rest));
        rest = after;
        let page = pages.last_mut().expect("there is a first page");
        let longer = with(page.clone(), kept);
        let high: f64 = longer.iter().map(|block| block_height(block, TIGHT)).sum();
        if high <= room || page.is_empty() {
            *page = longer;
        } else {
            pages.push(with(Vec::new(), kept));
        }
    }
    pages
}

/// How many morsels stand together: a heading is never the last of its page.
fn kept_together(morsels: &[Block]) -> usize {
    let headings =
        morsels.iter().take_while(|block| matches!(block, Block::Heading(_))).count();
    (headings + 1).min(morsels.len())
}

/// A block as the smallest pieces that may stand on pages of their own: rows of a table, lines
/// to tick.
fn morsels(block: &Block) -> Vec<Block> {
    match block {
        Block::Checks(lines) => {
            lines.iter().map(|line| Block::Checks(vec![line.clone()])).collect()
        }
        Block::Steps(first, lines) => (*first..)
            .zip(lines)
            .map(|(number, line)| Block::Steps(number, vec![line.clone()]))
            .collect(),
        Block::Table(table) => {
            let Table { head, rows, large } = table;
            let one = |row: &Vec<String>| {
                let (head, large) = (head.clone(), large.clone());
                Block::Table(Table { head, rows: vec![row.clone()], large })
            };
            rows.iter().map(one).collect()
        }
        other => vec![other.clone()],
    }
}

/// A page with further morsels: each goes to the block it came from, where that is the last.
fn with(mut page: Vec<Block>, morsels: &[Block]) -> Vec<Block> {
    for morsel in morsels {
        match (page.last_mut(), morsel) {
            (Some(Block::Checks(lines)), Block::Checks(more)) => {
                lines.extend(more.clone());
            }
            (Some(Block::Steps(first, lines)), Block::Steps(number, more))
                if *first + lines.len() == *number =>
            {
                lines.extend(more.clone());
            }
            (Some(Block::Table(table)), Block::Table(more))
                if table.head == more.head =>
            {
                table.rows.extend(more.rows.clone());
            }
            _ => page.push(morsel.clone()),
        }
    }
    page
}

fn head_height(title: &str) -> f64 {
    HEAD.max(rows(title, TITLE, TITLE_ROOM, HEAVY) * TITLE * POINT + 3.0)
}

fn foot_height(sheet: &Sheet) -> f64 {
    let line = |text: &str| rows(text, FOOT, WIDE, 1.0) * FOOT * LINE * POINT + 0.5;
    let cautions: f64 = sheet.cautions.iter().map(|text| line(text)).sum();
    let bases: Vec<String> =
        sheet.bases.iter().map(|basis| format!("a {basis}; ")).collect();
    let bases = if bases.is_empty() {
        0.0
    } else {
        line(&format!("Where figures come from: {}", bases.concat()))
    };
    4.2 + cautions + bases
}

/// Room to sign at a hold point.
pub(super) const SEEN: &str = "Seen by ______________ on ____________";

/// How high a block stands, with what it keeps free round itself.
fn block_height(block: &Block, type_: f64) -> f64 {
    let text =
        |text: &str, room: f64| rows(text, type_, room, 1.0) * type_ * LINE * POINT;
    match block {
        Block::Heading(words) => {
            let size = type_ * 1.08;
            rows(words, size, WIDE, HEAVY) * size * LINE * POINT + 2.6
        }
        Block::Paragraph(words) => text(words, WIDE) + 1.3,
        Block::Steps(_, lines) => {
            lines.iter().map(|line| ticked(text(line, WIDE - STEP))).sum::<f64>() + 1.8
        }
        Block::Checks(lines) => {
            lines.iter().map(|line| ticked(text(line, WIDE - TICK))).sum::<f64>() + 1.8
        }
        Block::Table(table) => table_height(table, type_),
        Block::Note(weight, words) => {
            text(&format!("{weight}:  {words}"), WIDE - 12.0) + 5.0
        }
        Block::Hold(words) => text(&format!("STOP: {words} {SEEN}"), WIDE - 10.0) + 8.0,
        Block::Drawing(_, high) => drawing(*high),
        Block::Picture(_) => 0.0,
    }
}

/// A line to tick is no lower than its box.
fn ticked(high: f64) -> f64 {
    high.max(5.1) + 0.7
}

fn table_height(table: &Table, type_: f64) -> f64 {
    let widths = columns(table);
    let height = |row: &[String], heavy: f64| {
        let cells = row.iter().zip(&widths).enumerate();
        let high = cells.map(|(column, (cell, wide))| {
            let size = cell_type(table, column, heavy) * type_;
            rows(cell, size, wide - 2.0 * CELL_SIDE, heavy) * size * LINE * POINT
        });
        high.fold(0.0, f64::max) + if SMALL < type_ { CELL_TOP } else { SMALL_CELL_TOP }
    };
    let body: f64 = table.rows.iter().map(|row| height(row, 1.0)).sum();
    height(&table.head, HEAVY) + body + if SMALL < type_ { 2.0 } else { 1.2 }
}

/// The type of a cell as a share of running text.
fn cell_type(table: &Table, column: usize, heavy: f64) -> f64 {
    if heavy <= 1.0 && table.large.contains(&column) { LARGE } else { TABLE }
}

/// The widths of a table's columns, in mm, together a sheet's width: each has what it would
/// like up to one level, and at least what its longest word needs.
pub(super) fn columns(table: &Table) -> Vec<f64> {
    let wishes: Vec<(f64, f64)> =
        (0..table.head.len()).map(|column| wish(table, column)).collect();
    let at_level = |level: f64| -> Vec<f64> {
        wishes.iter().map(|&(least, liked)| liked.min(level).max(least)).collect()
    };
    let (mut low, mut high) = (0.0, WIDE);
    for _ in 0..40 {
        let level = f64::midpoint(low, high);
        if at_level(level).iter().sum::<f64>() < WIDE {
            low = level;
        } else {
            high = level;
        }
    }
    let widths = at_level(low);
    let all: f64 = widths.iter().sum();
    widths.iter().map(|wide| wide * WIDE / all).collect()
}

/// What the longest word of a column needs and what its longest text would like, in mm. A
/// figure to cut to stands on one row, unless it is a list.
fn wish(table: &Table, column: usize) -> (f64, f64) {
    let wide = |text: &str, heavy: f64| {
        let size = cell_type(table, column, heavy) * TYPE;
        let is_large = heavy <= 1.0 && table.large.contains(&column);
        let heavy = if is_large { HEAVY } else { heavy };
        width(text, size) * heavy + 2.0 * CELL_SIDE + 0.5
    };
    let word = |text: &str, heavy: f64| {
        let longest = text.split(' ').map(|word| wide(word, heavy)).fold(0.0, f64::max);
        longest.min(WIDE / 3.0)
    };
    let head = &table.head[column];
    let (mut least, mut liked) = (word(head, HEAVY), wide(head, HEAVY));
    for cell in table.rows.iter().filter_map(|row| row.get(column)) {
        let whole = wide(cell, 1.0);
        let on_one_row = table.large.contains(&column) && whole < WIDE / 4.0;
        least = least.max(if on_one_row { whole } else { word(cell, 1.0) });
        liked = liked.max(whole);
    }
    (least, liked)
}

/// How many rows a text takes in a room of this width, in type of so many points.
fn rows(text: &str, size: f64, room: f64, heavy: f64) -> f64 {
    let space = width(" ", size) * heavy;
    let (mut rows, mut at) = (1.0, 0.0);
    for word in text.split_whitespace() {
        let wide = width(word, size) * heavy * EASE;
        if 0.0 < at && room < at + space + wide {
            rows += 1.0;
            at = 0.0;
        }
        // A word longer than the room is broken within.
        let over = (wide / room).floor();
        rows += over;
        at = if 0.0 < over {
            wide - over * room
        } else if 0.0 < at {
            at + space + wide
        } else {
            wide
        };
    }
    rows
}

/// How wide a text is in type of so many points, in mm.
fn width(text: &str, size: f64) -> f64 {
    text.chars().map(letter_width).sum::<f64>() * size * POINT
}

/// How wide a letter is as a share of its type: those of the common type without serifs
/// (measured on the page), anything unknown as wide as a capital.
const fn letter_width(letter: char) -> f64 {
    match letter {
        'i' | 'j' | 'l' | '\'' => 0.222,
        ' ' | 'f' | 't' | 'I' | '.' | ',' | ':' | ';' | '/' | '!' | '[' | ']' => 0.278,
        'r' | '(' | ')' | '-' => 0.333,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' | '°' => 0.5,
        'a'..='z' if letter != 'm' && letter != 'w' => 0.556,
        '0'..='9' | '_' | '?' | '"' => 0.556,
        'm' | 'M' => 0.833,
        'W' => 0.944,
        'G' | 'O' | 'Q' => 0.778,
        _ => 0.722,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn long(lines: usize) -> Sheet {
        let mut sheet = Sheet::new("Hand list");
        sheet.heading("How");
        sheet.checks((0..lines).map(|line| format!("line {line} to tick")));
        sheet
    }

    fn ticked(pages: &[Sheet]) -> usize {
        let blocks = pages.iter().flat_map(|page| &page.blocks);
        let lines = blocks.filter_map(|block| match block {
            Block::Checks(lines) => Some(lines.len()),
            _ => None,
        });
        lines.sum()
    }

    #[test]
    fn a_short_sheet_stays_as_it_is() {
        let pages = broken(vec![long(5)]);
        assert_eq!(pages.len(), 1, "one page");
        assert_eq!((pages[0].title.as_str(), pages[0].set), ("Hand list", Set::Plain));
    }

    #[test]
    fn a_sheet_a_little_too_long_is_set_tighter() {
        let is_tight = |lines: &usize| broken(vec![long(*lines)])[0].set == Set::Tight;
        let lines = (1..100).find(is_tight).unwrap_or(0);
        assert_eq!(broken(vec![long(lines)]).len(), 1, "{lines} lines on one page");
    }

    #[test]
    fn a_sheet_much_too_long_is_broken_and_says_so_and_loses_nothing() {
        let pages = broken(vec![long(100)]);
        let many = pages.len();
        assert!(1 < many, "{many}");
        for (number, page) in (1..).zip(&pages) {
            assert_eq!(page.title, format!("Hand list ({number} of {many})"));
            let high: f64 =
                page.blocks.iter().map(|block| block_height(block, TIGHT)).sum();
            assert!(high <= HIGH, "{high}");
        }
        assert_eq!(ticked(&pages), 100, "every line once");
    }

    #[test]
    fn columns_fill_the_sheet_and_hold_their_longest_word() {
        let row = |what: &str| vec!["1".to_owned(), what.to_owned()];
        let head = vec!["No.".to_owned(), "What".to_owned()];
        let rows = vec![row("a rather long text that wants much of the sheet")];
        let widths = columns(&Table { head, rows, large: vec![0] });
        assert!((widths.iter().sum::<f64>() - WIDE).abs() < 1e-6, "{widths:?}");
        assert!(widths[0] < widths[1], "{widths:?}");
    }
}
