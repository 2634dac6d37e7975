//! Any bytes as a drawing, with and without a size that is known.
#![no_main]

use libfuzzer_sys::fuzz_target;
use spelch::diag::Outcome;
use spelch::read::{Drawing, KnownSize, svg, svg_of_size};
use spelch::units::{Mm, Paper};

fuzz_target!(|data: &[u8]| {
    check(svg("part.svg", data));
    check(svg_of_size("part.svg", data, Some(KnownSize::Ppi(96.0)), Paper::MM));
    let width = Mm::new(240.0).expect("finite");
    check(svg_of_size("part.svg", data, Some(KnownSize::Width(width)), Paper::MM));
});

/// What holds of every drawing that is read, and of every refusal.
fn check(outcome: Outcome<Drawing>) {
    match outcome {
        Ok(told) => {
            assert!(!told.value.paths.is_empty(), "a drawing draws something");
            for path in &told.value.paths {
                assert!(!path.strokes.is_empty(), "a path has strokes");
                let bounds = path.strokes.iter().map(|drawn| drawn.stroke.bounds());
                for bounds in bounds {
                    assert!(
                        bounds.low.is_finite() && bounds.high.is_finite(),
                        "{bounds:?}"
                    );
                }
            }
        }
        Err(failure) => {
            assert!(!failure.problems().is_empty(), "a refusal has a reason");
            for problem in failure.problems() {
                assert!(!problem.hint.is_empty(), "{problem:?} says what to do");
            }
        }
    }
}
