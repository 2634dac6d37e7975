//! The words of the verbs of the bench: patterns, joints and wedges.

use super::args::{JobArgs, PlanArgs, SaidArgs, ToArgs};
use clap::{Args, ValueEnum};

/// Examples of `pattern`.
pub(super) const PATTERN_EXAMPLES: &str = "\
Examples:
  spelch pattern bracket.svg --paper letter
      the outline at full size, its corners numbered
  spelch pattern apron.toml --paper a4 --measured 98.7mm,98.9mm
      with the plan's letters, and made up for a printer whose 100 mm bars, across and up, came
      out that long";

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PaperArg {
    /// 210 by 297 mm.
    A4,
    /// 8 1/2 by 11 in.
    Letter,
}

/// What a pattern is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PatternArg {
    /// The part itself, to be laid on the wood.
    Part,
    /// The template that guides the bit: set in or out, with its run-ons and ears.
    Template,
}

/// The options of `pattern`.
#[derive(Debug, Args)]
pub(super) struct PatternArgs {
    /// What is planned: letters and numbers are those of the plan, if a bit is named.
    #[command(flatten)]
    pub(super) plan: PlanArgs,
    /// The paper in the printer.
    #[arg(long, value_enum)]
    pub(super) paper: PaperArg,
    /// What is drawn; the template is that of a bit, which must be named.
    #[arg(long, value_enum, default_value = "part")]
    pub(super) of: PatternArg,
    /// How long the 100 mm bars across and up came out on paper.
    #[arg(long, value_name = "LENGTH,LENGTH")]
    pub(super) measured: Option<String>,
}

/// Examples of `testpiece`.
pub(super) const TEST_PIECE_EXAMPLES: &str = "\
Examples:
  spelch testpiece apron.toml --end-mill 6mm
      a program that cuts the piece as the job's template is cut, and what to measure on it
  spelch testpiece apron.toml --end-mill 6mm --readings read.toml
      how wide the mill cuts, how the axes run, and the lines for the rack";

/// The options of `testpiece`.
#[derive(Debug, Args)]
pub(super) struct TestPieceArgs {
    /// The job whose machine it is.
    #[command(flatten)]
    pub(super) plan: PlanArgs,
    /// What the calipers read (.toml).
    #[arg(long, value_name = "FILE")]
    pub(super) readings: Option<String>,
    /// A second piece, its finishing lap climbing all round: what a part's edges come out as where
    /// its lap climbs.
    #[arg(long)]
    pub(super) climb: bool,
}

/// Examples of `joint`.
pub(super) const JOINT_EXAMPLES: &str = "\
Names: half-lap, dovetailed-lap, bridle, splayed-scarf, tabled-scarf, tusk-tenon, finger-joint.

Examples:
  spelch joint splayed-scarf --width 70mm --thick 45mm
      sheets of the joint and a drawing of each half, sized by the stock
  spelch joint half-lap --width 60mm --thick 20mm --bit \"1/2in pattern\" --bit \"1/2in flush-trim\"
      the same, planned for the router";

/// The options of `joint`.
#[derive(Debug, Args)]
pub(super) struct JointArgs {
    /// Which joint.
    pub(super) name: String,
    /// How long each piece is drawn.
    #[arg(long, value_name = "LENGTH")]
    pub(super) length: Option<String>,
    /// How long the joint is, along the piece.
    #[arg(long, value_name = "LENGTH")]
    pub(super) long: Option<String>,
    /// How deep a scarf's nibs are.
    #[arg(long, value_name = "LENGTH")]
    pub(super) nib: Option<String>,
    /// The slope of a tail.
    #[arg(long, value_name = "1:N")]
    pub(super) slope: Option<String>,
    /// How wide the slot for wedges is.
    #[arg(long, value_name = "LENGTH")]
    pub(super) slot: Option<String>,
    /// The width or thickness of what the piece laps on or goes through.
    #[arg(long, value_name = "LENGTH")]
    pub(super) mate: Option<String>,
    /// How many fingers both boards have together.
    #[arg(long, value_name = "N")]
    pub(super) fingers: Option<String>,
    /// The gap between mating faces.
    #[arg(long, value_name = "LENGTH")]
    pub(super) clearance: Option<String>,
    /// Which half gives the gap.
    #[arg(long, value_name = "both|A|B")]
    pub(super) set_in: Option<String>,
    /// How hard the wood is.
    #[arg(long, value_name = "hard|soft")]
    pub(super) wood: Option<String>,
    /// Where it goes.
    #[command(flatten)]
    pub(super) to: ToArgs,
    /// What else is wished for.
    #[command(flatten)]
    pub(super) job: JobArgs,
}

