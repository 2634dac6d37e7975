//! How deep a bit cuts: in one lap, in laps, or only a layer of the stock.
//!
//! Where a bit by the shank does not reach through, it cuts the upper layer as deep as it gets,
//! and a bit with its bearing at the tip the lower one: turned over, riding on the fresh face,
//! with the tooth the other way round; or through the stock from the same side, riding on the
//! template on the other face, with the tooth as it was.

use super::holding::{Holding, of_rack};
use super::{Layer, SetUp};
use crate::diag::{Problem, Problems};
use crate::shop::{Bit, Face, Guide, Shop, defaults};
use crate::units::{Diameter, Mm};

/// What of the stock a holding cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Depth {
    /// All of it.
    Whole,
    /// From face A down to where no bit by the shank gets deeper.
    Upper,
    /// What is below.
    Lower {
        /// Whether the upper layer must be cut first: to ride on, or to make room.
        after: bool,
    },
}

/// How many kinds of depth there are.
pub(super) const DEPTHS: usize = 3;

impl Depth {
    /// Its place among the kinds: whole, upper, lower.
    pub(super) const fn index(self) -> usize {
        match self {
            Self::Whole => 0,
            Self::Upper => 1,
            Self::Lower { .. } => 2,
        }
    }

    /// Whether it must wait for the other layer.
    pub(super) const fn waits(self) -> bool {
        matches!(self, Self::Lower { after: true })
    }
}

/// The laps in depth that take a bit through the stock, or why it is too short.
pub(super) fn through(
    bit: &Bit,
    guide: Guide,
    shop: &Shop,
) -> Result<Vec<Layer>, Box<Problem>> {
    let Some(thick) = shop.stock.thick.map(Mm::mm) else {
        return Ok(vec![Layer { number: 1, from: 0.0, to: None, template_on: true }]);
    };
    let whole = Layer { number: 1, from: 0.0, to: Some(thick), template_on: true };
    if shop.stock.over_floor.is_some() {
        stops_at_floor(bit, guide, (thick, shop))?;
    }
    let past = past(shop);
    let through = thick + past;
    let length = length(bit);
    let reach = reach(bit);
    if reach < through {
        return Err(too_short(
            (bit, guide),
            &format!(
                "it reaches {} below the base, {} are needed",
                shop.paper.length(reach),
                shop.paper.length(through)
            ),
        ));
    }
    let needs = |what: &str, least: f64| {
        Err(too_short((bit, guide), &format!("{what} {}", shop.paper.length(least))))
    };
    let over_template = reach - shop.template.thick.mm();
    match guide {
        Guide::Tip if length < through => needs(
            "to stand through the stock with its bearing at the tip it needs a cutter of",
            through,
        ),
        Guide::Tip => Ok(vec![whole]),
        Guide::Bush if over_template < through => needs(
            "under the template's thickness it must reach",
            through + shop.template.thick.mm(),
        ),
        Guide::Shank | Guide::Bush if length.min(over_template) < first_lap(through) => {
            needs("below the template a first lap takes at least", first_lap(through))
        }
        Guide::Shank | Guide::Bush => {
            let laps = laps((thick, past), (length, over_template), guide);
            if 1 < laps.len() && guide == Guide::Shank && shank_rubs(bit, bit.bearing) {
                let what = "its shank is wider than its bearing and would rub on the edge above in a second lap; in one it needs a cutter of";
                return needs(what, thick + past);
            }
            Ok(laps)
        }
    }
}

/// Whether a bit can end at the floor of a lap: a bearing at the tip would have to go below it,
/// and a cutter longer than the lap is deep wants a spacer under the template that there is
/// (geometry).
fn stops_at_floor(
    bit: &Bit,
    guide: Guide,
    (deep, shop): (f64, &Shop),
) -> Result<(), Box<Problem>> {
    let sheets = defaults::sheets(shop.paper.unit).iter().copied();
    let most = deep + sheets.fold(0.0, f64::max);
    let why = match guide {
        Guide::Bush => return Ok(()),
        Guide::Shank if length(bit) <= most => return Ok(()),
        Guide::Shank => format!(
            "with the thickest spacer under the template its cutter may be {} long",
            shop.paper.length(most)
        ),
        Guide::Tip => "its bearing at the tip would have to go below it".to_owned(),
    };
    let (number, text) = (bit.number, &bit.text);
    let found = format!("bit {number} (`{text}`) cannot end at a lap's floor: {why}");
    let hint = "a shorter cutter with its bearing by the shank, its cutting length said, or a straight bit in a bush; this one is left out of the plan";
    Err(Box::new(Problem::stop("bit-past-floor", found, hint).at(of_rack(bit))))
}

