//! The plan and the proof as text and bytes: bench sheets, pictures, data.
//!
//! Only this room turns things into the view of the person at the bench.

mod data;

mod phrase;

mod prepare;

mod picture;

mod plain;

mod model;

mod pages;

mod hold;

mod handout;

mod answers;

mod bench;

mod html;

mod markdown;

mod look;

mod leaf;

mod pattern;

mod wedges;

mod joint;

mod set_out;

mod standing;

mod steps;

mod test_piece;

#[cfg(test)]
mod fixture;

pub use answers::Answer;
pub use data::{Data, data};
pub use joint::{JointJob, joint_bundle};
pub use leaf::{Drawn, Leaf, Leaves, Seen, leaf_style};
pub use look::Look;
pub use pattern::{PageSize, Pattern, PatternOf, Printer, pattern};
pub use picture::picture;
pub use plain::{bit_outline, drawing_marked, parts_outline};
pub use set_out::{LayoutAsk, layout_bundle};
pub use standing::{Standing, standing};
pub use steps::{ProgramLine, Stepped, stepped};
pub use test_piece::{TestPiece, test_piece_bundle};
pub use wedges::wedge_bundle;

use crate::draw::svg;
use crate::plan::Plan;
use crate::prove::ProvedProgram;
use crate::read::FileKind;
use crate::shop::{Machine, Shop};
use std::fmt::Write;

/// All files of one plan, ready to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct Bundle {
    /// The job's name as it begins every file's name.
    pub name: String,
    /// The files: their names and what they hold.
    pub files: Vec<(String, Vec<u8>)>,
}

impl Bundle {
    /// The same with only files of these kinds; none named means all.
    #[must_use]
    pub fn only(mut self, kinds: &[FileKind]) -> Self {
        let wanted = |name: &str| kinds.is_empty() || kinds.contains(&kind_of(name));
        self.files.retain(|(name, _)| wanted(name));
        self
    }
}

/// The kind of a file of a bundle, by how its name ends.
fn kind_of(name: &str) -> FileKind {
    let pages = ["-bench.html", "-handout.html", "-answers.html"];
    if pages.iter().any(|end| name.ends_with(end)) {
        FileKind::Page
    } else if name.ends_with("-bench.md") {
        FileKind::Text
    } else if name.ends_with("-plan.json") {
        FileKind::Data
    } else if name.contains("-picture-") {
        FileKind::Pictures
    } else {
        FileKind::Program
    }
}

/// Makes all files of a plan; `id` stands on every sheet.
pub fn bundle(
    plan: &Plan,
    shop: &Shop,
    program: Option<&ProvedProgram>,
    id: &str,
) -> Bundle {
    let made = Made { plan, shop, program, id };
    made.bundle(None)
}

/// The same for a plan of a joint's halves, with the joint's own sheets.
pub fn bundle_with_joint(
    plan: &Plan,
    shop: &Shop,
    program: Option<&ProvedProgram>,
    joint: &JointJob<'_>,
) -> Bundle {
    let made = Made { plan, shop, program, id: joint.id };
    made.bundle(Some(*joint))
}

/// What is seen of a plan before its sheets are read, while these pictures are in sight.
pub fn seen(
    (plan, shop): (&Plan, &Shop),
    program: Option<&ProvedProgram>,
    id: &str,
    in_sight: &[String],
) -> Seen {
    let made = Made { plan, shop, program, id };
    made.asked(None, |job| Seen::of(job, in_sight))
}

/// The sheets of a plan one by one, with those of its joint, and all its pictures.
pub fn leaves(
    (plan, shop): (&Plan, &Shop),
    program: Option<&ProvedProgram>,
    joint: Option<&JointJob<'_>>,
    id: &str,
) -> Leaves {
    let made = Made { plan, shop, program, id };
    made.worded(joint.copied(), Leaves::of)
}

/// What the files are made from.
struct Made<'a> {
    plan: &'a Plan,
    shop: &'a Shop,
    program: Option<&'a ProvedProgram>,
    id: &'a str,
}

