//! A machine whose axes are off, round the whole loop: the test piece is cut on it, measured, its
//! figures kept on the rack, and the job's program, run on the same machine, makes the part right.

#![expect(clippy::disallowed_methods, reason = "reads and writes programs and racks")]

use crate::command::{Folder, list, number, plan, spelch};
use serde_json::Value;
use std::f64::consts::TAU;
use std::fmt::Write;

/// Figures written with four decimals, arcs fitted to 0.001 and places rounded to 0.001 mm, or
/// chords that stray by 0.002.
const RIGHT: f64 = 0.01;

/// A place, in mm from the program's zero.
type Place = (f64, f64);

/// A machine as it really runs.
struct Machine {
    scale: Place,
    /// How far Y leans to the right over 1.
    lean: f64,
    kerf: f64,
}

impl Machine {
    /// Where on the wood it stands when it is told a place.
    fn stands(&self, (x, y): Place) -> Place {
        let up = self.scale.1 * y;
        (self.scale.0 * x + self.lean * up, up)
    }

    /// All that a program's mill goes along in the wood, as short straight ways.
    fn ways(&self, program: &str) -> Vec<[Place; 2]> {
        let mut ways = Vec::new();
        for step in spelch::prove::read(program).expect("it is legal").moves() {
            let (from, to) = (step.start(), step.end());
            if !(from[2].max(to[2]) < -0.5 && from[0].is_finite()) {
                continue;
            }
            let mut told = vec![(from[0], from[1])];
            if let Some((centre, sweep)) = step.arc() {
                let out = (from[0] - centre.x, from[1] - centre.y);
                let radius = out.0.hypot(out.1);
                // No chord strays by more than 0.0005 mm.
                let count = (sweep.abs() / (0.004 / radius).sqrt()).ceil();
                let turned = |n: f64| {
                    let (sin, cos) = (sweep * n / count).sin_cos();
                    (
                        centre.x + out.0 * cos - out.1 * sin,
                        centre.y + out.0 * sin + out.1 * cos,
                    )
                };
                let inner = (1u32..).map(f64::from).take_while(|n| *n < count);
                told.extend(inner.map(turned));
            }
            told.push((to[0], to[1]));
            let wood: Vec<Place> = told.into_iter().map(|at| self.stands(at)).collect();
            ways.extend(wood.windows(2).map(|pair| [pair[0], pair[1]]));
        }
        ways
    }
}

/// How far a place is from a straight way.
fn far((x, y): Place, [from, to]: &[Place; 2]) -> f64 {
    let way = (to.0 - from.0, to.1 - from.1);
    let square = way.0 * way.0 + way.1 * way.1;
    let out = (x - from.0, y - from.1);
    let share = if square > 0.0 { (out.0 * way.0 + out.1 * way.1) / square } else { 0.0 };
    let share = share.clamp(0.0, 1.0);
    (out.0 - way.0 * share).hypot(out.1 - way.1 * share)
}

/// How far a place is from the nearest of them.
fn nearest(at: Place, ways: &[[Place; 2]]) -> f64 {
    ways.iter().map(|way| far(at, way)).fold(f64::INFINITY, f64::min)
}

/// Where the wood ends, from a place within it this way: where a cut begins.
fn end_of_wood(ways: &[[Place; 2]], kerf: f64, (from, way): (Place, Place)) -> Place {
    let at = |along: f64| (from.0 + way.0 * along, from.1 + way.1 * along);
    let mut along = 0.0;
    // The clearance falls no faster than the way gone.
    for _ in 0..200 {
        along += nearest(at(along), ways) - kerf / 2.0;
    }
    at(along)
}

fn apart(a: Place, b: Place) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Where the line through two places meets that through two others.
fn meeting([a, b]: [Place; 2], [c, d]: [Place; 2]) -> Place {
    let (u, v, w) =
        ((b.0 - a.0, b.1 - a.1), (d.0 - c.0, d.1 - c.1), (c.0 - a.0, c.1 - a.1));
    let share = (w.0 * v.1 - w.1 * v.0) / (u.0 * v.1 - u.1 * v.0);
    (a.0 + u.0 * share, a.1 + u.1 * share)
}