/// How far the teeth go past the depth that is cut: past the far face, but not into a floor.
pub(super) fn past(shop: &Shop) -> f64 {
    if shop.stock.over_floor.is_some() { 0.0 } else { defaults::PAST_FAR_FACE.value }
}

/// Whether a bit's shank, if it is known, is wider than what goes before it.
fn shank_rubs(bit: &Bit, before: Diameter) -> bool {
    bit.body.shank.is_some_and(|shank| before.mm() < shank.mm())
}

/// The least a first lap takes: enough for the bearing to ride on in the next.
fn first_lap(through: f64) -> f64 {
    (defaults::BEARING_CONTACT.value + defaults::LAP_OVERLAP.value).min(through)
}

fn length(bit: &Bit) -> f64 {
    bit.cut_length.map_or(f64::INFINITY, Mm::mm)
}

fn reach(bit: &Bit) -> f64 {
    bit.reach.map_or(f64::INFINITY, Mm::mm)
}

/// What is left out of the plan: the bit, or of one with two bearings the one that does not serve.
const fn left_out(bit: &Bit, guide: Guide) -> &'static str {
    match guide {
        Guide::Tip if 1 < bit.guides.len() => {
            "its bearing at the tip is left out of the plan"
        }
        Guide::Shank if 1 < bit.guides.len() => {
            "its bearing by the shank is left out of the plan"
        }
        Guide::Shank | Guide::Tip | Guide::Bush => "it is left out of the plan",
    }
}

fn too_short((bit, guide): (&Bit, Guide), needs: &str) -> Box<Problem> {
    let found = format!("bit {} (`{}`) is too short: {needs}", bit.number, bit.text);
    let other = match guide {
        Guide::Tip if bit.guides.len() == 1 => {
            ", or a bit with its bearing by the shank, which can be lowered in laps"
        }
        _ => "",
    };
    let out = left_out(bit, guide);
    let hint = format!("a longer one{other}; {out}");
    Box::new(Problem::stop("bit-too-short", found, hint).at(of_rack(bit)))
}

/// Laps in depth for a bit guided by the shank or a bush, down to a depth and so much past it:
/// each goes as deep as the cutter is long, the later ones overlapping the last.
///
/// After the first a bearing by the shank lies below the template, on the routed edge: the
/// template does not guide it any more, nor do its run-ons, and comes off. A bush stays on it.
fn laps(
    (depth, past): (f64, f64),
    (length, over_template): (f64, f64),
    guide: Guide,
) -> Vec<Layer> {
    let mut layers = Vec::new();
    let mut from = 0.0;
    for number in 1.. {
        let overlap = if number == 1 { 0.0 } else { defaults::LAP_OVERLAP.value };
        let deepest = from + length - overlap;
        let template_on = number == 1 || guide == Guide::Bush;
        let to = if number == 1 { deepest.min(over_template) } else { deepest };
        let last = depth + past <= to;
        // A lap that ends level with the far face would leave nothing for the next to cut.
        let to = if last { depth } else { to.min(depth - defaults::PAST_FAR_FACE.value) };
        layers.push(Layer { number, from, to: Some(to), template_on });
        if last {
            break;
        }
        from = to;
    }
    layers
}

/// Set-ups that do not get through the stock, and why.
type Short = Vec<(Vec<SetUp>, Problem)>;

