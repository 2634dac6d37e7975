//! Any bytes as a DXF drawing, in its own unit, in one that is named, and of a known size.
#![no_main]

use libfuzzer_sys::fuzz_target;
use spelch::outline::outlines;
use spelch::read::{Asked, KnownSize, Pick, dxf};
use spelch::units::{Mm, Paper, Unit};

/// Larger drawings are sound too, but take their time.
const MOST_STROKES: usize = 200;

fuzz_target!(|data: &[u8]| {
    let pick = Pick::default();
    let width = KnownSize::Width(Mm::new(240.0).expect("finite"));
    for (units, size) in [(None, None), (Some(Unit::Inch), None), (None, Some(width))] {
        match dxf("part.dxf", data, Asked { units, size, pick: &pick }) {
            Ok(told) => {
                let n_strokes: usize =
                    told.value.paths.iter().map(|path| path.strokes.len()).sum();
                assert!(0 < n_strokes, "a drawing draws something");
                if MOST_STROKES < n_strokes || units.is_some() || size.is_some() {
                    continue;
                }
                if let Ok(told) = outlines(&told.value, &[], 1e-3, Paper::MM) {
                    for outline in told.value {
                        assert!(0.0 < outline.area(), "an outline bounds wood");
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
});
