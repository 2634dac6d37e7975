//! The path reader against another one, on random path data: `kurbo`'s, which turns arcs into
//! cubics within 0.1.

use kurbo::{BezPath, PathEl, Shape};

use super::svg;
use crate::geom::{Piece, Point};
use crate::read::{Drawn, Path, Stroke};

/// Numbers that look random and are the same each time (a linear congruence, Knuth's MMIX).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = self.0.wrapping_add(1_442_695_040_888_963_407);
        u32::try_from((self.0 >> 33) % u64::from(limit)).expect("less than the limit")
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * f64::from(self.below(1_000_000)) / 1e6
    }

    /// Coordinates to three decimals.
    fn numbers(&mut self, n_numbers: u32) -> String {
        let number = |_| format!(" {:.3}", self.between(-60.0, 60.0));
        (0..n_numbers).map(number).collect::<Vec<_>>().concat()
    }
}

/// Random path data of one subpath, with all commands or without arcs.
fn path_data(numbers: &mut Numbers, arcs: bool) -> String {
    let mut data = format!("M{}", numbers.numbers(2));
    let mut last = 'm';
    for _ in 0..8 {
        let commands = if arcs { "LHVCSQTlhvcsqtAa" } else { "LHVCSQTlhvcsqt" };
        let n_commands = u32::try_from(commands.len()).expect("few");
        let pick = usize::try_from(numbers.below(n_commands)).expect("few");
        let command = char::from(commands.as_bytes()[pick]);
        // After a curve of the other order the peer mirrors a control point, which the
        // standard says it must not.
        let orders = (last.to_ascii_lowercase(), command.to_ascii_lowercase());
        if matches!(orders, ('q' | 't', 's') | ('c' | 's', 't')) {
            continue;
        }
        last = command;
        let arguments = match command.to_ascii_lowercase() {
            'h' | 'v' => numbers.numbers(1),
            'l' | 't' => numbers.numbers(2),
            's' | 'q' => numbers.numbers(4),
            'c' => numbers.numbers(6),
            _ => arc(numbers),
        };
        data.push(command);
        data.push_str(&arguments);
    }
    data + "Z"
}

fn arc(numbers: &mut Numbers) -> String {
    let (rx, ry) = (numbers.between(5.0, 90.0), numbers.between(5.0, 90.0));
    let ry = if numbers.below(2) == 0 { rx } else { ry };
    let tilt = numbers.between(-180.0, 180.0);
    let flags = (numbers.below(2), numbers.below(2));
    format!(" {rx:.3} {ry:.3} {tilt:.2} {} {}{}", flags.0, flags.1, numbers.numbers(2))
}

fn read(data: &str) -> Path {
    let text = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='400mm' height='400mm' viewBox='-200 -200 400 400'><path d='{data}'/></svg>"
    );
    let mut told = svg("path.svg", text.as_bytes()).expect(data);
    assert_eq!(told.value.paths.len(), 1, "one subpath");
    told.value.paths.remove(0)
}

/// Area and end of the strokes, and the length of what is no line.
fn measure(path: &Path) -> (f64, Point, f64) {
    let origin = Point::new(200.0, 200.0);
    let (mut twice, mut end, mut bent) = (0.0, origin, 0.0);
    for Drawn { stroke, .. } in &path.strokes {
        let places: Vec<Point> = match *stroke {
            Stroke::Piece(piece) => {
                if let Piece::Arc { .. } = piece {
                    bent += piece.length();
                }
                twice += piece.twice_area(origin);
                end = piece.to();
                continue;
            }
            Stroke::Cubic([a, b, c, d]) => {
                let cubic =
                    kurbo::CubicBez::new((a.x, a.y), (b.x, b.y), (c.x, c.y), (d.x, d.y));
                (0..=4000)
                    .map(|i| {
                        let at = kurbo::ParamCurve::eval(&cubic, f64::from(i) / 4000.0);
                        Point::new(at.x, at.y)
                    })
                    .collect()
            }
            Stroke::Ellipse { centre, x, y, start, sweep } => {
                bent += sweep.abs() * x.length().max(y.length());
                (0..=4000)
                    .map(|i| {
                        let (sin, cos) =
                            libm::sincos(start + sweep * f64::from(i) / 4000.0);
                        centre + x * cos + y * sin
                    })
                    .collect()
            }
        };
        let chords = places.windows(2);
        twice += chords.map(|w| (w[0] - origin).cross(w[1] - origin)).sum::<f64>();
        end = places[4000];
    }
    (twice / 2.0, end, bent)
}

/// The peer's area, y turned up, and where it closes.
fn peer(data: &str) -> (f64, Point) {
    let path = BezPath::from_svg(data).expect(data);
    let Some(PathEl::MoveTo(start)) = path.elements().first().copied() else {
        panic!("{data} begins with a move")
    };
    (-path.area(), Point::new(start.x + 200.0, 200.0 - start.y))
}

#[test]
fn random_paths_bound_the_same_area_as_another_reader_says() {
    let mut numbers = Numbers(47);
    for round in 0..400 {
        let arcs = round % 2 == 0;
        let data = path_data(&mut numbers, arcs);
        let (area, end, bent) = measure(&read(&data));
        let (expected, start) = peer(&data);
        assert!(end.distance(start) < 1e-9, "{data} ends at {end:?}, not {start:?}");
        // Chords of 1/4000 of a curve, and the peer's arcs within 0.1.
        let slack = 0.02 + if arcs { 0.1 * bent } else { 0.0 };
        assert!((area - expected).abs() < slack, "{data}: {area}, not {expected}");
    }
}
