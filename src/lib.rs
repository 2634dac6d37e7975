//! spelch plans template routing.
//!
//! An outline and what the shop owns go in; out come the sheets for the bench: the size of
//! the template, a saw line, the routing plan with a picture a set-up, the list of places to
//! finish by hand and, only if a small CNC cuts the template, a proved machine program.
//!
//! The rooms below stand in the order in which they may import: each from those above it only.

pub mod units;

pub mod diag;

pub mod geom;

pub mod read;

pub mod joint;

pub mod outline;

pub mod reach;

pub mod grain;

pub mod shop;

pub mod post;

pub mod prove;

pub mod plan;

pub mod path;

pub mod program;

pub mod draw;

pub mod sheet;

pub mod work;

pub mod files;

pub mod page;

pub mod cli;
