//! A set-up: template face, bit with its guide, station. Everything else follows from these.
//!
//! The feed does not turn the tooth; only which face of the wood the motor is on does.

use crate::read::Station;
use crate::shop::{Face, Guide};

/// How the template, the bit and the person stand to the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SetUp {
    /// The face of the wood the template lies on.
    pub template_face: Face,
    /// Index of the bit in the rack.
    pub bit: usize,
    /// What guides it.
    pub guide: Guide,
    /// By hand or at the table.
    pub station: Station,
}

/// A way round, as seen by someone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// Counter-clockwise.
    Ccw,
    /// Clockwise.
    Cw,
}

impl Turn {
    /// The short word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ccw => "ccw",
            Self::Cw => "cw",
        }
    }

    /// The other way round.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Ccw => Self::Cw,
            Self::Cw => Self::Ccw,
        }
    }
}

/// What the base rides on by hand, or lies on the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carried {
    /// The template.
    Template,
    /// The part.
    Part,
}

impl Carried {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Template => "template",
            Self::Part => "part",
        }
    }
}

impl SetUp {
    /// The face of the wood the motor is on.
    pub const fn motor_face(self) -> Face {
        match self.guide {
            Guide::Shank | Guide::Bush => self.template_face,
            Guide::Tip => self.template_face.other(),
        }
    }

    /// The face the person looks down on: the motor's by hand, the other at the table.
    pub const fn face_up(self) -> Face {
        match self.station {
            Station::Hand => self.motor_face(),
            Station::Table => self.motor_face().other(),
        }
    }

    /// `+1` with the motor on face A, `−1` on face B: the tooth runs along `s` times the walk.
    pub const fn s(self) -> i8 {
        match self.motor_face() {
            Face::A => 1,
            Face::B => -1,
        }
    }

    /// What carries the router's base by hand, or slides on the table: its face must be flush,
    /// every fastening sunk, and wide enough to carry it.
    pub const fn carried_on(self) -> Carried {
        match self.guide {
            Guide::Shank | Guide::Bush => Carried::Template,
            Guide::Tip => Carried::Part,
        }
    }

    /// The conventional way of the bit round an outside, as the person looks down on the work.
    ///
    /// On face A it runs along `s` times the walk, which is counter-clockwise there; looking
    /// down on face B turns it over.
    pub const fn seen_outside(self) -> Turn {
        let on_face_a = if 0 < self.s() { Turn::Ccw } else { Turn::Cw };
        match self.face_up() {
            Face::A => on_face_a,
            Face::B => on_face_a.other(),
        }
    }

