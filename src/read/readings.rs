//! What calipers read on a test piece, and what that says of the machine.

/// What is measured on the test piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feature {
    /// The square's width along X.
    SquareX,
    /// The same along Y.
    SquareY,
    /// The ring's width along X.
    RingX,
    /// The same along Y.
    RingY,
    /// The slot's width, along Y.
    Slot,
    /// The bar's length, along X.
    Long,
    /// The square's diagonal from its lower left corner.
    Rising,
    /// Its other diagonal.
    Falling,
}

impl Feature {
    /// Every one.
    pub const ALL: [Self; 8] = [
        Self::SquareX,
        Self::SquareY,
        Self::RingX,
        Self::RingY,
        Self::Slot,
        Self::Long,
        Self::Rising,
        Self::Falling,
    ];

    /// What it measures as drawn, in mm (geometry: it fits calipers of 150 mm, the bar apart).
    pub const fn mm(self) -> f64 {
        match self {
            Self::SquareX | Self::SquareY => 100.0,
            Self::RingX | Self::RingY => 40.0,
            Self::Slot => 20.0,
            Self::Long => 240.0,
            Self::Rising | Self::Falling => 100.0 * std::f64::consts::SQRT_2,
        }
    }

    /// The key of its reading.
    pub const fn key(self) -> &'static str {
        match self {
            Self::SquareX => "square-x",
            Self::SquareY => "square-y",
            Self::RingX => "ring-x",
            Self::RingY => "ring-y",
            Self::Slot => "slot",
            Self::Long => "long",
            Self::Rising => "rising",
            Self::Falling => "falling",
        }
    }

    /// What to measure, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::SquareX => "square, left to right",
            Self::SquareY => "square, near to far",
            Self::RingX => "ring, left to right",
            Self::RingY => "ring, near to far",
            Self::Slot => "slot, across",
            Self::Long => "bar, end to end",
            Self::Rising => "square, corner near left to far right",
            Self::Falling => "square, corner far left to near right",
        }
    }
}

/// Readings in mm, by feature; the bar and the diagonals may be missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    pub(super) values: Vec<(Feature, f64)>,
}

/// What the readings say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// How wide the cut is.
    pub kerf: f64,
    /// What a length told along X comes out as, as a share.
    pub scale_x: f64,
    /// The same along Y.
    pub scale_y: f64,
    /// How far Y leans from square to X over 100 mm, to the right where it is more than zero.
    pub lean: Option<f64>,
    /// The most that a reading differs from what these say, in mm.
    pub rest: f64,
}

impl Readings {
    /// A reading.
    pub fn get(&self, feature: Feature) -> Option<f64> {
        self.values.iter().find(|value| value.0 == feature).map(|value| value.1)
    }

    /// What they say of a machine that cut the piece as with a mill of this width: the width of
    /// cut and the scales that fit best (geometry: least squares; the middle of the mill goes
    /// round an outside half its width farther out, and round an opening as much farther in).
    pub fn measured(&self, mill: f64) -> Measured {
        let row = |&(feature, read): &(Feature, f64)| Some((row(feature, mill)?, read));
        let rows: Vec<Row> = self.values.iter().filter_map(row).collect();
        let [across_x, scale_y, kerf] = least_squares(&rows);
        let rest = |(row, read): &Row| {
            (row[0] * across_x + row[1] * scale_y + row[2] * kerf - read).abs()
        };
        let lean = self.lean();
        // Between ends that lean calipers read square across, less than along X.
        let slant = lean.unwrap_or(0.0) / 100.0;
        let scale_x = across_x * (1.0 + slant * slant).sqrt();
        let rest = rows.iter().map(rest).fold(0.0, f64::max);
        Measured { kerf, scale_x, scale_y, lean, rest }
    }

    /// How far Y leans over 100 mm, by the square's diagonals (geometry: of a slanted rectangle
    /// their squares differ by four times its two sides and the slant).
    fn lean(&self) -> Option<f64> {
        let sides = self.get(Feature::SquareX)? * self.get(Feature::SquareY)?;
        let (rising, falling) = (self.get(Feature::Rising)?, self.get(Feature::Falling)?);
        Some((rising * rising - falling * falling) / (4.0 * sides) * 100.0)
    }
}

/// How a reading depends on the two scales and on the cut's width, and the reading.
type Row = ([f64; 3], f64);

/// How what is read depends on the two scales and on the cut's width, for a mill of this width.
fn row(feature: Feature, mill: f64) -> Option<[f64; 3]> {
    let (outside, opening) = (feature.mm() + mill, feature.mm() - mill);
    Some(match feature {
        Feature::SquareX | Feature::Long => [outside, 0.0, -1.0],
        Feature::SquareY => [0.0, outside, -1.0],
        Feature::RingX => [opening, 0.0, 1.0],
        Feature::RingY | Feature::Slot => [0.0, opening, 1.0],
        Feature::Rising | Feature::Falling => return None,
    })
}

/// The three numbers that fit best, by the normal equations and Cramer's rule.
fn least_squares(rows: &[Row]) -> [f64; 3] {
    let sum = |of: &dyn Fn(&Row) -> f64| rows.iter().map(of).sum::<f64>();
    let matrix = [0, 1, 2].map(|i| [0, 1, 2].map(|j| sum(&|row| row.0[i] * row.0[j])));
    let right = [0, 1, 2].map(|i| sum(&|row| row.0[i] * row.1));
    let whole = determinant(&matrix);
    [0, 1, 2].map(|column| {
        let mut other = matrix;
        for (line, value) in other.iter_mut().zip(right) {
            line[column] = value;
        }
        determinant(&other) / whole
    })
}

fn determinant(m: &[[f64; 3]; 3]) -> f64 {
    m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
        - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
        + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
}
