//! The house itself: imports go one way, files stay small, and only `files` and `cli` touch the
//! world outside.
//!
//! Every path in every source file is read with `syn`: imports, types, expressions, and the
//! words inside macros. A path leads to a room; the room must stand to the left of its own.

#![expect(clippy::disallowed_methods, reason = "reads the sources of this repository")]

use std::fs;
use std::path::{Path, PathBuf};
use syn::visit::Visit;

/// The rooms in the order in which they may import: each from those before it only.
const ROOMS: [&str; 20] = [
    "units", "diag", "geom", "read", "joint", "outline", "reach", "grain", "shop",
    "post", "prove", "plan", "path", "program", "draw", "sheet", "work", "files", "page",
    "cli",
];

/// All that `prove` may import: nothing it judges may vouch for itself.
const PROVE_MAY: [&str; 6] = ["units", "diag", "geom", "read", "shop", "post"];
/// Of `geom`, `prove` may use the plain types of its pieces and no method of offsetting.
const PROVE_MAY_OF_GEOM: [&str; 6] =
    ["Point", "Vector", "Piece", "Loop", "Bounds", "Span"];

/// A path as the law sees it: the module it stands in, and its segments from the crate's root.
struct Paths {
    /// The module being read: `["geom", "trim", "tests"]`.
    module: Vec<String>,
    found: Vec<Vec<String>>,
}

impl Paths {
    fn of(module: &[String], source: &str) -> Vec<Vec<String>> {
        let file = syn::parse_file(source).expect("the source parses");
        let mut paths = Self { module: module.to_vec(), found: Vec::new() };
        paths.visit_file(&file);
        paths.found
    }

    /// Keeps a path that starts at the crate's root, at this module or above it.
    fn keep(&mut self, segments: &[String]) {
        let mut base = match segments.first().map(String::as_str) {
            Some("crate" | "spelch") => Vec::new(),
            Some("self") => self.module.clone(),
            Some("super") => self.module[..self.module.len() - 1].to_vec(),
            _ => return,
        };
        let mut rest = &segments[1..];
        while rest.first().is_some_and(|segment| segment == "super") {
            base.pop();
            rest = &rest[1..];
        }
        base.extend(rest.iter().cloned());
        self.found.push(base);
    }

    fn keep_tree(&mut self, before: &[String], tree: &syn::UseTree) {
        let mut path = before.to_vec();
        match tree {
            syn::UseTree::Path(inner) => {
                path.push(inner.ident.to_string());
                self.keep_tree(&path, &inner.tree);
            }
            syn::UseTree::Name(name) => {
                path.push(name.ident.to_string());
                self.keep(&path);
            }
            syn::UseTree::Rename(name) => {
                path.push(name.ident.to_string());
                self.keep(&path);
            }
            syn::UseTree::Glob(_) => {
                path.push("*".to_owned());
                self.keep(&path);
            }
            syn::UseTree::Group(group) => {
                for tree in &group.items {
                    self.keep_tree(before, tree);
                }
            }
        }
    }
}

impl<'ast> Visit<'ast> for Paths {
    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        self.keep_tree(&[], &item.tree);
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let segments: Vec<String> =
            path.segments.iter().map(|segment| segment.ident.to_string()).collect();
        self.keep(&segments);
        syn::visit::visit_path(self, path);
    }

    fn visit_item_mod(&mut self, module: &'ast syn::ItemMod) {
        self.module.push(module.ident.to_string());
        syn::visit::visit_item_mod(self, module);
        self.module.pop();
    }

    /// Macros keep their words as text: every run of words joined by `::` is a path.
    fn visit_macro(&mut self, mac: &'ast syn::Macro) {
        let text = mac.tokens.to_string().replace(" :: ", "::");
        let is_word = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
        for run in text.split(|c| !is_word(c)).filter(|run| run.contains("::")) {
            let segments: Vec<String> = run.split("::").map(str::to_owned).collect();
            self.keep(&segments);
        }
        syn::visit::visit_macro(self, mac);
    }
}

/// What is wrong with the imports of one source file, a line each.
fn wrong_imports(module: &[String], source: &str) -> Vec<String> {
    let Some(own) =
        ROOMS.iter().position(|room| module.first().is_some_and(|m| m == room))
    else {
        return Vec::new();
    };
    let here = ROOMS[own];
    let mut wrong = Vec::new();
    for path in Paths::of(module, source) {
        let Some(there) =
            ROOMS.iter().position(|room| path.first().is_some_and(|p| p == room))
        else {
            continue;
        };
        let to = ROOMS[there];
        let in_geom = path.get(1).map_or("", String::as_str);
        let prove_may = to == here
            || (PROVE_MAY.contains(&to)
                && (to != "geom" || PROVE_MAY_OF_GEOM.contains(&in_geom)));
        if own < there || (here == "prove" && !prove_may) {
            wrong.push(format!("{} imports {}", module.join("::"), path.join("::")));
        }
    }
    wrong
}

