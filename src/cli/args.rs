//! The words of the command: types and their help only.

use super::bench_args::{
    JOINT_EXAMPLES, JointArgs, PATTERN_EXAMPLES, PatternArgs, TEST_PIECE_EXAMPLES,
    TestPieceArgs, WEDGE_EXAMPLES, WedgeArgs,
};
use clap::{Args, Parser, Subcommand, ValueEnum};

/// Plan template routing: what the bit may cut and which way, what is left for the hand.
#[derive(Debug, Parser)]
#[command(name = "spelch", version, max_term_width = 100)]
pub(super) struct Command {
    /// What to do.
    #[command(subcommand)]
    pub(super) verb: Verb,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub(super) enum Verb {
    /// Plan a drawing or a job, and write its sheets into a folder.
    #[command(after_help = PLAN_EXAMPLES)]
    Plan(Box<SheetArgs>),
    /// Open the page: the plan changes on the screen as you turn the grain and choose bits.
    Open(Box<OpenArgs>),
    /// Work for the page.
    #[command(name = super::open::WORKER, hide = true)]
    Worker,
    /// Read a drawing or a job, say what was found and repaired, and draw it, without a plan.
    Look(LookArgs),
    /// Write a commented starting job that plans as it stands.
    New(NewArgs),
    /// Read programs back and judge them by a job: legal, fit for the bench, and cut right.
    #[command(after_help = PROVE_EXAMPLE)]
    Prove(Box<ProveArgs>),
    /// List the bits of the rack; with an input, hold each of its bits to it: what it fits and
    /// leaves, and what to buy.
    Bits(Box<PlanArgs>),
    /// Print a drawing or a job at full size on sheets of paper, as PDF and SVG.
    #[command(after_help = PATTERN_EXAMPLES)]
    Pattern(Box<PatternArgs>),
    /// Print the steps of laying a drawing or a job out by hand, with pencil, gauge and square.
    Layout(Box<PlanArgs>),
    /// Draw a joint by name, both halves, and plan it where a bit is named.
    #[command(after_help = JOINT_EXAMPLES)]
    Joint(Box<JointArgs>),
    /// Size wedges for a slot: a folding pair, a tusk wedge or tenon wedges.
    #[command(after_help = WEDGE_EXAMPLES)]
    Wedges(Box<WedgeArgs>),
    /// Cut a test piece with a job's machine; its readings say how wide the end mill cuts.
    #[command(name = "testpiece", after_help = TEST_PIECE_EXAMPLES)]
    TestPiece(Box<TestPieceArgs>),
    /// Print every default with its unit, its basis and how to change it.
    Defaults,
    /// List the posts, and name the one for your machine.
    ///
    /// Asks three questions on a terminal, where no option answers them.
    Posts(PostsArgs),
}

/// The options of `open`.
#[derive(Debug, Args)]
#[command(allow_negative_numbers = true)]
pub(super) struct OpenArgs {
    /// A drawing (.svg, .dxf) or a job (.toml); nothing opens the built-in sample.
    pub(super) input: Option<String>,
    /// The port to listen on, or the next that is free.
    #[arg(long, default_value_t = 7717)]
    pub(super) port: u16,
    /// A folder to read the page's own files from, while they are worked on.
    #[arg(long, value_name = "DIR", hide = true)]
    pub(super) assets: Option<String>,
    /// What is said of the job: written into it.
    #[command(flatten)]
    pub(super) job: JobArgs,
}

/// The options of `posts`.
#[derive(Debug, Clone, Args)]
pub(super) struct PostsArgs {
    /// What the machine shows.
    #[arg(long, value_enum)]
    pub(super) units: Option<Units>,
    /// Whether it cuts smooth arcs or only straight moves.
    #[arg(long, value_enum)]
    pub(super) arcs: Option<Arcs>,
    /// Who starts its spindle.
    #[arg(long, value_enum)]
    pub(super) spindle: Option<Spindle>,
}

/// What a machine shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Units {
    /// Millimetres.
    Mm,
    /// Inches.
    In,
}

/// What a machine can follow.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Arcs {
    /// G2 and G3.
    Smooth,
    /// Straight moves only.
    Straight,
}

/// Who starts a spindle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Spindle {
    /// The program.
    Program,
    /// The person, at a switch.
    Hand,
}

const PLAN_EXAMPLES: &str = "\
Examples:
  spelch plan
      plans the built-in sample
  spelch plan bracket.svg --grain long --thick 3/4in --bit \"1/2in flush-trim\"
      a drawing of one's own, routed by hand
  spelch plan bracket.svg --thick 19mm --bit \"12.7mm pattern\" --end-mill 6mm
      the same, with a machine program for the template

Lengths: 12.7mm, 1/2in, 1 1/2\", 1-1/2 in. A length with no unit is refused unless --units or the
job's `units` says which it is.";

