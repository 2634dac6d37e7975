//! Any text as a job, and the drawing it walks.
#![no_main]

use libfuzzer_sys::fuzz_target;
use spelch::diag::Problem;
use spelch::joint::drawings;
use spelch::read::{Checked, job};

fuzz_target!(|text: &str| {
    let load = |_: &str| -> Checked<Vec<u8>> {
        Err(Problem::stop("no-file", "there is no file", "look").into())
    };
    match job("job.toml", text) {
        Ok(told) => {
            let _ = drawings(&told.value, &load);
        }
        Err(failure) => {
            assert!(!failure.problems().is_empty(), "a refusal has a reason");
        }
    }
});
