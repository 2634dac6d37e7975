//! The tests that look at the tool from outside, in one binary.

mod axes;

mod bad;
mod bench;
mod command;
mod directions;
mod figures;
mod house;
mod job;
mod joints;
mod left;
mod page;
mod pattern;
mod posts;
mod prove;
mod ramps;
mod samples;
mod scenarios;
mod svg;