const PROVE_EXAMPLE: &str = "\
Example:
  spelch prove bracket-template.nc --job bracket.svg --thick 19mm --bit \"12.7mm pattern\" --end-mill 6mm
      all options as for `plan`; exit code 0 only when the program is right";

/// How data is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// Words.
    Human,
    /// The data of the plan, or the problems, as JSON on standard output.
    Json,
}

/// The options of `look`.
#[derive(Debug, Args)]
pub(super) struct LookArgs {
    /// A drawing (.svg, .dxf) or a job (.toml).
    pub(super) input: String,
    /// The picture's file [default: NAME-look.svg].
    #[arg(long, value_name = "FILE")]
    pub(super) picture: Option<String>,
    /// Replace the picture if it is there.
    #[arg(long)]
    pub(super) force: bool,
    /// How data is printed.
    #[arg(long, value_enum, default_value = "human")]
    pub(super) format: Format,
    /// Unit of bare lengths.
    #[arg(long, value_name = "in|mm")]
    pub(super) units: Option<String>,
    /// A size of the job, whatever the job says, repeatable: leg=60mm.
    #[arg(long, value_name = "NAME=LENGTH")]
    pub(super) set: Vec<String>,
    /// How large a drawing is that does not say.
    #[command(flatten)]
    pub(super) drawn: DrawnArgs,
}

/// The options of `new`.
#[derive(Debug, Args)]
pub(super) struct NewArgs {
    /// The job's name; NAME.toml is written, and never over another file.
    pub(super) name: String,
}

/// The options of `plan`.
#[derive(Debug, Args)]
#[command(allow_negative_numbers = true)]
pub(super) struct PlanArgs {
    /// A drawing (.svg, .dxf) or a job (.toml); nothing plans the built-in sample.
    pub(super) input: Option<String>,
    /// Where it goes.
    #[command(flatten)]
    pub(super) to: ToArgs,
    /// What is said of the job.
    #[command(flatten)]
    pub(super) job: JobArgs,
}

/// The options of `plan` and what only a plan has.
#[derive(Debug, Args)]
#[command(allow_negative_numbers = true)]
pub(super) struct SheetArgs {
    /// Make a pupil's sheet too, with the bands and directions left to fill in, and its answers.
    #[arg(long)]
    pub(super) handout: bool,
    /// What others have too.
    #[command(flatten)]
    pub(super) plan: PlanArgs,
}

/// The options of `prove`.
#[derive(Debug, Args)]
#[command(allow_negative_numbers = true)]
pub(super) struct ProveArgs {
    /// The programs, in the order in which they run.
    #[arg(required = true)]
    pub(super) programs: Vec<String>,
    /// The drawing (.svg, .dxf) or the job (.toml) that they are to cut the template of; else
    /// the built-in sample.
    #[arg(long = "job", value_name = "INPUT")]
    pub(super) input: Option<String>,
    /// A file (.svg) to draw what the programs will leave standing into.
    #[arg(long, value_name = "FILE")]
    pub(super) picture: Option<String>,
    /// What is said of the job.
    #[command(flatten)]
    pub(super) job: JobArgs,
}

/// Where files go.
#[derive(Debug, Args)]
pub(super) struct ToArgs {
    /// The folder to write into [default: NAME and what it holds, like NAME-plan].
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<String>,
    /// Replace earlier files in that folder.
    #[arg(long)]
    pub(super) force: bool,
}

/// How things are said: on standard output and on paper.
#[derive(Debug, Args)]
pub(super) struct SaidArgs {
    /// How data is printed.
    #[arg(long, value_enum, default_value = "human")]
    pub(super) format: Format,
    /// Unit of bare lengths and of the paper.
    #[arg(long, value_name = "in|mm")]
    pub(super) units: Option<String>,
    /// Finest fraction of an inch on paper, like 1/32.
    #[arg(long, value_name = "1/N")]
    pub(super) fraction: Option<String>,
}

/// Options that say something of a job.
#[derive(Debug, Args)]
pub(super) struct JobArgs {
    /// How it is said.
    #[command(flatten)]
    pub(super) said: SaidArgs,
    /// The part and its stock.
    #[command(flatten)]
    pub(super) part: PartArgs,
    /// The bits and the person.
    #[command(flatten)]
    pub(super) bench: BenchArgs,
    /// The machine.
    #[command(flatten)]
    pub(super) machine: MachineArgs,
}

