//! Figures of the bench: waste, passes, limits, minutes; and what a machine is given.

use super::{Basis, Default};

const MOST_WASTE_SEEN: &str = "WOOD magazine, \"A template means never having to say oops\", no year given, woodmagazine.com";

/// Waste left for the router: 1/16 in.
pub const LEAVE: Default = Default {
    name: "waste left for the router",
    value: 1.5875,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "--leave, or `leave` in a job",
};
/// Waste left in stock that splits far or whose grain runs no one way: 1/32 in.
pub const LEAVE_TENDER: Default = Default {
    name: "waste left in stringy, interlocked, curly or mixed stock",
    value: 0.8,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "--leave, or `leave` in a job",
};
/// Waste left on end grain.
pub const LEAVE_END_GRAIN: Default = Default {
    name: "waste left on end grain, and where the edge runs over 60 degrees downhill",
    value: 0.8,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "a smaller `leave`",
};
/// The most waste with any bit.
pub const MOST_WASTE: Default = Default {
    name: "most waste with any bit",
    value: 3.0,
    unit: "mm",
    basis: Basis::Published(MOST_WASTE_SEEN),
    change: "not to be changed",
};
/// The most waste as a share of the bit's diameter.
pub const MOST_WASTE_OF_DIAMETER: Default = Default {
    name: "most waste as a share of the bit's diameter",
    value: 0.25,
    unit: "of the diameter",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// By how much the waste may pass its limit.
pub const WASTE_GRACE: Default = Default {
    name: "by how much the waste may pass its limit",
    value: 0.1,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Over a floor a cutter may be longer than the floor is deep by no more than this.
pub const CUTTER_GRACE: Default = Default {
    name: "by how much a cutter over a floor may pass the depth without a spacer",
    value: 0.05,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Overlap past the place where the grain turns.
pub const OVERLAP: Default = Default {
    name: "overlap of a pass past the place where the grain turns",
    value: 12.0,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "not to be changed",
};
/// How far the template runs on past the part.
pub const RUN_ON: Default = Default {
    name: "how far the template runs on past the part",
    value: 50.0,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "`template.run-on` in a job",
};
/// Thickness of the template: 1/2 in.
pub const TEMPLATE_THICK: Default = Default {
    name: "thickness of the template",
    value: 12.7,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "--template-thick",
};
/// Least height of template under the bearing.
pub const BEARING_CONTACT: Default = Default {
    name: "least height of template or routed edge under the bearing",
    value: 3.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// How far the teeth reach past the far face.
pub const PAST_FAR_FACE: Default = Default {
    name: "how far the teeth reach past the far face",
    value: 1.0,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "not to be changed",
};
/// How far one lap in depth overlaps the last.
pub const LAP_OVERLAP: Default = Default {
    name: "how far one lap in depth overlaps the last",
    value: 1.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// How far before an outside corner a lap by hand begins.
pub const BEFORE_CORNER: Default = Default {
    name: "how far before an outside corner a lap by hand begins",
    value: 25.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Least edge a further set-up must rout to be made.
pub const LEAST_SET_UP: Default = Default {
    name: "least edge a further set-up must rout to be made",
    value: 25.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Short end grain, in bit diameters.
pub const SHORT_END_GRAIN: Default = Default {
    name: "end grain shorter than this that runs into an inside corner goes to the hand",
    value: 2.0,
    unit: "bit diameters",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// A tight hollow, in bit radii.
pub const TIGHT_HOLLOW: Default = Default {
    name: "end grain in a hollow tighter than this goes to the hand",
    value: 1.5,
    unit: "bit radii",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// A point of wood sharper than this cannot be backed.
pub const POINT: Default = Default {
    name: "a point of wood sharper than this cannot be backed",
    value: 60.0,
    unit: "degrees",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Engagement over which to take care.
pub const ENGAGEMENT_CAUTION: Default = Default {
    name: "engagement of the bit over which to take care",
    value: 75.0,
    unit: "degrees",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Engagement that is too much.
pub const ENGAGEMENT_STOP: Default = Default {
    name: "engagement of the bit that is too much",
    value: 110.0,
    unit: "degrees",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Least waste it is worth sawing or sanding down to.
pub const LEAST_WASTE: Default = Default {
    name: "least waste it is worth sawing or sanding down to",
    value: 0.4,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Clearance of an entry hole all round the turning bit.
pub const ENTRY_CLEARANCE: Default = Default {
    name: "clearance of an entry hole all round the turning bit",
    value: 1.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// The least width of an opening that takes bit and starting pin at the table.
pub const ROOM_FOR_PIN: Default = Default {
    name: "least width of an opening routed at the table, for bit and starting pin",
    value: 60.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// A turn of the edge under which the bearing rides on as over a smooth edge.
pub const CORNER: Default = Default {
    name: "turn of the edge under which a pass goes on as over a smooth edge",
    value: 10.0,
    unit: "degrees",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// A bit whose centre moves less than this in a hollow only arrives in it.
pub const ARRIVAL: Default = Default {
    name: "way of the bit in a hollow under which it only arrives there, as in a corner",
    value: 1.5,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Highest speed at the rim of a bit.
pub const RIM_SPEED: Default = Default {
    name: "highest speed at the rim of a bit",
    value: 56.0,
    unit: "m/s",
    basis: Basis::CommonPractice,
    change: "not to be changed",
};
/// Highest speed of any router bit.
pub const TOP_SPEED: Default = Default {
    name: "highest speed of any router bit",
    value: 24000.0,
    unit: "turns a minute",
    basis: Basis::CommonPractice,
    change: "the speed marked on the bit: `max 18000` in its text",
};
/// Shank in the collet.
pub const COLLET: Default = Default {
    name: "shank in the collet, unless the bit is marked",
    value: 20.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Largest bit in a router held by hand.
pub const LARGEST_BY_HAND: Default = Default {
    name: "largest bit in a router held by hand",
    value: 32.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// A part smaller than this is not held by hand at the table.
pub const SMALL_PART: Default = Default {
    name: "a part smaller than this is not held by hand at the table",
    value: 300.0,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "not to be changed",
};
/// Nearest the hands come to the bit.
pub const HANDS: Default = Default {
    name: "nearest the hands come to the bit",
    value: 100.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Width of a router's base.
pub const ROUTER_BASE: Default = Default {
    name: "width of a router's base",
    value: 150.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Turning the work over or changing the bit.
pub const MINUTES_SET_UP: Default = Default {
    name: "turning the work over or changing the bit",
    value: 6.0,
    unit: "minutes",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Fixing the template to the other face.
pub const MINUTES_OTHER_FACE: Default = Default {
    name: "fixing the template to the other face",
    value: 15.0,
    unit: "minutes",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// A pass, beside its length.
pub const MINUTES_PASS: Default = Default {
    name: "a pass, beside its length",
    value: 1.0,
    unit: "minutes",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// A metre of pass.
pub const MINUTES_METRE: Default = Default {
    name: "a metre of pass",
    value: 2.0,
    unit: "minutes",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// An inside corner by hand.
pub const MINUTES_CORNER: Default = Default {
    name: "an inside corner by hand",
    value: 4.0,
    unit: "minutes",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// 100 mm of edge by plane or spokeshave.
pub const MINUTES_PLANE: Default = Default {
    name: "100 mm of edge by plane or spokeshave",
    value: 6.0,
    unit: "minutes",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// 100 mm of hollow by rasp or drum.
pub const MINUTES_RASP: Default = Default {
    name: "100 mm of hollow by rasp or drum",
    value: 10.0,
    unit: "minutes",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Height above the blank at which the machine travels.
pub const CLEAR: Default = Default {
    name: "height above the blank at which the machine travels",
    value: 15.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "--clear",
};
/// How far the end mill goes into the waste board.
pub const THROUGH: Default = Default {
    name: "how far the end mill goes into the waste board",
    value: 0.3,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`through` under [machine]",
};
/// Most feed of the machine.
pub const MOST_FEED: Default = Default {
    name: "most feed of the machine",
    value: 3000.0,
    unit: "mm a minute",
    basis: Basis::FromMemory,
    change: "`feed-most` under [machine]",
};
/// Chip of a light machine, as a share of the least that charts for stiff ones give.
pub const CHIP_SHARE: Default = Default {
    name: "chip of a light machine, as a share of the least in charts for stiff ones",
    value: 0.35,
    unit: "of the chart's",
    basis: Basis::FromMemory,
    change: "`chip` or `feed` under [machine]",
};
/// A thinner chip rubs.
pub const LEAST_CHIP: Default = Default {
    name: "a thinner chip rubs instead of cutting",
    value: 0.025,
    unit: "mm a tooth",
    basis: Basis::CommonPractice,
    change: "`chip` or `feed` under [machine]",
};
/// Plunge feed of the machine.
pub const PLUNGE: Default = Default {
    name: "plunge feed of the machine",
    value: 300.0,
    unit: "mm a minute",
    basis: Basis::FromMemory,
    change: "--plunge",
};
/// Turns of the machine's end mill.
pub const MACHINE_SPEED: Default = Default {
    name: "turns of the machine's end mill",
    value: 10000.0,
    unit: "turns a minute",
    basis: Basis::FromMemory,
    change: "--rpm",
};

/// The finest fraction of an inch on paper, as its lower number.
pub const FINEST_FRACTION: Default = Default {
    name: "finest fraction of an inch on paper, as its lower number",
    value: 32.0,
    unit: "to the inch",
    basis: Basis::CommonPractice,
    change: "--fraction",
};

/// Edge left to the hand under this length is no news.
pub const SMALL_PIECE: Default = Default {
    name: "edge left to the hand that is shorter than this is a hint, not a stop",
    value: 10.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// How far off the stock the centre of an arc may lie for a trammel to reach it.
pub const CENTRE_OFF_STOCK: Default = Default {
    name: "how far off the stock a centre is laid out",
    value: 300.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// All of these, in the order they are printed.
pub(super) const BENCH: [Default; 49] = [
    LEAVE,
    LEAVE_TENDER,
    LEAVE_END_GRAIN,
    MOST_WASTE,
    MOST_WASTE_OF_DIAMETER,
    WASTE_GRACE,
    CUTTER_GRACE,
    OVERLAP,
    RUN_ON,
    TEMPLATE_THICK,
    BEARING_CONTACT,
    PAST_FAR_FACE,
    LAP_OVERLAP,
    BEFORE_CORNER,
    LEAST_SET_UP,
    SMALL_PIECE,
    SHORT_END_GRAIN,
    TIGHT_HOLLOW,
    POINT,
    ENGAGEMENT_CAUTION,
    ENGAGEMENT_STOP,
    LEAST_WASTE,
    ENTRY_CLEARANCE,
    ROOM_FOR_PIN,
    CORNER,
    ARRIVAL,
    RIM_SPEED,
    TOP_SPEED,
    COLLET,
    LARGEST_BY_HAND,
    SMALL_PART,
    HANDS,
    ROUTER_BASE,
    MINUTES_SET_UP,
    MINUTES_OTHER_FACE,
    MINUTES_PASS,
    MINUTES_METRE,
    MINUTES_CORNER,
    MINUTES_PLANE,
    MINUTES_RASP,
    CLEAR,
    THROUGH,
    MOST_FEED,
    CHIP_SHARE,
    LEAST_CHIP,
    PLUNGE,
    MACHINE_SPEED,
    FINEST_FRACTION,
    CENTRE_OFF_STOCK,
];

/// What a careful person starts a bit of this diameter at (common practice, no source): up to
/// so many mm across, so many turns a minute; larger bits at the last.
pub const CAREFUL_SPEEDS: [(f64, f64); 7] = [
    (6.4, 24000.0),
    (12.7, 22000.0),
    (19.1, 18000.0),
    (25.4, 16000.0),
    (50.8, 10000.0),
    (63.5, 9000.0),
    (f64::INFINITY, 8000.0),
];

/// The handy steps of a layout, the longest first, in mm and in inches (from memory).
pub const LAYOUT_STEPS_MM: [f64; 6] = [200.0, 100.0, 50.0, 25.0, 10.0, 5.0];
/// The same in inches.
pub const LAYOUT_STEPS_INCH: [f64; 6] = [8.0, 4.0, 2.0, 1.0, 0.5, 0.25];
