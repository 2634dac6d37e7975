//! Files in and out: the only room that touches the disk.
//!
//! All of a plan's files appear or none; a failure leaves the folder as it was; nothing is
//! overwritten unless asked.

mod load;

mod save;

mod single;

pub use load::{LARGEST_INPUT, load, load_program};
pub use save::save;
pub use single::{RACK, rack_path, write};
