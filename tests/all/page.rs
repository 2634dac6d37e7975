//! The page from outside: the served process is asked over HTTP, as a browser would, and as
//! somebody else would who must not.

#![expect(clippy::disallowed_methods, reason = "reads what the command wrote")]

use crate::command::{Folder, here, spelch};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};

/// `spelch open`, ended when the test ends.
struct Page {
    process: Child,
    /// `127.0.0.1:7717`.
    host: String,
    token: String,
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// An answer: its status, its head, its body.
struct Answer {
    status: u16,
    head: String,
    body: Vec<u8>,
}

impl Answer {
    fn json(&self) -> Value {
        serde_json::from_slice(&self.body).expect("the body is JSON")
    }
}

impl Page {
    /// Opens the page with these words behind `open`.
    fn open(words: &[&str]) -> Self {
        Self::with_settings(None, words)
    }

    /// The same with the settings in this folder.
    fn with_settings(settings: Option<&Folder>, words: &[&str]) -> Self {
        let settings = settings.map(|folder| ("XDG_CONFIG_HOME", folder.0.as_path()));
        let mut process = Command::new(env!("CARGO_BIN_EXE_spelch"))
            .envs(settings)
            .args(["open", "--port", "0"])
            .args(words)
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let said = process.stderr.take().expect("it speaks");
        let address = BufReader::new(said)
            .lines()
            .map_while(Result::ok)
            .find_map(|line| line.trim().strip_prefix("http://").map(str::to_owned))
            .expect("it says where it listens");
        let (host, token) =
            address.trim_end_matches('/').split_once('/').expect("a token");
        Self { process, host: host.to_owned(), token: token.to_owned() }
    }

    /// A request with a head of one's own.
    fn ask_as(&self, first: &str, head: &str, body: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(&self.host).expect("it listens");
        let length = body.len();
        let head = format!(
            "{first} HTTP/1.1\r\n{head}Content-Length: {length}\r\nConnection: close\r\n\r\n"
        );
        stream.write_all(head.as_bytes()).expect("it listens");
        // What is too large may be refused before all of it was sent.
        let _ = stream.write_all(body);
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        let end = answer.windows(4).position(|four| four == b"\r\n\r\n").expect("a head");
        let head = String::from_utf8_lossy(&answer[..end]).into_owned();
        let status = head.split(' ').nth(1).and_then(|code| code.parse().ok());
        let body = answer[end + 4..].to_vec();
        let body = if head.to_lowercase().contains("transfer-encoding: chunked") {
            whole(&body)
        } else {
            body
        };
        Answer { status: status.expect("a status"), head, body }
    }

    fn ask(&self, method: &str, path: &str, body: &[u8]) -> Answer {
        let first = format!("{method} /{}/{path}", self.token);
        self.ask_as(&first, &format!("Host: {}\r\n", self.host), body)
    }

    fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &[])
    }

    fn post(&self, path: &str, body: &Value) -> Value {
        let answer = self.ask("POST", path, body.to_string().as_bytes());
        assert_eq!(answer.status, 200, "{path}: {body}");
        answer.json()
    }

    /// What comes of a desk after a change: the last line.
    fn plan(&self, desk: &Value, change: &Value) -> Value {
        let body = json!({ "desk": desk, "change": change }).to_string();
        let answer = self.ask("POST", "plan", body.as_bytes());
        assert_eq!(answer.status, 200, "{change}");
        let text = String::from_utf8(answer.body).expect("text");
        let last = text.lines().last().expect("a line");
        serde_json::from_str(last).expect("a line of JSON")
    }

    /// The plan of a desk after a change.
    fn shown(&self, desk: &Value, change: &Value) -> Value {
        let came = self.plan(desk, change);
        assert!(came["shown"].is_object(), "{change}: {}", came["problems"]);
        came["shown"].clone()
    }

    fn sample(&self, name: &str) -> Value {
        self.post("start", &json!({ "sample": name }))
    }

    /// A file handed over: its digest.
    fn hand_over(&self, bytes: &[u8]) -> String {
        let answer = self.ask("POST", "file", bytes);
        answer.json()["digest"].as_str().expect("a digest").to_owned()
    }
}