impl Made<'_> {
    /// The sheets and what they were made from, turned into something.
    fn worded<T>(
        &self,
        joint: Option<JointJob<'_>>,
        turned: impl FnOnce(&bench::Job<'_>, &model::Sheets) -> T,
    ) -> T {
        self.asked(joint, |job| turned(job, &bench::sheets(job)))
    }

    /// What sheets are made from, turned into something.
    fn asked<T>(
        &self,
        joint: Option<JointJob<'_>>,
        turned: impl FnOnce(&bench::Job<'_>) -> T,
    ) -> T {
        let Self { plan, shop, program, id } = *self;
        let name = file_stem(&shop.name);
        let names = program.map_or_else(Vec::new, |it| program_names(shop, it));
        let job = bench::Job {
            plan,
            shop,
            program: program.map(|proved| bench::Written { files: &names, proved }),
            joint,
            id,
            stem: &name,
        };
        turned(&job)
    }

    fn bundle(&self, joint: Option<JointJob<'_>>) -> Bundle {
        self.worded(joint, |job, sheets| self.files(job, sheets))
    }

    fn files(&self, job: &bench::Job<'_>, sheets: &model::Sheets) -> Bundle {
        let Self { plan, shop, program, id } = *self;
        let name = job.stem.to_owned();
        let mut files = vec![
            (format!("{name}-bench.html"), html::written(sheets).into_bytes()),
            (format!("{name}-bench.md"), markdown::written(sheets).into_bytes()),
        ];
        files.extend(pictures(sheets));
        if shop.sheets.handout {
            files.extend(handout::files(job, &sheets.units));
        }
        let data = data_text(&data(plan, shop, program, id));
        files.push((format!("{name}-plan.json"), data.into_bytes()));
        let texts = program.map_or(&[][..], ProvedProgram::texts);
        let texts = texts.iter().map(|text| text.as_bytes().to_vec());
        let names = job.program.map_or(&[][..], |written| written.files);
        files.extend(names.iter().cloned().zip(texts));
        Bundle { name, files }
    }
}

/// The pictures that are files of their own, as the sheets show them.
fn pictures(sheets: &model::Sheets) -> impl Iterator<Item = (String, Vec<u8>)> {
    let blocks = sheets.pages.iter().flat_map(|page| &page.blocks);
    blocks.filter_map(|block| match block {
        model::Block::Picture(picture) => {
            Some((picture.file.clone()?, svg(&picture.scene).into_bytes()))
        }
        _ => None,
    })
}

/// The name of a set-up's picture, by the set-up's index.
fn picture_name(stem: &str, set_up: usize) -> String {
    format!("{stem}-picture-{}.svg", set_up + 1)
}

/// Data as text, one field a line.
fn data_text(data: &impl serde::Serialize) -> String {
    serde_json::to_string_pretty(data).expect("plain data always becomes text") + "\n"
}

/// The names of the programs' files, with numbers where there are several.
fn program_names(shop: &Shop, program: &ProvedProgram) -> Vec<String> {
    let (stem, extension) = (file_stem(&shop.name), program.extension());
    let count = program.texts().len();
    let what = shop.machine.as_ref().map_or("template", Machine::cuts);
    let name = |number: usize| match count {
        1 => format!("{stem}-{what}.{extension}"),
        _ => format!("{stem}-{what}-{number}.{extension}"),
    };
    (1..=count).map(name).collect()
}

/// The most letters of a name that begin a file's name: disks stop at 255 bytes (from memory).
const MOST_LETTERS: usize = 60;

/// A job's name as the start of a file's name: letters, figures, `-` and `_`; never empty.
pub fn file_stem(name: &str) -> String {
    let plain = |letter: char| letter.is_alphanumeric() || "-_".contains(letter);
    let words = name.split(|letter| !plain(letter)).filter(|word| !word.is_empty());
    let stem: String =
        words.collect::<Vec<_>>().join("-").chars().take(MOST_LETTERS).collect();
    if stem.is_empty() { "part".to_owned() } else { stem }
}

/// Adds formatted text.
fn put(out: &mut String, text: std::fmt::Arguments<'_>) {
    out.write_fmt(text).expect("a String takes all text");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Paper, Unit};

    fn text(bundle: &Bundle, end: &str) -> String {
        let found = bundle.files.iter().find(|(name, _)| name.ends_with(end));
        let (_, bytes) = found.expect("the file is there");
        String::from_utf8(bytes.clone()).expect("text")
    }

    fn made(paper: Paper) -> Bundle {
        let mut shop = fixture::shop();
        shop.paper = paper;
        let holdings = fixture::holdings();
        bundle(&fixture::plan(vec![holdings[0], holdings[2]]), &shop, None, "a1b2-c3")
    }

    /// The words of a page or picture without its tags and style.
    fn words(text: &str) -> String {
        let body = text.split("</style>").last().unwrap_or(text);
        let mut out = String::new();
        for part in body.split('<').skip(1) {
            out.push_str(part.split_once('>').map_or("", |(_, words)| words));
            out.push(' ');
        }
        out
    }

    #[test]
    fn a_bundle_holds_the_sheets_the_pictures_and_the_data() {
        let names: Vec<String> =
            made(Paper::MM).files.into_iter().map(|(name, _)| name).collect();
        assert_eq!(
            names,
            [
                "notched-square-bench.html",
                "notched-square-bench.md",
                "notched-square-picture-1.svg",
                "notched-square-picture-2.svg",
                "notched-square-plan.json",
            ]
        );
    }

    #[test]
    fn without_a_program_there_is_not_one_machine_word() {
        for (name, bytes) in made(Paper::MM).files {
            let [.., kind] = name.split('.').collect::<Vec<_>>()[..] else {
                panic!("{name}")
            };
            if kind == "json" {
                continue;
            }
            let text = String::from_utf8(bytes).expect("text").to_lowercase();
            let text = if kind == "md" { text } else { words(&text) };
            for word in [
                "machine", "cnc", "g-code", "rpm", "spindle", "end mill", "plunge",
                "program",
            ] {
                assert!(!text.contains(word), "{word} in {name}");
            }
        }
    }

    #[test]
    fn every_sheet_has_the_id_and_the_cautions() {
        let bundle = made(Paper::MM);
        let page = text(&bundle, ".html");
        let n_sheets = page.matches("<section").count();
        assert_eq!(
            n_sheets, 9,
            "set-up sheet, stock, layout, template, saw, two to rout, hand, checks"
        );
        assert_eq!(page.matches("</b>plan a1b2-c3, sheet").count(), n_sheets, "the id");
        assert_eq!(page.matches("If it looks wrong, it is: stop.").count(), n_sheets);
        let markdown = text(&bundle, ".md");
        let with_pictures = n_sheets + page.matches("<figure").count();
        assert_eq!(markdown.matches("\n## ").count(), with_pictures, "the same sheets");
        let ids = markdown.matches("*Plan a1b2-c3, sheet").count();
        assert_eq!(ids, with_pictures, "the id");
        for end in ["picture-1.svg", "picture-2.svg"] {
            let picture = text(&bundle, end);
            assert!(picture.contains("Plan a1b2-c3"), "the id on {end}");
        }
    }

    #[test]
    fn a_sheet_has_one_system_of_units() {
        let inch = words(&text(&made(Paper { unit: Unit::Inch, fraction: 32 }), ".html"));
        assert!(!inch.contains(" mm"), "{inch}");
        let mm = words(&text(&made(Paper::MM), ".html"));
        assert!(!mm.contains(" in ("), "{mm}");
        assert!(!mm.contains("/32"), "no fractions beside millimetres");
    }

    #[test]
    fn the_page_asks_for_nothing_from_outside() {
        let page = text(&made(Paper::MM), ".html");
        for word in ["<script", "<link", "href", "src=", "@import"] {
            assert!(!page.contains(word), "{word}");
        }
        assert_eq!(page.matches("url(").count(), page.matches("url(#in-").count());
    }

    #[test]
    fn a_second_set_up_on_face_b_says_so() {
        let bundle = made(Paper::MM);
        let second = words(&text(&bundle, "picture-2.svg"));
        assert!(second.contains("FACE B UP, drawn as seen on face B"), "{second}");
        assert!(second.contains("wood is on the LEFT of the"), "by hand as in the first");
    }

    fn wished(change: impl FnOnce(&mut Shop)) -> Bundle {
        let mut shop = fixture::shop();
        change(&mut shop);
        let holdings = fixture::holdings();
        bundle(&fixture::plan(vec![holdings[0], holdings[2]]), &shop, None, "a1b2-c3")
    }

    #[test]
    fn the_work_stops_where_the_data_says_and_only_when_asked() {
        let page = |bundle: &Bundle| {
            text(bundle, "-bench.html").matches("class=\"hold\"").count()
        };
        let held = wished(|shop| shop.sheets.hold_points = true);
        let data: serde_json::Value =
            serde_json::from_str(&text(&held, ".json")).expect("data");
        let named: Vec<&str> = data["hold_points"]
            .as_array()
            .expect("a list")
            .iter()
            .filter_map(serde_json::Value::as_str)
            .collect();
        let has_saw = text(&held, ".md").contains("## Saw");
        let mut expected = vec!["template", "set-up 1", "set-up 2"];
        if has_saw {
            expected.insert(1, "sawn blank");
        }
        assert_eq!(named, expected, "in working order");
        assert_eq!(page(&held), named.len(), "each on its sheet");
        assert_eq!(
            text(&held, ".md").matches("**STOP:**").count(),
            named.len(),
            "as text too"
        );
        assert_eq!(page(&wished(|_| {})), 0, "nobody asked");
    }

    /// Basis: geometry, by the set-up's own words for the way round.
    #[test]
    fn a_handout_gives_nothing_away_and_its_answers_are_those_of_the_plan() {
        let bundle = wished(|shop| shop.sheets.handout = true);
        let (pupil, answers) =
            (text(&bundle, "-handout.html"), text(&bundle, "-answers.html"));
        let body = |page: &str| words(page);
        for told in [
            "uphill in",
            "backed where",
            "counter-clockwise",
            "enlarged",
            "end 1",
            "pass 1",
        ] {
            assert!(!body(&pupil).contains(told), "{told}");
        }
        let table = pupil.split("<table>").nth(1).expect("a table");
        let table = table.split("</table>").next().expect("it ends");
        for band in ["along", "downhill", "uphill", "end grain"] {
            assert!(!table.contains(band), "{band} is for the pupil to find");
        }
        for page in [&pupil, &answers] {
            assert!(page.contains("othing is routed by this sheet"), "no plan");
            assert!(!page.contains("bench sheets, plan"), "its title says what it is");
        }
        assert!(pupil.contains("EXERCISE, NOT A PLAN"), "on the picture too");
        let plan = fixture::plan(vec![fixture::holdings()[0], fixture::holdings()[2]]);
        for stretch in &plan.stretches {
            let crate::plan::DoneBy::Pass(number) = stretch.done_by else { continue };
            let set_up = plan.set_ups[plan.passes[number - 1].set_up];
            let opening = stretch.span.on == 1;
            let seen =
                if opening { set_up.seen_opening() } else { set_up.seen_outside() };
            let way = match seen {
                crate::plan::Turn::Ccw => "counter-clockwise",
                crate::plan::Turn::Cw => "clockwise",
            };
            let row = format!("<td class=\"large\">{}</td>", stretch.name);
            let row = answers.split(&row).nth(1).expect("its row");
            let row = row.split("</tr>").next().expect("it ends");
            assert!(row.contains(&format!("<td>{way}</td>")), "{}: {row}", stretch.name);
        }
        assert!(!wished(|_| {}).files.iter().any(|(name, _)| name.contains("handout")));
    }

    /// Basis: the router and the grain do not know who holds the router.
    #[test]
    fn for_the_left_handed_only_words_change() {
        let (right, left) =
            (wished(|_| {}), wished(|shop| shop.sheets.left_handed = true));
        assert_eq!(text(&right, ".json"), text(&left, ".json"), "the same plan");
        let drawn = |bundle: &Bundle| {
            let picture = text(bundle, "picture-1.svg");
            picture.lines().filter(|line| !line.contains("<text")).count()
        };
        assert_eq!(drawn(&right), drawn(&left), "nothing drawn is new or gone");
        let says = "Left-handed: drawing NOT mirrored";
        assert!(text(&left, ".md").contains(says), "in words");
        assert!(
            words(&text(&left, "picture-1.svg")).contains("NOT mirrored"),
            "on the picture"
        );
        assert!(!text(&right, ".md").contains(says), "and only there");
    }

    #[test]
    fn the_set_up_sheet_is_one_page_and_has_its_fields_in_order() {
        let page = text(&made(Paper::MM), "-bench.html");
        let first = page.split("<section").nth(1).expect("the first sheet");
        assert!(first.contains(">Set-up sheet<"), "it is the first");
        let fields = [
            "Drawn by",
            "class=\"drawing\"",
            ">Stock<",
            ">Bit<",
            ">Pass<",
            ">No.<",
            ">Saw<",
            ">Corners, from the ref. corner round<",
            ">Check the template<",
        ];
        let at: Vec<Option<usize>> =
            fields.iter().map(|field| first.find(field)).collect();
        let found: Vec<usize> = at.iter().flatten().copied().collect();
        assert!(found.is_sorted(), "{at:?}");
        assert!(6 <= found.len() && at[0].is_some(), "what the job has: {at:?}");
        assert_eq!(page.matches(">Set-up sheet<").count(), 1, "one page");
    }

    #[test]
    fn a_name_becomes_a_plain_start_of_file_names() {
        assert_eq!(file_stem("trestle foot / left"), "trestle-foot-left");
        assert_eq!(file_stem("../.."), "part");
        assert_eq!(file_stem("Ä 47"), "Ä-47");
    }
}
