//! Bytes to drawings and jobs, with places.

mod role;

mod tally;

mod drawing;

mod rack;

mod pick;

mod job;

mod machine;

mod readings;

mod run;

mod terms;

mod sum;

mod joint_wish;

mod mate;

mod words;

mod edges;

mod ratio;

mod bow;

mod svg;

mod dxf;

mod step;

mod walk;

mod job_file;

mod load;

pub use self::dxf::{Asked, dxf};
pub use drawing::{Drawing, Drawn, Path, Stroke};
pub use edges::{edges_text, place_words};
pub use job::{
    BitText, BoardAndLine, EdgeRef, Extra, FileKind, GrainKind, GrainWish, Hand, Job,
    KnownSize, RackFrom, RoleWish, ShapeSource, SheetWish, Side, Station, Step, Strip,
    TemplateWish, Walk,
};
pub use job_file::{Given, Setting, count_text, job, job_with, rack, readings};
pub use joint_wish::{
    JointName, JointWish, SetIn, Wood, joint_text, set_in_text, wood_text,
};
pub use load::{Load, check_known_size, check_pick, drawing, post_loaded};
pub use machine::{
    Bottom, Cut, Hidden, KeepOutWish, MachineWish, Material, PostChoice, RecessShape,
    RecessWish, WorkZero, ZZero,
};
pub use mate::{Lie, Mate};
pub use pick::{Pick, colour_text, layer_text};
pub use rack::{BearingAt, Rack, RackAxes, RackBit, RackMill};
pub use ratio::slope_text;
pub use readings::{Feature, Measured, Readings};
pub use role::Role;
pub use svg::{svg, svg_of_size};
pub use tally::Tally;
pub use terms::{Sizes, Terms};
pub use walk::walk_path;
pub use words::{
    amount_text, blank_text, diameter_text, feed_text, fraction_text, grain_text,
    nearest, post_text, ppi_text, rpm_text, size_text, units_text, z_zero_text,
    zero_text,
};

use crate::diag::Problem;

/// A value, or the one problem that stands in its way.
pub type Checked<T> = Result<T, Box<Problem>>;

/// A file's name without folders and extension.
fn stem(name: &str) -> String {
    let file = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    if stem.is_empty() { file.to_owned() } else { stem.to_owned() }
}
