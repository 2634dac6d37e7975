//! Any text as a machine program, read back as the proof reads it.
#![no_main]

use libfuzzer_sys::fuzz_target;
use spelch::prove::read;

fuzz_target!(|text: &str| {
    match read(text) {
        Ok(program) => {
            // A place that is not known yet is no number; none is ever endless.
            for step in program.moves() {
                assert!(!step.end().iter().any(|at| at.is_infinite()), "{step:?}");
            }
        }
        Err(verdict) => assert!(!verdict.faults.is_empty(), "a refusal has a reason"),
    }
});
