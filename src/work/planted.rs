//! Slips planted in the code of a stage, and the whole road walked with them: nothing comes out
//! that was not judged, and each slip is told by the stage that stands behind it.

use super::plan_job;
use crate::geom::planted::{Slip, with};
use crate::read::job;

/// A part with curves, an opening on tabs, and a machine; its mill comes with no bit of its size.
const JOB: &str = r#"
    units = "mm"
    grain = "long"
    thick = 18
    bits = ["12.7mm pattern, 25mm long"]
    [outline]
    drawing = "part.svg"
    [machine]
    end-mill = "6mm"
"#;

const SVG: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm"
    viewBox="0 0 300 200"><path d="M20 100 C20 30 280 10 280 100 C280 190 20 170 20 100 Z
    M100 70 L200 70 L200 130 L100 130 Z"/></svg>"#;

/// What the road says: nothing where a program comes out of it.
fn told() -> Vec<(String, String)> {
    let load = |_: &str| Ok(SVG.as_bytes().to_vec());
    let job = job("part.toml", JOB).expect("a sound job").value;
    match plan_job(&job, &load) {
        Ok(planned) => {
            assert!(planned.value.program.is_some(), "there is a program");
            Vec::new()
        }
        Err(failure) => {
            let all = failure.problems().iter();
            all.map(|it| (it.id.to_owned(), it.found.clone())).collect()
        }
    }
}

#[test]
fn with_no_slip_a_program_comes_out() {
    assert_eq!(told(), []);
}

/// Each slip, and what refuses it: the kernel's own check of its offset, or the proof.
#[test]
fn every_slip_of_a_stage_is_refused_by_what_stands_behind_it() {
    for (slip, id, words) in [
        (Slip::Offset, "reach-unproved", "a run that does not stand on its owner"),
        (Slip::Owner, "reach-unproved", "a run"),
        (Slip::Fit, "program-leftover", "of edge is not cut"),
        (Slip::Depths, "program-depth", "deep at one go"),
        (Slip::Tabs, "program-tabs", "tabs are left where"),
    ] {
        let told = with(slip, told);
        let names = |(own, found): &(String, String)| own == id && found.contains(words);
        assert!(told.iter().any(names), "{slip:?}: {told:#?}");
    }
}