/// A body that came in chunks.
fn whole(chunks: &[u8]) -> Vec<u8> {
    let (mut rest, mut body) = (chunks, Vec::new());
    while let Some(end) = rest.windows(2).position(|two| two == b"\r\n") {
        let size = String::from_utf8_lossy(&rest[..end]).into_owned();
        let size = usize::from_str_radix(&size, 16).expect("a size");
        body.extend_from_slice(&rest[end + 2..end + 2 + size]);
        rest = &rest[end + 4 + size..];
        if size == 0 {
            break;
        }
    }
    body
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} is a text"))
}

fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("{key} is a list"))
}

#[test]
fn only_the_page_itself_is_let_in() {
    let page = Page::open(&[]);
    let (host, token) = (&page.host, &page.token);
    let own = format!("Host: {host}\r\n");
    assert_eq!(page.get("").status, 200, "the page");
    assert_eq!(token.len(), 32, "128 bits");
    let status = |first: &str, head: &str| page.ask_as(first, head, &[]).status;
    let first = format!("GET /{token}/");
    for (first, head, expected) in [
        ("GET /", own.as_str(), 404),
        ("GET /0123456789abcdef0123456789abcdef/", &own, 404),
        (first.as_str(), "Host: example.org\r\n", 403),
        (&first, "Host: 127.0.0.1:1\r\n", 403),
        (&first, "", 400),
        (&first, &format!("{own}Origin: http://example.org\r\n"), 403),
        (&first, &format!("{own}Origin: null\r\n"), 403),
        (&first, &format!("{own}Origin: http://{host}\r\n"), 200),
    ] {
        let status = status(first, head);
        // A request without any host is answered as a bad one or as a foreign one.
        let is_refused = expected == 400 && status == 403;
        assert!(status == expected || is_refused, "{first} {head}: {status}");
    }
}

#[test]
fn every_answer_is_marked_and_asks_for_nothing_from_outside() {
    let page = Page::open(&[]);
    for path in ["", "page.css", "page.js", "sheet.css", "offers", "no-such-file"] {
        let head = page.get(path).head.to_lowercase();
        for mark in [
            "content-security-policy: default-src 'none'",
            "frame-ancestors 'none'",
            "x-content-type-options: nosniff",
            "referrer-policy: no-referrer",
            "cache-control: no-store",
        ] {
            assert!(head.contains(mark), "{path}: {mark} in {head}");
        }
        assert!(!head.contains("access-control"), "{path}: nobody else reads it");
    }
    let index = String::from_utf8(page.get("").body).expect("text");
    let outside = ["http:", "https:", "//", "style=\"", "onclick"];
    for word in outside {
        assert!(!index.contains(word), "{word} in the page");
    }
}

#[test]
fn what_is_too_large_is_refused() {
    let page = Page::open(&[]);
    let large = vec![b'a'; 20_000_001];
    assert_eq!(page.ask("POST", "file", &large).status, 413, "a file");
    assert_eq!(page.ask("POST", "plan", &large[..2_000_001]).status, 413, "a desk");
    assert_eq!(page.ask("POST", "plan", b"{").status, 400, "no desk");
    let desk = json!({ "job": "", "files": { "a.svg": "0".repeat(64) } });
    let body = json!({ "desk": desk, "change": null }).to_string();
    let answer = page.ask("POST", "plan", body.as_bytes());
    assert_eq!(answer.status, 409, "a file that is not here");
    assert_eq!(answer.json()["missing"], json!(["0".repeat(64)]));
    assert_eq!(page.get("file/../../Cargo.toml").status, 404, "no file of the machine");
}

