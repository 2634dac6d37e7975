//! Any small drawing as an outline.
#![no_main]

use libfuzzer_sys::fuzz_target;
use spelch::outline::outlines;
use spelch::read::svg;
use spelch::units::Paper;

/// Larger drawings are sound too, but take their time.
const MOST_STROKES: usize = 200;

fuzz_target!(|data: &[u8]| {
    let Ok(told) = svg("part.svg", data) else { return };
    let n_strokes: usize = told.value.paths.iter().map(|path| path.strokes.len()).sum();
    if MOST_STROKES < n_strokes {
        return;
    }
    if let Ok(told) = outlines(&told.value, &[], 1e-3, Paper::MM) {
        for outline in told.value {
            assert!(0.0 < outline.area(), "an outline bounds wood");
        }
    }
});