/// What set-ups that do not get through the stock can cut of it in layers, and the bits that
/// are of no use even so.
///
/// A layer is cut only with a motor face from which no bit gets through.
pub(super) fn parted(
    shop: &Shop,
    all: &[Holding],
    short: Short,
) -> (Vec<Holding>, Problems) {
    let Some(thick) = shop.stock.thick.map(Mm::mm) else {
        return (Vec::new(), Vec::new());
    };
    let gets_through = |face: Face| all.iter().any(|it| it.set_up.motor_face() == face);
    let upper = |set_up: &SetUp| {
        let from_a = set_up.guide != Guide::Tip && set_up.template_face == Face::A;
        let bit = &shop.bits[set_up.bit];
        let depth = deepest(bit, set_up.guide, shop).filter(|_| from_a)?;
        (!gets_through(Face::A)).then_some(depth)
    };
    let set_ups = short.iter().flat_map(|(set_ups, _)| set_ups);
    // A lap's floor is not met by a second layer from the other face.
    let set_ups = set_ups.filter(|_| shop.stock.over_floor.is_none());
    let border = set_ups.filter_map(upper).fold(0.0, f64::max);
    let layered = Layered { shop, thick, border };
    let (mut parted, mut stops) = (Vec::new(), Problems::new());
    for (set_ups, stop) in short {
        let held: Vec<Holding> = set_ups
            .into_iter()
            .filter(|_| 0.0 < border)
            .filter(|set_up| !gets_through(set_up.motor_face()))
            .filter_map(|set_up| Some(Holding::new(set_up, layered.cut(&set_up)?, shop)))
            .collect();
        if held.is_empty() {
            stops.push(stop);
        }
        parted.extend(held);
    }
    (parted, stops)
}

/// How deep a bit by the shank or in a bush gets where it does not get through: `None` where
/// it takes no first lap.
fn deepest(bit: &Bit, guide: Guide, shop: &Shop) -> Option<f64> {
    let thick = shop.stock.thick?.mm();
    let over_template = reach(bit) - shop.template.thick.mm();
    let first = length(bit).min(over_template);
    let deepest = match guide {
        // A second lap has the shank beside the edge above.
        Guide::Shank if shank_rubs(bit, bit.bearing) => first,
        Guide::Shank => reach(bit),
        Guide::Bush => over_template,
        Guide::Tip => return None,
    };
    (first_lap(thick) <= first)
        .then_some(deepest.min(thick - defaults::PAST_FAR_FACE.value))
}

/// Stock cut in two layers that meet at the border.
struct Layered<'a> {
    shop: &'a Shop,
    thick: f64,
    /// How deep the upper layer is, from face A.
    border: f64,
}