#[test]
fn every_sample_is_offered_and_opens() {
    let page = Page::open(&[]);
    let offers = page.get("offers").json();
    let offered: Vec<&str> =
        list(&offers, "samples").iter().map(|one| text(one, "name")).collect();
    for entry in std::fs::read_dir(here("samples")).expect("the samples") {
        let file = entry.expect("an entry").file_name().to_string_lossy().into_owned();
        let Some((name, end)) = file.rsplit_once('.') else { continue };
        let is_sample = matches!(end, "toml" | "svg" | "dxf") && name != "rack";
        assert!(!is_sample || offered.contains(&name), "{name} among {offered:?}");
    }
    for name in offered {
        let shown = page.shown(&page.sample(name), &Value::Null);
        let sheets = page.get(&format!("made/{}/sheets", text(&shown, "id"))).json();
        assert!(!list(&sheets, "sheets").is_empty(), "{name} has sheets");
        assert!(!list(&shown, "pictures").is_empty(), "{name} has drawings");
        for sheet in list(&sheets, "sheets") {
            assert!(!text(sheet, "html").contains("style=\""), "{name}: no style inside");
        }
        assert_eq!(cautioned(&shown), at_the_feet(&sheets), "{name}: its cautions");
        answered(name, &shown, &sheets);
    }
    for joint in list(&offers, "joints") {
        let wish = json!({ "joint": joint["name"], "units": "in" });
        let shown = page.shown(&page.post("start", &wish), &Value::Null);
        assert!(text(joint, "svg").contains("<path"), "{joint} is drawn");
        assert!(!list(&shown, "pictures").is_empty(), "{joint} is planned");
    }
}

/// The cautions that stand beside a plan.
fn cautioned(shown: &Value) -> BTreeSet<String> {
    list(shown, "cautions").iter().filter_map(Value::as_str).map(str::to_owned).collect()
}

/// The cautions at the feet of the sheets, without the letters of their footnotes.
fn at_the_feet(sheets: &Value) -> BTreeSet<String> {
    let feet = list(sheets, "sheets").iter().filter_map(|sheet| {
        let (_, foot) = text(sheet, "html").split_once("<footer>")?;
        Some(foot.split_once("</footer>")?.0)
    });
    let lines = feet.flat_map(str::lines).filter_map(|line| {
        let words = line.strip_prefix("<p>")?.strip_suffix("</p>")?;
        (!words.starts_with("Where figures come from")).then_some(words)
    });
    let plain = lines.map(|words| {
        let mut parts = words.split("<sup>");
        let first = parts.next().unwrap_or("").to_owned();
        parts.fold(first, |plain, part| {
            plain.trim_end().to_owned()
                + part.split_once("</sup>").map_or("", |(_, rest)| rest)
        })
    });
    plain.collect()
}

/// Whatever can be pointed at in the drawings has an answer.
fn answered(name: &str, shown: &Value, sheets: &Value) {
    let mut pointed = 0;
    assert_eq!(list(shown, "pictures")[0], list(sheets, "pictures")[0], "{name}");
    for picture in list(sheets, "pictures") {
        for part in text(picture, "svg").split("data-answer=\"").skip(1) {
            let key = part.split('"').next().unwrap_or("");
            let answer = &shown["answers"][key];
            assert!(!list(answer, "lines").is_empty(), "{name}: {key} answers");
            pointed += 1;
        }
    }
    assert!(3 < pointed, "{name}: {pointed} places can be pointed at");
    let stretches = shown["answers"].as_object().expect("answers");
    assert!(stretches.keys().any(|key| key.starts_with("stretch-")), "{name}");
}

