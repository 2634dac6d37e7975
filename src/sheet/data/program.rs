//! The proved programs as data.

use super::{At, at, rounded};
use crate::prove::ProvedProgram;
use crate::shop::{Axes, Shop};
use serde::Serialize;

/// What the data says of them.
#[derive(Debug, Serialize)]
pub(super) struct ProgramData {
    file: String,
    files: Vec<ProgramFile>,
    work_zero: At,
    end_mill: f64,
    through_depth: f64,
    gouge: f64,
    leftover: f64,
    path_length: f64,
    minutes: f64,
    likely_minutes: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    axes: Option<AxesData>,
}

/// The axes that the programs make up for.
#[derive(Debug, Serialize)]
struct AxesData {
    scale_x: f64,
    scale_y: f64,
    lean: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ProgramFile {
    file: String,
    tool: &'static str,
    wide: f64,
}

/// The programs.
pub(super) fn program_data(program: &ProvedProgram, shop: &Shop) -> ProgramData {
    let figures = program.figures();
    ProgramData {
        file: crate::sheet::program_names(shop, program).pop().unwrap_or_default(),
        files: program_files(program, shop),
        work_zero: at(figures.work_zero),
        end_mill: rounded(figures.end_mill),
        through_depth: rounded(figures.through_depth),
        gouge: rounded(figures.gouge),
        leftover: rounded(figures.leftover),
        path_length: rounded(figures.path_length),
        minutes: rounded(figures.minutes),
        likely_minutes: rounded(figures.likely_minutes),
        axes: shop
            .machine
            .as_ref()
            .and_then(|machine| machine.axes.as_ref())
            .map(axes_data),
    }
}

fn axes_data(axes: &Axes) -> AxesData {
    let Axes { scale_x, scale_y, lean, measured: _ } = *axes;
    AxesData { scale_x, scale_y, lean }
}

/// Each program's file and tool, in the order in which they run.
fn program_files(program: &ProvedProgram, shop: &Shop) -> Vec<ProgramFile> {
    let names = crate::sheet::program_names(shop, program).into_iter();
    let tools = program.tools().iter();
    names
        .zip(tools)
        .map(|(file, &(tool, wide))| ProgramFile {
            file,
            tool: tool.word(),
            wide: rounded(wide),
        })
        .collect()
}