fn sources() -> Vec<PathBuf> {
    let mut open = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    let mut files = Vec::new();
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(&folder).expect("src is there") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|end| end == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    assert!(20 < files.len(), "the walk found the sources");
    files
}

/// The module of a source file: `src/geom/trim.rs` is `["geom", "trim"]`.
fn module_of(file: &Path) -> Vec<String> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let inside = file.strip_prefix(&src).expect("a file of src").with_extension("");
    let mut module: Vec<String> =
        inside.iter().map(|part| part.to_string_lossy().into_owned()).collect();
    if module.last().is_some_and(|last| last == "mod") {
        module.pop();
    }
    module
}

#[test]
fn imports_go_one_way() {
    let wrong: Vec<String> = sources()
        .iter()
        .flat_map(|file| {
            let source = fs::read_to_string(file).expect("a source");
            wrong_imports(&module_of(file), &source)
        })
        .collect();
    assert!(wrong.is_empty(), "imports that point the wrong way:\n{}", wrong.join("\n"));
}

#[test]
fn planted_wrong_imports_are_caught() {
    let planted = include_str!("fixtures/wrong_import.rs.txt");
    let module = ["geom".to_owned(), "planted".to_owned()];
    let wrong = wrong_imports(&module, planted);
    let expected = ["plan::Plan", "shop::Bit", "grain::Band", "cli::run", "sheet::Sheet"];
    for path in expected {
        assert!(
            wrong.iter().any(|line| line.contains(path)),
            "{path} not among {wrong:?}"
        );
    }
    assert_eq!(wrong.len(), expected.len(), "and nothing else: {wrong:?}");

    let judge = ["prove".to_owned(), "cut".to_owned()];
    let wrong = wrong_imports(&judge, "use crate::geom::{Point, offset_loops};");
    assert_eq!(wrong.len(), 1, "the proof may not use what it judges: {wrong:?}");
}

#[test]
fn every_folder_of_src_is_a_room_of_the_law() {
    for file in sources() {
        let module = module_of(&file);
        let known = matches!(module[0].as_str(), "lib" | "main")
            || ROOMS.contains(&module[0].as_str());
        assert!(known, "{} is in no room", file.display());
    }
}

/// Whether the folder's front door takes this file in for tests only.
fn is_all_tests(file: &Path) -> bool {
    let name = file.file_stem().expect("a name").to_string_lossy();
    let door = fs::read_to_string(file.with_file_name("mod.rs")).unwrap_or_default();
    let mut lines = door.lines().map(str::trim).peekable();
    while let Some(line) = lines.next() {
        let next = lines.peek().copied().unwrap_or("");
        if line == "#[cfg(test)]" && next.ends_with(&format!("mod {name};")) {
            return true;
        }
    }
    false
}

#[test]
fn files_are_short_and_say_what_they_are() {
    for file in sources() {
        let source = fs::read_to_string(&file).expect("a source");
        assert!(source.starts_with("//!"), "{} opens with its doc", file.display());
        if is_all_tests(&file) {
            continue;
        }
        let lines = source.lines().take_while(|line| *line != "#[cfg(test)]").count();
        assert!(lines <= 500, "{} has {lines} lines before its tests", file.display());
    }
}

#[test]
fn only_files_and_cli_touch_the_world_outside() {
    let outside = [
        "std::fs",
        "std::env",
        "std::time",
        "std::process",
        "std::net",
        "tokio",
        "axum",
        "println!",
        "eprintln!",
    ];
    for file in sources() {
        let module = module_of(&file);
        if matches!(module[0].as_str(), "files" | "cli" | "main") {
            continue;
        }
        let source = fs::read_to_string(&file).expect("a source");
        let page: &[&str] = match module.join("::").as_str() {
            "page::server" | "page::patient" => &["std::net", "tokio", "axum"],
            "page::line" => &["std::process", "tokio"],
            _ => &[],
        };
        for word in outside.iter().filter(|word| !page.contains(word)) {
            assert!(!source.contains(word), "{} uses {word}", file.display());
        }
    }
}