/// The files of a plan as the page hands them out, and as the command line writes them from the
/// job as the page hands it out.
#[test]
fn the_job_that_is_handed_out_makes_the_same_files() {
    let page = Page::open(&[]);
    for (name, beside, change) in [
        ("trestle-foot", &[][..], json!({ "grain": 7 })),
        ("house-sign", &[], json!({ "units": "in" })),
        ("pole-bracket", &["rack.toml"], Value::Null),
        ("ogee-bracket", &["ogee-bracket.svg"], json!({ "set": ["thick", "3/4in"] })),
        ("lapped-stretcher", &[], json!({ "role": ["right", "goes on"] })),
    ] {
        let shown = page.shown(&page.sample(name), &change);
        let made = |file: &str| {
            let answer = page.get(&format!("made/{}/{file}", text(&shown, "id")));
            assert_eq!(answer.status, 200, "{file}");
            assert!(answer.head.contains("attachment"), "{file} is to be kept");
            answer.body
        };
        let folder = Folder::new();
        std::fs::create_dir_all(&folder.0).expect("a folder");
        for file in beside {
            let from = here(&format!("samples/{file}"));
            std::fs::copy(from, folder.0.join(file)).expect("a copy");
        }
        let job = folder.0.join(format!("{name}.toml"));
        std::fs::write(&job, made(&format!("{name}.toml"))).expect("the job");
        let out = folder.0.join("out");
        let [job, out_text] =
            [&job, &out].map(|path| path.to_string_lossy().into_owned());
        let said = spelch(&["plan", &job, "--out", &out_text]);
        assert_eq!(said.code, 0, "{name}:\n{}", said.talk);
        let mut written = 0;
        for entry in std::fs::read_dir(&out).expect("the plan") {
            let path = entry.expect("an entry").path();
            let file = path.file_name().expect("a name").to_string_lossy().into_owned();
            let bytes = std::fs::read(&path).expect("a file");
            assert!(bytes == made(&file), "{name}: {file} is the same, byte for byte");
            written += 1;
        }
        let listed = list(&shown, "files").iter();
        let of_plan = listed
            .filter(|file| !["pattern", "job", "rack"].contains(&text(file, "kind")));
        assert_eq!(written, of_plan.count(), "{name}: all of them");
        assert!(made(&format!("{name}-pattern-a4.pdf")).starts_with(b"%PDF"), "{name}");
    }
}

#[test]
fn a_drawing_is_begun_with_and_a_bad_one_is_marked() {
    let page = Page::open(&[]);
    let begun = |file: &str| {
        let bytes = std::fs::read(here(&format!("samples/{file}"))).expect("a sample");
        let name = file.rsplit('/').next().unwrap_or(file);
        let wish = json!({
            "drawing": name, "digest": page.hand_over(&bytes), "units": "mm",
        });
        page.plan(&page.post("start", &wish), &Value::Null)
    };
    let good = begun("ogee-bracket.svg");
    assert_eq!(good["shown"]["name"], "ogee-bracket", "{}", good["problems"]);
    let bad = begun("bad/crossing.svg");
    assert_eq!(bad["problems"][0]["id"], "outline-crosses");
    assert!(text(&bad, "drawing").contains("#0072b2"), "its place is marked");
    let job = "bits = [\"1/2in pattern\"]\n[outline]\ndrawing = \"gone.svg\"\n";
    let wish = json!({ "job": job, "file": "shelf.toml" });
    let gone = page.plan(&page.post("start", &wish), &Value::Null);
    assert_eq!(gone["wants"], "gone.svg", "{gone}");
    let named = text(&gone["desk"], "job").starts_with("name = \"shelf\"");
    assert!(named, "called after its file");
}

#[test]
fn a_program_that_is_refused_is_not_handed_out() {
    let page = Page::open(&[]);
    let proved = page.shown(&page.sample("house-sign"), &Value::Null);
    assert_eq!(proved["programs"][0]["proved"], true, "{}", proved["programs"]);
    let steps = page.get(&format!("made/{}/steps/0", text(&proved, "id"))).json();
    let lines = list(&steps, "steps");
    assert_eq!(
        proved["programs"][0]["lines"].as_u64().and_then(|n| usize::try_from(n).ok()),
        Some(lines.len()),
        "every line"
    );
    let moves = lines.iter().filter(|line| line["path"].is_string()).count();
    assert!(50 < moves, "{moves} lines have a way");
    let small = json!({ "set": ["machine.blank", "50x50mm"] });
    let refused = page.shown(&proved["desk"], &small);
    assert_eq!(refused["refused"]["id"], "blank-too-small");
    assert!(list(&refused, "programs").is_empty(), "no program");
    let is_program = |file: &Value| text(file, "kind") == "program";
    assert!(!list(&refused, "files").iter().any(is_program), "none to keep");
    let file = format!("made/{}/house-sign-template.nc", text(&refused, "id"));
    assert_eq!(page.get(&file).status, 404, "nor by its name");
}

