//! Any text as a machine program, read back as the proof reads it.
#![no_main]

use libfuzzer_sys::fuzz_target;
use spelch::prove::read;

fuzz_target!(|text: &str| {
    match read(text) {
        Ok(program) => {
            for step in program.moves() {
                assert!(step.length().is_finite(), "{step:?}");
            }
        }
        Err(verdict) => assert!(!verdict.faults.is_empty(), "a refusal has a reason"),
    }
});
