//! The sheets as one page of HTML that prints well: black and white, large type, no scripts
//! and nothing from outside.

use super::model::{Block, PLAN, Picture, Set, Sheet, Sheets, Table, letter};
use super::pages::{
    FOOT, LARGE, LINE, SEEN, SMALL, STEP, TABLE, TICK, TIGHT, TITLE, TYPE, WIDE, columns,
};
use super::put;
use crate::draw::svg;

/// The look. Upright pages for text, lying pages for pictures; both fit A4 and Letter. What a
/// sheet's height is reckoned from stands in `measures`.
const STYLE: &str = "
@page { margin: 10mm; }
@page picture { size: landscape; margin: 6mm; }
* { box-sizing: border-box; }
body { font-family: Helvetica, Arial, sans-serif; font-size: var(--type); line-height: var(--line); color: #000; background: #fff; margin: 0; }
section { max-width: var(--wide); margin: 0 auto; padding: 0 0.3mm; break-before: page; }
section.first { break-before: auto; }
section.tight { font-size: var(--tight); }
section.small { font-size: var(--small); }
section.small :is(th, td) { padding: 0.4mm 1.4mm; }
section.small table { margin: 1mm 0; }
header { display: flex; align-items: flex-end; gap: 4mm; border-bottom: 0.7mm solid #000; padding-bottom: 2mm; }
header h1 { font-size: var(--title); line-height: 1; margin: 0; flex: 1; text-wrap: balance; }
header p { margin: 0; font-size: 11pt; line-height: 1.25; max-width: 58mm; white-space: nowrap; }
header b { display: block; overflow: hidden; text-overflow: ellipsis; }
header .units { border: 0.7mm solid #000; padding: 1.2mm 2.5mm; font-weight: bold; font-size: 12pt; max-width: 40mm; }
h2 { font-size: 1.08em; margin: 2mm 0 0.6mm; }
p { margin: 1.2mm 0; overflow-wrap: anywhere; }
table { border-collapse: collapse; table-layout: fixed; width: 100%; margin: 1.5mm 0; font-size: var(--table); }
th, td { border: 0.25mm solid #000; padding: 0.8mm 1.4mm; text-align: left; vertical-align: top; overflow-wrap: anywhere; }
td.large { font-size: var(--large); font-weight: bold; }
tr, li { break-inside: avoid; }
thead { display: table-header-group; }
ol, ul { margin: 1.5mm 0; padding-left: 0; list-style: none; }
li { margin: 0.7mm 0; padding-left: var(--tick); text-indent: calc(-1 * var(--tick)); overflow-wrap: anywhere; }
ol li { padding-left: var(--step); text-indent: calc(-1 * var(--step)); }
.box { display: inline-block; width: 4.5mm; height: 4.5mm; border: 0.35mm solid #000; margin-right: 3.5mm; vertical-align: -0.6mm; text-indent: 0; }
.number { display: inline-block; width: 7mm; text-indent: 0; white-space: nowrap; overflow-wrap: normal; }
.note { border: 0.35mm solid #000; border-left-width: 2mm; padding: 1mm 3mm; margin: 2mm 0; break-inside: avoid; }
.hold { border: 1mm solid #000; padding: 1.5mm 3mm; margin: 2mm 0; break-inside: avoid; }
.drawing { overflow: hidden; margin: 1mm 0; }
.drawing svg { display: block; }
footer { margin-top: 3mm; border-top: 0.35mm solid #000; font-size: var(--foot); break-inside: avoid; }
footer p { margin: 0.5mm 0; }
figure { margin: 0 auto; page: picture; break-before: page; break-after: page; max-width: 285mm; }
figure svg { display: block; width: 100%; height: auto; max-height: 196mm; }
sup { font-size: 60%; line-height: 0; }
@media screen { body { padding: 0 4mm; } section, figure { margin-bottom: 12mm; } }
";

/// What the height of a sheet is reckoned from.
fn measures() -> String {
    format!(
        ":root {{ --type: {TYPE}pt; --tight: {TIGHT}pt; --small: {SMALL}pt; --line: {LINE}; --title: {TITLE}pt; \
         --foot: {FOOT}pt; --table: {TABLE}em; --large: {}em; --wide: {WIDE}mm; \
         --tick: {TICK}mm; --step: {STEP}mm; }}\n",
        LARGE / TABLE
    )
}

/// The page.
pub(super) fn written(sheets: &Sheets) -> String {
    let mut out = String::new();
    put(&mut out, format_args!("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n"));
    put(&mut out, format_args!("<meta charset=\"utf-8\">\n"));
    put(
        &mut out,
        format_args!(
            "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        ),
    );
    let (name, id) = (escaped(&sheets.name), escaped(&sheets.id));
    let what = if sheets.what == PLAN { "bench sheets" } else { sheets.what };
    put(&mut out, format_args!("<title>{name}: {what}, plan {id}</title>\n"));
    put(
        &mut out,
        format_args!(
            "<style>{}{STYLE}{}</style>\n</head>\n<body>\n",
            measures(),
            foot(sheets)
        ),
    );
    let count = sheets.pages.len();
    for (number, sheet) in (1..).zip(&sheets.pages) {
        section(&mut out, sheets, sheet, (number, count));
    }
    out.push_str("</body>\n</html>\n");
    out
}

fn section(
    out: &mut String,
    sheets: &Sheets,
    sheet: &Sheet,
    (number, count): (usize, usize),
) {
    if let [Block::Picture(shown)] = sheet.blocks.as_slice() {
        picture(out, shown);
        return;
    }
    let first = if number == 1 { "first" } else { "" };
    let set = match sheet.set {
        Set::Plain => "",
        Set::Tight => " tight",
        Set::Small => " small",
    };
    put(out, format_args!("<section class=\"{first}{set}\">\n"));
    put(
        out,
        format_args!(
            "<header><h1>{}</h1><p><b>{}</b>plan {}, sheet {number} of {count}<br>\
             date ____________</p><div class=\"units\">{}</div></header>\n",
            marked(&sheet.title),
            escaped(&sheets.name),
            escaped(&sheets.id),
            escaped(sheet.units.as_ref().unwrap_or(&sheets.units)),
        ),
    );
    for block in &sheet.blocks {
        self::block(out, block);
    }
    footer(out, sheet);
    out.push_str("</section>\n");
}

fn footer(out: &mut String, sheet: &Sheet) {
    out.push_str("<footer>\n");
    for line in &sheet.cautions {
        put(out, format_args!("<p>{}</p>\n", marked(line)));
    }
    if !sheet.bases.is_empty() {
        let bases = sheet.bases.iter().enumerate();
        let bases: Vec<String> = bases
            .map(|(index, basis)| {
                format!("<sup>{}</sup> {}", letter(index), escaped(&basis.to_string()))
            })
            .collect();
        put(out, format_args!("<p>Where figures come from: {}</p>\n", bases.join("; ")));
    }
    out.push_str("</footer>\n");
}

fn block(out: &mut String, block: &Block) {
    match block {
        Block::Heading(text) => put(out, format_args!("<h2>{}</h2>\n", marked(text))),
        Block::Paragraph(text) => put(out, format_args!("<p>{}</p>\n", marked(text))),
        Block::Steps(first, lines) => list(out, Some(*first), lines),
        Block::Checks(lines) => list(out, None, lines),
        Block::Table(rows) => table(out, rows),
        Block::Picture(shown) => picture(out, shown),
        Block::Drawing(scene, high) => {
            let drawn = as_high_as(&svg(scene), *high);
            put(out, format_args!("<div class=\"drawing\">{drawn}</div>\n"));
        }
        Block::Hold(words) => put(
            out,
            format_args!("<p class=\"hold\"><b>STOP:</b> {} {SEEN}</p>\n", marked(words)),
        ),
        Block::Note(weight, text) => put(
            out,
            format_args!(
                "<p class=\"note\"><b>{}:</b> {}</p>\n",
                weight.to_uppercase(),
                marked(text)
            ),
        ),
    }
}

/// Lines with a box each; numbered where a first number is given.
fn list(out: &mut String, first: Option<usize>, lines: &[String]) {
    let kind = if first.is_some() { "ol" } else { "ul" };
    put(out, format_args!("<{kind}>\n"));
    for (index, line) in lines.iter().enumerate() {
        out.push_str("<li><span class=\"box\"></span>");
        if let Some(number) = first.map(|first| first + index) {
            put(out, format_args!("<span class=\"number\">{number}.</span>"));
        }
        put(out, format_args!("{}</li>\n", marked(line)));
    }
    put(out, format_args!("</{kind}>\n"));
}

fn table(out: &mut String, table: &Table) {
    out.push_str("<table>\n<colgroup>");
    for wide in columns(table) {
        put(out, format_args!("<col width=\"{:.1}%\">", 100.0 * wide / WIDE));
    }
    out.push_str("</colgroup>\n<thead><tr>");
    for word in &table.head {
        // Who has a page read out is not told of a head that says nothing.
        let cell = if word.is_empty() { "td" } else { "th" };
        put(out, format_args!("<{cell}>{}</{cell}>", marked(word)));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in &table.rows {
        out.push_str("<tr>");
        for (column, cell) in row.iter().enumerate() {
            let large =
                if table.large.contains(&column) { " class=\"large\"" } else { "" };
            put(out, format_args!("<td{large}>{}</td>", marked(cell)));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n");
}

/// What stands at the foot of every printed page.
fn foot(sheets: &Sheets) -> String {
    let name = super::file_stem(&sheets.name);
    let what = other_than_plan(sheets);
    format!(
        "@page {{ margin-bottom: 14mm; @bottom-right {{ font: 9pt Helvetica, Arial, sans-serif; \
         content: \"{name}, {what}plan {}, page \" counter(page) \" of \" counter(pages); }} }}\n",
        sheets.id
    )
}

/// What sheets are that nobody must take for the plan, as it stands before the plan's id.
fn other_than_plan(sheets: &Sheets) -> String {
    if sheets.what == PLAN { String::new() } else { format!("{} to ", sheets.what) }
}

/// A picture within the page: its size is left to the style.
fn picture(out: &mut String, picture: &Picture) {
    put(out, format_args!("<figure>\n{}</figure>\n", of_any_size(&svg(&picture.scene))));
}

/// A picture of a page whose size is left to the style.
pub(super) fn of_any_size(svg: &str) -> String {
    svg.replacen("width=\"297mm\" height=\"210mm\" ", "", 1)
}

/// A picture among text: over the whole width, so high in mm.
fn as_high_as(svg: &str, high: f64) -> String {
    let size = svg.find("width=").zip(svg.find("viewBox="));
    let Some((from, to)) = size else { return svg.to_owned() };
    format!("{}width=\"100%\" height=\"{high:.1}mm\" {}", &svg[..from], &svg[to..])
}

/// The style of the sheets, for a page that shows them one by one.
pub(super) fn style() -> String {
    format!("{}{STYLE}", measures())
}

/// One of the sheets, by its index.
pub(super) fn leaf(sheets: &Sheets, index: usize) -> String {
    let mut out = String::new();
    let count = sheets.pages.len();
    section(&mut out, sheets, &sheets.pages[index], (index + 1, count));
    out
}

/// A text fit for HTML, `[a]` set as the letter of a footnote.
fn marked(text: &str) -> String {
    let mut text = escaped(text);
    for letter in 'a'..='z' {
        let plain = format!(" [{letter}]");
        if text.contains(&plain) {
            text = text.replace(&plain, &format!("<sup> {letter}</sup>"));
        }
    }
    text
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