impl Layered<'_> {
    /// What of the stock a set-up cuts, and in which laps.
    fn cut(&self, set_up: &SetUp) -> Option<(Depth, Vec<Layer>)> {
        let bit = &self.shop.bits[set_up.bit];
        match (set_up.guide, set_up.template_face) {
            (Guide::Tip, Face::A) => self.turned_over(bit),
            (Guide::Tip, Face::B) => self.reaching_through(bit),
            (Guide::Shank | Guide::Bush, Face::A) => {
                let enough = self.border <= deepest(bit, set_up.guide, self.shop)?;
                enough
                    .then(|| (Depth::Upper, self.down_to(bit, set_up.guide, self.border)))
            }
            (Guide::Shank | Guide::Bush, Face::B) => {
                let below = self.thick - self.border;
                let enough = below <= deepest(bit, set_up.guide, self.shop)?;
                let depth = Depth::Lower { after: false };
                enough.then(|| (depth, self.down_to(bit, set_up.guide, below)))
            }
        }
    }

    fn down_to(&self, bit: &Bit, guide: Guide, depth: f64) -> Vec<Layer> {
        let over_template = reach(bit) - self.shop.template.thick.mm();
        laps((depth, 0.0), (length(bit), over_template), guide)
    }

    /// The cutter stands over all that is left above its bearing.
    fn stands_over(&self, bit: &Bit) -> bool {
        self.thick - self.border + defaults::PAST_FAR_FACE.value <= length(bit)
    }

    /// Turned over, the template off, the bearing on the fresh face of the upper layer.
    fn turned_over(&self, bit: &Bit) -> Option<(Depth, Vec<Layer>)> {
        let contact = defaults::BEARING_CONTACT.value;
        let reaches = self.thick - self.border + contact <= reach(bit);
        let layer = Layer {
            number: 2,
            from: self.border,
            to: Some(self.thick),
            template_on: false,
        };
        let rides = contact <= self.border && reaches && self.stands_over(bit);
        rides.then(|| (Depth::Lower { after: true }, vec![layer]))
    }

    /// Through the stock from face A, the bearing on the template on face B.
    fn reaching_through(&self, bit: &Bit) -> Option<(Depth, Vec<Layer>)> {
        let reaches = self.thick + defaults::PAST_FAR_FACE.value <= reach(bit);
        let to = Some(self.thick - self.border);
        let layer = Layer { number: 2, from: 0.0, to, template_on: true };
        // The shank stands beside the edge that was routed above.
        let rides = reaches && self.stands_over(bit) && !shank_rubs(bit, bit.cutter);
        rides.then(|| (Depth::Lower { after: true }, vec![layer]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::holding::Size;
    use crate::plan::shapes;
    use crate::units::Mm;

    fn depths(layers: &[Layer]) -> Vec<(f64, f64, bool)> {
        layers
            .iter()
            .map(|layer| (layer.from, layer.to.expect("known"), layer.template_on))
            .collect()
    }

    /// Basis: geometry: a bit longer than the stock and 1 mm cuts it in one lap; else each lap
    /// goes as deep as the cutter is long, less 1 mm of overlap after the first.
    #[test]
    fn laps_go_as_deep_as_the_cutter_is_long() {
        let far = f64::INFINITY;
        assert_eq!(
            depths(&laps((20.0, 1.0), (21.0, far), Guide::Shank)),
            vec![(0.0, 20.0, true)],
            "one lap"
        );
        assert_eq!(
            depths(&laps((20.0, 1.0), (20.0, far), Guide::Shank)),
            vec![(0.0, 19.0, true), (19.0, 20.0, false)],
            "the teeth must stand 1 mm past the far face"
        );
        assert_eq!(
            depths(&laps((45.0, 1.0), (25.4, far), Guide::Bush)),
            vec![(0.0, 25.4, true), (25.4, 45.0, true)],
            "a bush rides on the template in both"
        );
        assert_eq!(
            depths(&laps((45.0, 1.0), (25.4, far), Guide::Shank)),
            vec![(0.0, 25.4, true), (25.4, 45.0, false)],
            "a bearing by the shank lies on the routed edge in the second"
        );
    }

    const BY_HAND: crate::read::Station = crate::read::Station::Hand;

    /// A rack for stock of 70: bits by cutting length, reach and guide.
    fn rack(bits: &[(f64, f64, Guide)]) -> Shop {
        let mut shop = shapes::shop(0.0, &vec![12.7; bits.len()]);
        shop.stock.thick = Some(Mm::of(70.0));
        shop.template.thick = Mm::of(4.0);
        for (bit, &(length, reach, guide)) in shop.bits.iter_mut().zip(bits) {
            (bit.cut_length, bit.reach) = (Some(Mm::of(length)), Some(Mm::of(reach)));
            bit.guides = vec![guide];
        }
        shop
    }

    fn held(shop: &Shop) -> (Vec<Holding>, Vec<&'static str>) {
        let (all, notes) = super::super::holding::holdings(shop, Size::Handy);
        (all, notes.iter().map(|note| note.id).collect())
    }

    /// Basis: geometry. A bit that reaches 55 below the base routs 55 of 70 from face A, in a
    /// lap on the template as deep as the cutter is long and one without; 15 are left for a bit turned
    /// over, whose cutter must be 16 long.
    #[test]
    fn what_no_bit_cuts_through_is_cut_in_two_layers() {
        let shop = rack(&[(50.8, 55.0, Guide::Shank), (38.1, 60.0, Guide::Tip)]);
        let (all, notes) = held(&shop);
        assert!(notes.is_empty(), "both are of use: {notes:?}");
        let [upper, lower] = all.as_slice() else { panic!("{all:?}") };
        assert_eq!(upper.depth, Depth::Upper, "the bearing by the shank first");
        assert_eq!(depths(&upper.layers), vec![(0.0, 50.8, true), (50.8, 55.0, false)]);
        assert_eq!(
            lower.depth,
            Depth::Lower { after: true },
            "it rides on the fresh face"
        );
        assert_eq!(depths(&lower.layers), vec![(55.0, 70.0, false)]);
        assert_eq!(upper.set_up.s(), -lower.set_up.s(), "the tooth turns: geometry");
        assert_eq!(lower.set_up.station, BY_HAND, "by hand");
    }

    /// Basis: geometry. With the template on face B on pins and a tip bearing that reaches
    /// through, the motor stays on face A: the lower layer has the same tooth as the upper.
    #[test]
    fn the_template_on_the_other_face_keeps_the_tooth() {
        let mut shop = rack(&[(50.8, 55.0, Guide::Shank), (20.0, 71.0, Guide::Tip)]);
        shop.template.moves = true;
        let (all, _) = held(&shop);
        let same = all.iter().find(|it| {
            it.depth == Depth::Lower { after: true } && it.set_up.template_face == Face::B
        });
        let same = same.expect("it reaches through");
        assert_eq!(same.set_up.motor_face(), Face::A, "the motor stays");
        assert_eq!(depths(&same.layers), vec![(0.0, 15.0, true)], "measured from face B");
    }

    /// Basis: geometry: beside the upper layer stands the shank: 12.7 wide behind a cutter of
    /// 9.5 it would rub; so would it in a second lap above a bearing of 9.5.
    #[test]
    fn a_shank_has_room_beside_what_was_routed() {
        let mut shop = rack(&[(50.8, 55.0, Guide::Shank), (20.0, 71.0, Guide::Tip)]);
        shop.template.moves = true;
        let narrow = Diameter::new(Mm::of(9.525)).expect("it has a width");
        let lower = |shop: &Shop| {
            held(shop).0.iter().any(|it| matches!(it.depth, Depth::Lower { .. }))
        };
        assert!(lower(&shop), "the shank is not known");
        for bit in &mut shop.bits {
            (bit.cutter, bit.bearing) = (narrow, narrow);
        }
        shop.bits[1].body.shank = Diameter::new(Mm::of(12.7));
        let through = held(&shop).0;
        assert!(
            !through
                .iter()
                .any(|it| it.set_up.bit == 1 && it.set_up.template_face == Face::B),
            "no room: {through:?}"
        );
        let laps = |shank: f64| {
            let mut shop = rack(&[(40.0, 90.0, Guide::Shank)]);
            (shop.bits[0].cutter, shop.bits[0].bearing) = (narrow, narrow);
            shop.bits[0].body.shank = Diameter::new(Mm::of(shank));
            let all = held(&shop).0;
            depths(&all[0].layers)
        };
        assert_eq!(laps(6.35), [(0.0, 40.0, true), (40.0, 70.0, false)], "two laps");
        assert_eq!(laps(12.7), [(0.0, 40.0, true)], "it would rub in the second");
    }

    /// Basis: geometry: whatever the set-ups, the upper layers all end where the lower ones
    /// begin, so that no neighbours meet in a step.
    #[test]
    fn all_layers_meet_at_one_depth() {
        let mut shop = rack(&[
            (50.8, 55.0, Guide::Shank),
            (45.0, 60.0, Guide::Shank),
            (50.8, 60.0, Guide::Shank),
            (38.1, 60.0, Guide::Tip),
            (20.0, 71.0, Guide::Tip),
        ]);
        for moves in [false, true] {
            shop.template.moves = moves;
            let (all, _) = held(&shop);
            let mut borders = Vec::new();
            for it in &all {
                let last = it.layers[it.layers.len() - 1].to.expect("known");
                borders.push(match (it.depth, it.set_up.template_face) {
                    (Depth::Whole, _) => continue,
                    (Depth::Upper, _) => last,
                    (Depth::Lower { .. }, Face::A) => it.layers[0].from,
                    (Depth::Lower { .. }, Face::B) => 70.0 - last,
                });
            }
            assert!(3 < borders.len(), "several set-ups: {all:?}");
            let one = borders[0];
            assert!(borders.iter().all(|it| (it - one).abs() < 1e-9), "{borders:?}");
        }
    }

    #[test]
    fn a_bit_too_short_for_what_still_stands_is_left_out() {
        let shop = rack(&[(50.8, 55.0, Guide::Shank), (15.0, 60.0, Guide::Tip)]);
        let (all, notes) = held(&shop);
        assert_eq!(all.len(), 1, "16 mm of cutter are needed: {all:?}");
        assert_eq!(notes, ["bit-too-short"], "and it is said");
        let (none, notes) = held(&rack(&[(20.0, 60.0, Guide::Tip)]));
        assert!(none.is_empty(), "nothing to ride on: {none:?}");
        assert_eq!(notes, ["bit-too-short"], "and it is said");
    }
}