    /// The conventional way round an opening, as the person looks down on the work.
    pub const fn seen_opening(self) -> Turn {
        self.seen_outside().other()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry. By hand the bit goes counter-clockwise round an outside as seen from
    /// above whatever the guide and the face; at the table clockwise.
    #[test]
    fn what_the_person_does_never_changes() {
        for guide in [Guide::Shank, Guide::Tip, Guide::Bush] {
            for template_face in [Face::A, Face::B] {
                for (station, seen) in
                    [(Station::Hand, Turn::Ccw), (Station::Table, Turn::Cw)]
                {
                    let set_up = SetUp { template_face, bit: 0, guide, station };
                    assert_eq!(set_up.seen_outside(), seen, "{set_up:?}");
                    assert_eq!(set_up.seen_opening(), seen.other(), "{set_up:?}");
                }
            }
        }
    }

    const FACES: [Face; 2] = [Face::A, Face::B];
    const GUIDES: [Guide; 3] = [Guide::Shank, Guide::Tip, Guide::Bush];
    const STATIONS: [Station; 2] = [Station::Hand, Station::Table];

    fn holding(template_face: Face, guide: Guide, station: Station) -> SetUp {
        SetUp { template_face, bit: 0, guide, station }
    }

    /// Basis: geometry: the eight holdings of bearing end, station and template face. The
    /// template lies up by hand with the bearing by the shank and at the table with it at the
    /// tip, else down; the tooth runs along the walk where the motor is on face A.
    #[test]
    fn the_eight_holdings() {
        use Face::{A, B};
        use Guide::{Shank, Tip};
        use Station::{Hand, Table};
        use Turn::{Ccw, Cw};
        for (guide, station, template_face, template_up, motor, s, seen) in [
            (Shank, Hand, A, true, A, 1, Ccw),
            (Tip, Hand, A, false, B, -1, Ccw),
            (Shank, Table, A, false, A, 1, Cw),
            (Tip, Table, A, true, B, -1, Cw),
            (Shank, Hand, B, true, B, -1, Ccw),
            (Tip, Hand, B, false, A, 1, Ccw),
            (Shank, Table, B, false, B, -1, Cw),
            (Tip, Table, B, true, A, 1, Cw),
        ] {
            let set_up = holding(template_face, guide, station);
            assert_eq!(set_up.motor_face(), motor, "{set_up:?}");
            assert_eq!(set_up.s(), s, "{set_up:?}");
            assert_eq!(set_up.face_up() == template_face, template_up, "{set_up:?}");
            assert_eq!(set_up.seen_outside(), seen, "{set_up:?}");
            // By hand the base lies on the face that is up; the table under the other one.
            let on_template = (station == Hand) == template_up;
            let carried = if on_template { Carried::Template } else { Carried::Part };
            assert_eq!(set_up.carried_on(), carried, "{set_up:?}");
        }
    }

    /// Where the point of a disc that the person sees at a clock position lies on face A:
    /// turned over left to right where face B is up.
    fn tangent_seen_at(set_up: &SetUp, hours: f64) -> f64 {
        let seen = 90.0 - hours * 30.0;
        let on_face_a = match set_up.face_up() {
            Face::A => seen,
            Face::B => 180.0 - seen,
        };
        on_face_a + 90.0
    }

    /// Basis: published: WOOD, "Reverse routing tames tear-out", woodmagazine.com: a round
    /// piece with the grain from 12 to 6, at the router table, seen from above: conventional
    /// from 9 to 12 and from 3 to 6, the other two quadrants need another way. By hand it is
    /// the other two (geometry). Whichever end the bearing is at, and on whichever face the
    /// template lies.
    #[test]
    fn a_disc_at_the_table_and_by_hand() {
        for face in FACES {
            for guide in GUIDES {
                for station in STATIONS {
                    let set_up = holding(face, guide, station);
                    for (hours, at_table) in
                        [(10.5, true), (1.5, false), (4.5, true), (7.5, false)]
                    {
                        let walk = tangent_seen_at(&set_up, hours);
                        let phi = f64::from(set_up.s()) * crate::grain::phi(walk, 90.0);
                        let good = at_table == (station == Station::Table);
                        assert_eq!(0.0 < phi, good, "{set_up:?} at {hours}: {phi}");
                    }
                }
            }
        }
    }

    /// Basis: geometry.
    #[test]
    fn two_holdings_cut_alike_exactly_when_the_motor_is_on_the_same_face() {
        let all: Vec<SetUp> = FACES
            .into_iter()
            .flat_map(|face| GUIDES.map(|guide| (face, guide)))
            .flat_map(|(face, guide)| {
                STATIONS.map(|station| holding(face, guide, station))
            })
            .collect();
        for one in &all {
            for other in &all {
                for phi in [-80.0, -40.0, -3.0, 3.0, 40.0, 80.0] {
                    let band = |set_up: &SetUp| {
                        crate::grain::Band::of(f64::from(set_up.s()) * phi)
                    };
                    let same = band(one) == band(other);
                    let alike = one.motor_face() == other.motor_face();
                    let either_way = matches!(
                        crate::grain::Band::of(phi),
                        crate::grain::Band::Along | crate::grain::Band::EndGrain
                    );
                    assert_eq!(same, alike || either_way, "{one:?} {other:?} {phi}");
                }
            }
        }
    }
}
