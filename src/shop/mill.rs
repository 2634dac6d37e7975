//! The machine's end mill, by its name on the rack.

use crate::diag::{Problem, Problems};
use crate::read::{Job, MachineWish, Rack};

/// What is asked of the machine, with what the rack knows of its end mill.
pub(super) fn off_the_rack(job: &Job, wrong: &mut Problems) -> MachineWish {
    let mut wish = job.machine.clone();
    let Some(name) = &wish.mill else { return wish };
    let Some(mill) =
        job.rack.mills.iter().find(|mill| mill.name.eq_ignore_ascii_case(name))
    else {
        let found = not_on(&job.rack, &format!("end mill called `{name}`"));
        let hint = "write it there: a table under its name with `end-mill = \"6mm\"`";
        let problem = Problem::stop("mill-not-on-rack", found, hint);
        wrong.push(problem.at(job.place("machine.mill")));
        return wish;
    };
    wish.end_mill = wish.end_mill.or(Some(mill.wide));
    wish.kerf = wish.kerf.or(mill.kerf);
    wish.flutes = wish.flutes.or(mill.flutes);
    wish.marked_speed = wish.marked_speed.or(mill.marked_speed);
    wish
}

/// That a rack has no such thing, and which rack that is.
pub(super) fn not_on(rack: &Rack, thing: &str) -> String {
    if rack.name.is_empty() {
        format!("there is no rack, and so no {thing}")
    } else {
        format!("the rack `{}` has no {thing}", rack.name)
    }
}
