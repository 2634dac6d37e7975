//! The options of `joint` to a job.

use super::bench_args::JointArgs;
use super::wishes::{Options, lay_over};
use crate::diag::{Place, Problem, Problems, Source};
use crate::read::{
    Job, JointWish, SetIn, ShapeSource, Wood, amount_text, count_text, joint_text,
    set_in_text, size_text, slope_text, units_text, wood_text,
};

/// The job that the options ask for.
///
/// # Errors
/// Every option that cannot be read, each with its name.
pub(super) fn job(args: &JointArgs) -> Result<Job, Problems> {
    let mut options = Options { problems: Problems::new() };
    let mut units = None;
    options.put(("--units", &args.job.said.units), &mut units, units_text);
    let size = |text: &str, place: &Place| size_text(text, units, place);
    let amount = |text: &str, place: &Place| amount_text(text, units, place);
    let (mut name, mut width) = (None, None);
    options.put(("joint", &Some(args.name.clone())), &mut name, joint_text);
    options.put(("--width", &args.job.part.width), &mut width, size);
    let [mut length, mut long, mut nib, mut slot, mut mate] = [None; 5];
    for (option, text, into) in [
        ("--length", &args.length, &mut length),
        ("--long", &args.long, &mut long),
        ("--nib", &args.nib, &mut nib),
        ("--slot", &args.slot, &mut slot),
        ("--mate", &args.mate, &mut mate),
    ] {
        options.put((option, text), into, size);
    }
    let (mut slope, mut fingers, mut clearance) = (None, None, None);
    options.put(("--slope", &args.slope), &mut slope, slope_text);
    options.put(("--fingers", &args.fingers), &mut fingers, count_text);
    options.put(("--clearance", &args.clearance), &mut clearance, amount);
    let (mut set_in, mut wood) = (None, None);
    options.put(("--set-in", &args.set_in), &mut set_in, set_in_text);
    options.put(("--wood", &args.wood), &mut wood, wood_text);
    if args.job.part.width.is_none() {
        let found = "the stock's width is not given";
        let problem =
            Problem::stop("joint-without-width", found, "measure it and give `--width`");
        options.problems.push(problem.at(Place::whole(Source::Command, "joint")));
    }
    let (Some(name), Some(width), true) = (name, width, options.problems.is_empty())
    else {
        return Err(options.problems);
    };
    let (set_in, wood) = (set_in.unwrap_or(SetIn::Both), wood.unwrap_or(Wood::Hard));
    let place = Place::whole(Source::Command, "joint");
    let title = Some(name.word().to_owned());
    let wish = JointWish {
        name,
        width,
        length,
        long,
        nib,
        slope,
        slot,
        mate,
        fingers,
        clearance,
        set_in,
        wood,
        place,
    };
    let job =
        Job { name: title, shape: Some(ShapeSource::Joint(wish)), ..Job::default() };
    lay_over(job, &args.job)
}
