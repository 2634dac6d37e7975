//! The strip that wedges are sawn from: side by side, head to tip, grain along them.

/// A strip with its cuts.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Along the grain: the wedge's length.
    pub length: f64,
    /// Across it, with every kerf.
    pub width: f64,
    /// Its thickness: the wedge's height.
    pub thick: f64,
    /// The cuts in order from the true edge.
    pub cuts: Vec<Cut>,
}

/// One saw cut: where the waste side of its kerf begins, from the true edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// At the near end.
    pub near: f64,
    /// At the far end.
    pub far: f64,
}

impl Strip {
    /// The strip of so many wedges: the first has its head at the near end.
    pub(super) fn of(
        (head, tip): (f64, f64),
        (length, thick): (f64, f64),
        (kerf, count): (f64, u32),
    ) -> Self {
        let mut cuts = Vec::new();
        let (mut near, mut far) = (0.0, 0.0);
        for index in 0..count {
            let (here, there) =
                if index.is_multiple_of(2) { (head, tip) } else { (tip, head) };
            cuts.push(Cut { near: near + here, far: far + there });
            near += here + kerf;
            far += there + kerf;
        }
        Self { length, width: near.max(far), thick, cuts }
    }
}