/// Options about the part and its stock.
#[derive(Debug, Args)]
#[command(next_help_heading = "Part and stock")]
pub(super) struct PartArgs {
    /// How the grain runs: along or across the longer side, or degrees counter-clockwise from +x.
    #[arg(long, value_name = "long|across|DEG")]
    pub(super) grain: Option<String>,
    /// Thickness of the stock, measured.
    #[arg(long, value_name = "LENGTH")]
    pub(super) thick: Option<String>,
    /// Width of the stock, measured.
    #[arg(long, value_name = "LENGTH")]
    pub(super) width: Option<String>,
    /// A size of the job, whatever the job says, repeatable: leg=60mm.
    #[arg(long, value_name = "NAME=LENGTH")]
    pub(super) set: Vec<String>,
    /// Edges that are true already and are not routed, by their sides or by places on them:
    /// left, right, near, far, "at 120.5 45".
    #[arg(long, value_name = "EDGES")]
    pub(super) true_edges: Option<String>,
    /// Edges where the piece goes on past the template.
    #[arg(long, value_name = "EDGES")]
    pub(super) goes_on: Option<String>,
    /// How large a drawing is that does not say.
    #[command(flatten)]
    pub(super) drawn: DrawnArgs,
    /// How many to make.
    #[arg(long, value_name = "N")]
    pub(super) make: Option<String>,
}

/// Options about a drawing: its size where it does not say it, and what of it is meant.
#[derive(Debug, Args)]
#[command(next_help_heading = "The drawing")]
pub(super) struct DrawnArgs {
    /// Pixels an inch of a drawing in pixels: what the program that drew it counts by.
    #[arg(long, value_name = "N", conflicts_with_all = ["known_width", "known_height"])]
    pub(super) ppi: Option<String>,
    /// Width of all that is drawn, where the drawing does not say its size.
    #[arg(long, value_name = "LENGTH", conflicts_with = "known_height")]
    pub(super) known_width: Option<String>,
    /// Height of all that is drawn, where the drawing does not say its size.
    #[arg(long, value_name = "LENGTH")]
    pub(super) known_height: Option<String>,
    /// Read only this layer of a DXF drawing, repeatable; `*` stands for any letters, `?` for one.
    #[arg(long, value_name = "NAME")]
    pub(super) layer: Vec<String>,
    /// Read only what has this colour in a DXF drawing, by its number, repeatable.
    #[arg(long, value_name = "N")]
    pub(super) colour: Vec<String>,
}

/// Options about the bits and the person.
#[derive(Debug, Args)]
#[command(next_help_heading = "Bits and bench")]
pub(super) struct BenchArgs {
    /// A bit you own, repeatable: "1/2in flush-trim" (bearing at the tip), "1/2in pattern, 1in
    /// long" (by the shank), "1/4in straight + 1/2in bush"; or its name on the rack.
    #[arg(long, value_name = "TEXT|NAME")]
    pub(super) bit: Vec<String>,
    /// The rack's file [default: the job's, else bits.toml in the folder for settings].
    #[arg(long, value_name = "FILE")]
    pub(super) bits: Option<String>,
    /// Bearing of every bit, where it differs from the cutter.
    #[arg(long, value_name = "LENGTH")]
    pub(super) bearing: Option<String>,
    /// Cutting length of every bit that names none.
    #[arg(long, value_name = "LENGTH")]
    pub(super) cut_length: Option<String>,
    /// Rout by hand (the default; may stand with --table).
    #[arg(long)]
    pub(super) hand: bool,
    /// Rout at the table.
    #[arg(long)]
    pub(super) table: bool,
    /// Waste to leave for the router.
    #[arg(long, value_name = "LENGTH")]
    pub(super) leave: Option<String>,
    /// Thickness of the template.
    #[arg(long, value_name = "LENGTH")]
    pub(super) template_thick: Option<String>,
    /// The template may be fixed to the other face on pins.
    #[arg(long)]
    pub(super) template_moves: bool,
}

/// Options about a machine that cuts the template.
#[derive(Debug, Args)]
#[command(next_help_heading = "A small CNC, only if one cuts the template")]
pub(super) struct MachineArgs {
    /// The end mill, measured; without it there is no program.
    #[arg(long, value_name = "LENGTH")]
    pub(super) end_mill: Option<String>,
    /// The blank, like 300x200mm.
    #[arg(long, value_name = "WxH")]
    pub(super) blank: Option<String>,
    /// Where X and Y are zero: the blank's lower left corner or its middle.
    #[arg(long, value_name = "corner|centre")]
    pub(super) zero: Option<String>,
    /// Where Z is zero: on top of the blank or on the waste board.
    #[arg(long, value_name = "top|table")]
    pub(super) z_zero: Option<String>,
    /// Travel height above the blank: above every clamp.
    #[arg(long, value_name = "LENGTH")]
    pub(super) clear: Option<String>,
    /// Feed, a length a minute.
    #[arg(long, value_name = "LENGTH")]
    pub(super) feed: Option<String>,
    /// Plunge feed, a length a minute.
    #[arg(long, value_name = "LENGTH")]
    pub(super) plunge: Option<String>,
    /// Turns a minute.
    #[arg(long, value_name = "N")]
    pub(super) rpm: Option<String>,
    /// A post by name, or a post file (.toml).
    #[arg(long, value_name = "NAME|FILE")]
    pub(super) post: Option<String>,
}