/// Examples of `wedges`.
pub(super) const WEDGE_EXAMPLES: &str = "\
Examples:
  spelch wedges folding --slot 14x23mm --thick 45mm
      a pair that spreads a slot 14 mm wide, in stock 45 mm thick
  spelch wedges tusk --slot 32.5x8mm --thick 70mm --tenon 24mm
      one wedge through a tenon 70 mm deep";

/// What a wedge does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum WedgeArg {
    /// Two wedges that spread a slot, as in a scarf.
    Folding,
    /// One through a tenon that stands out, to draw its shoulders up.
    Tusk,
    /// Two in kerfs of a tenon's end, to spread it in its mortise.
    Tenon,
}

/// On what a wedge pushes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PushArg {
    /// Along the grain of the wood it pushes on.
    EndGrain,
    /// Across the grain.
    LongGrain,
}

/// The options of `wedges`.
#[derive(Debug, Args)]
pub(super) struct WedgeArgs {
    /// What the wedge does.
    #[arg(value_enum)]
    pub(super) kind: WedgeArg,
    /// The slot on the face: the way the wedge spreads, by the height of the wedge. For tenon
    /// wedges: the room each fills, by the tenon's thickness.
    #[arg(long, value_name = "WxH")]
    pub(super) slot: String,
    /// How deep it goes: the stock's thickness.
    #[arg(long, value_name = "LENGTH")]
    pub(super) thick: String,
    /// The whole taper of one wedge.
    #[arg(long, value_name = "1:N", conflicts_with_all = ["head", "tip"])]
    pub(super) slope: Option<String>,
    /// The thick end, instead of a slope.
    #[arg(long, value_name = "LENGTH", requires = "tip")]
    pub(super) head: Option<String>,
    /// The thin end, instead of a slope.
    #[arg(long, value_name = "LENGTH", requires = "head")]
    pub(super) tip: Option<String>,
    /// How wide the tenon is across a tusk wedge's slot.
    #[arg(long, value_name = "LENGTH")]
    pub(super) tenon: Option<String>,
    /// On what it pushes.
    #[arg(long, value_enum, default_value = "end-grain")]
    pub(super) push: PushArg,
    /// How many sets to make.
    #[arg(long, value_name = "N")]
    pub(super) sets: Option<String>,
    /// Length that stands out when it first bites.
    #[arg(long, value_name = "LENGTH")]
    pub(super) to_drive: Option<String>,
    /// Length past the far face.
    #[arg(long, value_name = "LENGTH")]
    pub(super) to_trim: Option<String>,
    /// The saw's kerf.
    #[arg(long, value_name = "LENGTH")]
    pub(super) kerf: Option<String>,
    /// Friction of wood on wood.
    #[arg(long, value_name = "NUMBER")]
    pub(super) friction: Option<String>,
    /// How far a tusk wedge's slot begins inside the face.
    #[arg(long, value_name = "LENGTH")]
    pub(super) set_in: Option<String>,
    /// What the files are called.
    #[arg(long, value_name = "NAME", default_value = "wedges")]
    pub(super) name: String,
    /// Where it goes.
    #[command(flatten)]
    pub(super) to: ToArgs,
    /// How it is said.
    #[command(flatten)]
    pub(super) said: SaidArgs,
}