/// What calipers read on the test piece that a machine cut, as a file of readings. Its square
/// lies 15 mm from the zero both ways and is 100 wide, its bar 160 mm above it.
fn readings(machine: &Machine, program: &str) -> String {
    let ways = machine.ways(program);
    let end = |from: Place, way: Place| {
        end_of_wood(&ways, machine.kerf, (machine.stands(from), way))
    };
    let (left, right, down, up) = ((-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0));
    // Jaws lie flat on ends that lean.
    let square_to_ends = 1.0 / (1.0 + machine.lean * machine.lean).sqrt();
    let across = |a: Place, b: Place| apart(a, b) * square_to_ends;
    let side = |way: Place, [first, last]: [Place; 2]| [end(first, way), end(last, way)];
    let west = side(left, [(35.0, 30.0), (35.0, 100.0)]);
    let east = side(right, [(95.0, 30.0), (95.0, 100.0)]);
    let south = side(down, [(30.0, 35.0), (100.0, 35.0)]);
    let north = side(up, [(30.0, 95.0), (100.0, 95.0)]);
    let corner = |one, other| meeting(one, other);
    let mut text = "units = \"mm\"\n".to_owned();
    for (key, read) in [
        ("square-x", across(end((30.0, 65.0), left), end((100.0, 65.0), right))),
        ("square-y", apart(end((65.0, 30.0), down), end((65.0, 100.0), up))),
        ("ring-x", apart(end((30.0, 65.0), right), end((100.0, 65.0), left))),
        ("ring-y", apart(end((65.0, 30.0), up), end((65.0, 100.0), down))),
        ("slot", apart(end((135.0, 185.0), up), end((135.0, 225.0), down))),
        ("long", across(end((40.0, 205.0), left), end((230.0, 205.0), right))),
        ("rising", apart(corner(west, south), corner(east, north))),
        ("falling", apart(corner(west, north), corner(east, south))),
    ] {
        writeln!(text, "{key} = {read:.4}").expect("it is written");
    }
    text
}

/// A file in the folder, with what is to stand in it.
fn file(folder: &Folder, name: &str, text: &str) -> String {
    std::fs::create_dir_all(&folder.0).expect("a folder");
    let path = folder.0.join(name).to_string_lossy().into_owned();
    std::fs::write(&path, text).expect("it can be written");
    path
}

/// What a command wrote into a folder of this one.
fn written(folder: &Folder, name: &str) -> String {
    std::fs::read_to_string(folder.0.join(name)).unwrap_or_else(|_| panic!("no {name}"))
}

const JOB: &str = "name = \"panel\"\nunits = \"mm\"\nthick = 18\nbits = [\"12mm flush-trim, 30mm long\"]\n\
    rack = \"rack.toml\"\n[outline]\nstart = [0, 0]\n\
    steps = [\"right 220\", \"up 110\", \"arc left 400 to 0, 110\", \"close\"]\n\
    [[outline.openings]]\nstart = [60, 30]\n\
    steps = [\"right 90\", \"up 50\", \"left 90\", \"close\"]\n\
    [[outline.openings]]\nstart = [190, 60]\n\
    steps = [\"arc left 9 to 190, 78\", \"arc left 9 to 190, 60\"]\n\
    [machine]\nmill = \"six\"\n";

/// The figure behind a key on a sheet.
fn kept(sheet: &str, key: &str) -> String {
    let (_, rest) = sheet
        .split_once(&format!("{key} = "))
        .unwrap_or_else(|| panic!("{key}: {sheet}"));
    let end = |c: char| c == '\n' || c == ' ' || c == '\\';
    rest.split(end).next().expect("it ends").to_owned()
}