#[test]
fn a_request_that_nobody_waits_for_ends_and_the_next_is_answered() {
    let page = Page::open(&[]);
    let body = json!({ "desk": page.sample("trestle-foot"), "change": null }).to_string();
    let mut gone = TcpStream::connect(&page.host).expect("it listens");
    let head = format!(
        "POST /{}/plan HTTP/1.1\r\nHost: {}\r\nContent-Length: {}\r\n\r\n{body}",
        page.token,
        page.host,
        body.len()
    );
    gone.write_all(head.as_bytes()).expect("it listens");
    drop(gone);
    let shown = page.shown(&page.sample("shelf-end"), &Value::Null);
    assert_eq!(shown["name"], "shelf-end", "another worker plans it");
}

#[test]
fn the_input_lies_on_the_desk_with_its_files() {
    let input = here("samples/pole-bracket.toml");
    let page = Page::open(&[&input]);
    let given = page.get("offers").json()["given"].clone();
    assert!(given["files"]["rack.toml"].is_string(), "the rack it names: {given}");
    let digest = text(&given["files"], "rack.toml");
    let rack = std::fs::read(here("samples/rack.toml")).expect("a rack");
    assert!(page.get(&format!("file/{digest}")).body == rack, "its bytes");
    assert_eq!(page.shown(&given, &Value::Null)["name"], "pole-bracket");
}

/// A folder for settings with this rack in it.
#[cfg(unix)]
fn settings(rack: &str) -> Folder {
    let folder = Folder::new();
    let own = folder.0.join("spelch");
    std::fs::create_dir_all(&own).expect("a folder");
    std::fs::write(own.join("bits.toml"), rack).expect("a rack");
    folder
}

#[cfg(unix)]
const BY_NAME: &str = "units = \"mm\"\ngrain = \"long\"\nthick = 19\nbits = [\"half-flush\"]\n\
[outline]\nstart = [0, 0]\nsteps = [\"right 200\", \"up 80\", \"left 200\", \"close\"]\n";

#[cfg(unix)]
#[test]
fn the_first_desk_has_the_rack_that_jobs_share() {
    let rack = std::fs::read_to_string(here("samples/rack.toml")).expect("a rack");
    let (settings, folder) = (settings(&rack), Folder::new());
    std::fs::create_dir_all(&folder.0).expect("a folder");
    let input = folder.0.join("shelf.toml");
    std::fs::write(&input, BY_NAME).expect("a job");
    let page = Page::with_settings(Some(&settings), &[&input.to_string_lossy()]);
    let given = page.get("offers").json()["given"].clone();
    assert_eq!(page.shown(&given, &Value::Null)["name"], "shelf");
    // A job that names a file of its own waits for that one, whatever it is called.
    let job = format!("rack = \"bits.toml\"\n{BY_NAME}");
    let wish = json!({ "job": job, "file": "shelf.toml" });
    let begun = page.post("start", &wish);
    assert_eq!(page.plan(&begun, &Value::Null)["wants"], "bits.toml");
}

#[cfg(unix)]
#[test]
fn a_broken_rack_refuses_only_a_job_that_names_a_bit_of_it() {
    let settings = settings("[half-flush\n");
    let page = Page::with_settings(Some(&settings), &[]);
    assert_eq!(page.shown(&page.sample("shelf-end"), &Value::Null)["name"], "shelf-end");
    let wish = json!({ "job": BY_NAME, "file": "shelf.toml" });
    let came = page.plan(&page.post("start", &wish), &Value::Null);
    assert!(came["shown"].is_null(), "its bit is on no rack that can be read");
    let place = text(&came["problems"][0], "place");
    assert!(place.contains("bits.toml"), "it says where: {}", came["problems"]);
}

#[test]
fn a_rack_of_a_command_keeps_its_name_and_can_be_saved() {
    let (input, rack) = (here("samples/pole-bracket.toml"), here("samples/rack.toml"));
    let page = Page::open(&[&input, "--bits", &rack]);
    let given = page.get("offers").json()["given"].clone();
    assert!(text(&given, "job").contains("rack = \"rack.toml\""), "{given}");
    let shown = page.shown(&given, &Value::Null);
    let is_rack = |file: &Value| text(file, "name") == "rack.toml";
    assert!(list(&shown, "files").iter().any(is_rack), "it is offered");
    let made = page.get(&format!("made/{}/rack.toml", text(&shown, "id")));
    assert!(made.body == std::fs::read(&rack).expect("a rack"), "as it is");
}
