//! The machine's end mill, by its name on the rack.

use super::fill::place;
use crate::diag::{Problem, Problems};
use crate::read::{MachineWish, Rack};

/// What is asked of the machine, with what the rack knows of its end mill.
pub(super) fn off_the_rack(
    wish: &MachineWish,
    rack: &Rack,
    wrong: &mut Problems,
) -> MachineWish {
    let mut wish = wish.clone();
    let Some(name) = &wish.mill else { return wish };
    let Some(mill) = rack.mills.iter().find(|mill| mill.name.eq_ignore_ascii_case(name))
    else {
        let found = format!("there is no end mill `{name}` on the rack");
        let hint = "write it there: a table under its name with `end-mill = \"6mm\"`";
        wrong.push(Problem::stop("mill-not-on-rack", found, hint).at(place("mill")));
        return wish;
    };
    wish.end_mill = wish.end_mill.or(Some(mill.wide));
    wish.kerf = wish.kerf.or(mill.kerf);
    wish.flutes = wish.flutes.or(mill.flutes);
    wish.marked_speed = wish.marked_speed.or(mill.marked_speed);
    wish
}