/// Cuts the test piece of a job on a machine, measures it, and gives the rack with what the sheet
/// says is to be kept.
fn measured(folder: &Folder, job: &str, machine: &Machine) -> String {
    let cut = folder.0.join("cut").to_string_lossy().into_owned();
    let said = spelch(&["testpiece", job, "--out", &cut, "--force"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let read = file(
        folder,
        "read.toml",
        &readings(machine, &written(folder, "cut/panel-testpiece.nc")),
    );
    let told = folder.0.join("told").to_string_lossy().into_owned();
    let said =
        spelch(&["testpiece", job, "--readings", &read, "--out", &told, "--force"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let sheet = written(folder, "told/panel-measured.md");
    let [kerf, x, y, lean] =
        ["kerf", "x-per-100", "y-per-100", "lean-per-100"].map(|key| kept(&sheet, key));
    let day = sheet.lines().find(|line| line.contains("measured = "));
    let day = day.expect("the day is kept too").replace('\\', "");
    let day = day.replace("________", "the second of May");
    let day = day.trim_matches(['|', ' ', '`']);
    format!(
        "[six]\nend-mill = \"6mm\"\nkerf = {kerf}\n[bench]\nx-per-100 = {x}\ny-per-100 = {y}\n\
         lean-per-100 = {lean}\n{day}\n"
    )
}

/// The farthest that the edge a machine cuts lies off the edge that is asked for; inside
/// corners stay round and are left out.
fn off_the_edge(machine: &Machine, program: &str, edges: &Value) -> f64 {
    let ways = machine.ways(program);
    let mut worst: f64 = 0.0;
    let mut count = 0;
    for edge in list(edges) {
        for piece in list(&edge["pieces"]) {
            let it: Vec<f64> = list(piece).iter().map(number).collect();
            for at in along(&it) {
                worst = worst.max((nearest(at, &ways) - machine.kerf / 2.0).abs());
                count += 1;
            }
        }
    }
    assert!(100 < count, "only {count} places");
    worst
}

/// Places along a line, or an arc, between its ends; 4 mm from the ends of a line.
fn along(piece: &[f64]) -> Vec<Place> {
    let (from, to) = ((piece[0], piece[1]), (piece[2], piece[3]));
    let shares = (1u32..40).map(|n| f64::from(n) / 40.0);
    if let [.., x, y, sweep] = *piece
        && piece.len() == 7
    {
        let (out, whole) = ((from.0 - x, from.1 - y), sweep.clamp(-TAU, TAU));
        let at = |share: f64| {
            let (sin, cos) = (whole * share).sin_cos();
            (x + out.0 * cos - out.1 * sin, y + out.0 * sin + out.1 * cos)
        };
        return shares.map(at).collect();
    }
    let inset = 4.0 / apart(from, to);
    let at = |share: f64| {
        let share = inset + (1.0 - 2.0 * inset) * share;
        (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)
    };
    shares.map(at).collect()
}

#[test]
fn a_part_is_right_on_a_machine_whose_test_piece_was_measured() {
    for (machine, post) in [
        (Machine { scale: (1.003, 0.9985), lean: 0.0025, kerf: 6.07 }, "iso-mm"),
        (Machine { scale: (0.996, 1.0), lean: -0.004, kerf: 5.96 }, "iso-inch-lines"),
    ] {
        let folder = Folder::new();
        let bare = file(&folder, "bare.toml", JOB);
        file(&folder, "rack.toml", "[six]\nend-mill = \"6mm\"\n");
        let rack = measured(&folder, &bare, &machine);
        file(&folder, "rack.toml", &rack);
        let job = JOB.to_owned() + &format!("axes = \"bench\"\npost = \"{post}\"\n");
        let job = file(&folder, "job.toml", &job);
        let (planned, data) = plan(&[&job]);
        assert!(
            data["program"]["axes"].is_object(),
            "the data says so: {}",
            data["program"]
        );
        let program = planned.0.join("panel-template.nc").to_string_lossy().into_owned();
        let said = spelch(&["prove", &program, "--job", &job, "--format", "json"]);
        assert_eq!(said.code, 0, "{}", said.talk);
        let proof: Value = serde_json::from_str(&said.data).expect("JSON");
        let text = std::fs::read_to_string(&program).expect("it is there");
        let worst = off_the_edge(&machine, &text, &proof["edges"]);
        assert!(worst < RIGHT, "{post}: {worst} mm off the edge with {rack}");
        let (plain, _) = plan(&[&bare]);
        let plain = plain.0.join("panel-template.nc");
        let plain = std::fs::read_to_string(plain).expect("it is there");
        let without = off_the_edge(&machine, &plain, &proof["edges"]);
        assert!(0.2 < without, "{post}: {without} mm off where nothing is made up for");
        let sheets =
            std::fs::read_to_string(planned.0.join("panel-bench.md")).expect("sheets");
        for words in
            ["the second of May", "what the DISPLAY shows", "cut the test piece again"]
        {
            assert!(sheets.contains(words), "{words}: {sheets}");
        }
        // Measured again with the figures kept, it is the same machine.
        let again = measured(&folder, &job, &machine);
        for (one, other) in rack.lines().zip(again.lines()) {
            let figure = |line: &str| {
                let value = line
                    .rsplit(['=', '"'])
                    .find_map(|it| it.trim().trim_end_matches("mm").parse::<f64>().ok());
                value.unwrap_or_default()
            };
            assert!(
                (figure(one) - figure(other)).abs() < 0.004,
                "{one} and then {other}"
            );
        }
    }
}

#[test]
fn a_program_that_makes_up_for_nothing_is_a_fault_on_that_machine() {
    let folder = Folder::new();
    let bare = file(&folder, "bare.toml", JOB);
    let rack = "[six]\nend-mill = \"6mm\"\n[bench]\nx-per-100 = 100.3\ny-per-100 = 100\nlean-per-100 = 0\n";
    file(&folder, "rack.toml", rack);
    let job = file(&folder, "job.toml", &(JOB.to_owned() + "axes = \"bench\"\n"));
    let (planned, data) = plan(&[&bare]);
    assert!(data["program"]["axes"].is_null(), "no word of them: {}", data["program"]);
    let notes: Vec<&str> =
        list(&data["notes"]).iter().filter_map(|it| it["id"].as_str()).collect();
    assert!(notes.contains(&"axes-not-used"), "but told: {notes:?}");
    let program = planned.0.join("panel-template.nc").to_string_lossy().into_owned();
    assert_eq!(
        spelch(&["prove", &program, "--job", &bare]).code,
        0,
        "right on true axes"
    );
    let said = spelch(&["prove", &program, "--job", &job]);
    assert_eq!(said.code, 1, "wrong on these: {}", said.talk);
}

/// Solid wood whose finishing lap climbs in places, with relieved corners; a template with marks
/// of a point and a recess.
#[test]
fn programs_of_every_sort_prove_on_axes_that_are_off() {
    let folder = Folder::new();
    let rack = "[bench]\nx-per-100 = 100.45\ny-per-100 = 99.7\nlean-per-100 = 0.6\n";
    let rack = file(&folder, "rack.toml", rack);
    let marked = "scribe-point = \"0.5mm\"\nair-pass = true\n[[machine.recesses]]\nat = [68, 14]\n\
                  wide = \"8mm\"\ndepth = \"4mm\"\n";
    for (sample, more) in [("oak-bracket", ""), ("house-sign", marked)] {
        let path = crate::command::here(&format!("samples/{sample}.toml"));
        let text = std::fs::read_to_string(path).expect("it is there");
        let name = format!("{sample}.toml");
        let job = file(&folder, &name, &format!("{text}axes = \"bench\"\n{more}"));
        let (_, data) = plan(&[&job, "--bits", &rack]);
        let off = number(&data["program"]["axes"]["lean"]);
        assert!((off - 0.006).abs() < 1e-9, "{sample}: {off}");
        for key in ["gouge", "leftover"] {
            assert!(
                number(&data["program"][key]) <= RIGHT,
                "{sample}: {}",
                data["program"]
            );
        }
    }
}

/// A part whose finishing lap climbs: its second test piece says how full those edges stand.
#[test]
fn a_second_piece_says_how_edges_come_out_where_the_lap_climbs() {
    let folder = Folder::new();
    let path = crate::command::here("samples/oak-bracket.toml");
    let text = std::fs::read_to_string(path).expect("it is there");
    let job = file(&folder, "job.toml", &(text + "kerf = \"6.06mm\"\n"));
    let out = |name: &str| folder.0.join(name).to_string_lossy().into_owned();
    let said = spelch(&["testpiece", &job, "--out", &out("one")]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let sheet = written(&folder, "one/oak-bracket-testpiece.md");
    assert!(sheet.contains("cut with \\`--climb\\`, says by how much"), "{sheet}");
    let said = spelch(&["testpiece", &job, "--climb", "--out", &out("two")]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let program = written(&folder, "two/oak-bracket-testpiece-climb.nc");
    for (kerf, words) in [
        (6.0, "stand 0.03 mm full"),
        (6.05, "no difference that calipers tell"),
        (6.12, "0.03 mm past the line. Keep the wider figure, \\`kerf = \"6.120mm\""),
    ] {
        let machine = Machine { scale: (1.0, 1.0), lean: 0.0, kerf };
        let read = file(&folder, "read.toml", &readings(&machine, &program));
        let words_for = [
            "testpiece",
            &job,
            "--climb",
            "--readings",
            &read,
            "--out",
            &out("told"),
            "--force",
        ];
        let said = spelch(&words_for);
        assert_eq!(said.code, 0, "{}", said.talk);
        let sheet = written(&folder, "told/oak-bracket-measured-climb.md");
        assert!(sheet.contains(words), "{words}: {sheet}");
    }
}

#[test]
fn axes_that_are_far_off_or_not_there_are_refused_with_what_to_do() {
    let folder = Folder::new();
    let job = JOB.to_owned() + "axes = \"bench\"\nair-pass = true\n";
    let job = file(&folder, "job.toml", &job);
    for (axes, said) in [
        ("[bench]\nx-per-100 = 101.2\ny-per-100 = 100\n", "set the machine right first"),
        ("[other]\nx-per-100 = 100.2\ny-per-100 = 100\n", "has no axes called `bench`"),
    ] {
        file(&folder, "rack.toml", &format!("[six]\nend-mill = \"6mm\"\n{axes}"));
        let out = folder.0.join("out").to_string_lossy().into_owned();
        let answer = spelch(&["plan", &job, "--out", &out]);
        assert_eq!(answer.code, 2, "{}", answer.talk);
        assert!(answer.talk.contains(said), "{said}: {}", answer.talk);
    }
}

/// What is not on the rack is told at the key that names it, and which rack was looked at.
#[test]
fn a_stop_of_the_rack_stands_at_its_key_and_names_the_rack() {
    let folder = Folder::new();
    let job = JOB.to_owned() + "axes = \"bench\"\nair-pass = true\n";
    let job = file(&folder, "job.toml", &job);
    let out = folder.0.join("out").to_string_lossy().into_owned();
    for (rack, key, says) in [
        ("six", "| axes = \"bench\"", "rack.toml` has no axes called `bench`"),
        ("seven", "| mill = \"six\"", "rack.toml` has no end mill called `six`"),
    ] {
        file(&folder, "rack.toml", &format!("[{rack}]\nend-mill = \"6mm\"\n"));
        let answer = spelch(&["plan", &job, "--out", &out]);
        assert_eq!(answer.code, 2, "{}", answer.talk);
        for said in [key, says] {
            assert!(answer.talk.contains(said), "{said}: {}", answer.talk);
        }
        assert!(!answer.talk.contains("air-pass"), "not the last line: {}", answer.talk);
    }
}

/// The display shows other figures than a rule on the wood, by which holes are drilled.
#[test]
fn holes_to_drill_by_hand_are_measured_on_the_wood() {
    let folder = Folder::new();
    let hole = JOB
        .replace("arc left 9 to 190, 78", "arc left 2 to 190, 64")
        .replace("arc left 9 to 190, 60", "arc left 2 to 190, 60");
    let rack = "[six]\nend-mill = \"6mm\"\n[bench]\nx-per-100 = 100.4\ny-per-100 = 100\n";
    file(&folder, "rack.toml", rack);
    for (axes, head) in
        [("", "X from the zero"), ("axes = \"bench\"\n", "X by a rule on")]
    {
        let job = file(&folder, "job.toml", &(hole.clone() + axes));
        let (planned, _) = plan(&[&job]);
        let sheet = written(&planned, "panel-bench.md");
        assert!(sheet.contains("Holes to drill by hand"), "{sheet}");
        assert!(sheet.contains(head), "{head}: {sheet}");
        // Basis: geometry: 15 mm of blank, and the middle of the hole from the part's corner.
        assert!(sheet.contains("205"), "{sheet}");
    }
}

#[test]
fn a_second_piece_that_would_be_the_first_is_refused() {
    let folder = Folder::new();
    file(&folder, "rack.toml", "[six]\nend-mill = \"6mm\"\n");
    let job = JOB.to_owned() + "climb-finish = true\nair-pass = true\n";
    let job = file(&folder, "job.toml", &job);
    let out = folder.0.join("out").to_string_lossy().into_owned();
    let first = spelch(&["testpiece", &job, "--out", &out]);
    assert_eq!(first.code, 0, "{}", first.talk);
    let second = spelch(&["testpiece", &job, "--climb", "--out", &out, "--force"]);
    assert_eq!(second.code, 2, "{}", second.talk);
    assert!(second.talk.contains("leave `--climb` out"), "{}", second.talk);
    assert!(second.talk.contains("climb-finish = true"), "where: {}", second.talk);
}
