//! What irons look like by period: the starting numbers of the trade (common practice, no source), linear between
//! periods.

/// Middle years of the periods that the tables below stand on.
const PERIODS: [f64; 11] = [1785.0, 1815.0, 1840.0, 1860.0, 1875.0, 1885.0, 1895.0, 1905.0, 1915.0, 1925.0, 1933.0];

/// Value at a year, linear between periods and constant outside.
pub fn at(row: &[f64; 11], year: f64) -> f64 {
    let Some(next) = PERIODS.iter().position(|p| *p > year) else { return row[10] };
    if next == 0 {
        return row[0];
    }
    let share = (year - PERIODS[next - 1]) / (PERIODS[next] - PERIODS[next - 1]);
    row[next - 1] * (1.0 - share) + row[next] * share
}

/// Mean of each measure on a long iron, and its spread between clubs as a share of the mean.
pub struct Measure {
    pub mean: [f64; 11],
    pub spread: f64,
}

pub const HOSEL_LENGTH: Measure =
    Measure { mean: [5.7, 5.4, 5.1, 4.7, 4.45, 4.3, 4.0, 3.6, 3.45, 3.35, 3.25], spread: 0.085 };
pub const HOSEL_DIAMETER: Measure =
    Measure { mean: [0.93, 0.83, 0.80, 0.72, 0.68, 0.66, 0.64, 0.62, 0.60, 0.59, 0.58], spread: 0.055 };
pub const TOP_EDGE: Measure =
    Measure { mean: [0.40, 0.31, 0.29, 0.24, 0.21, 0.19, 0.165, 0.135, 0.125, 0.12, 0.115], spread: 0.16 };
pub const SOLE_WIDTH: Measure =
    Measure { mean: [0.50, 0.47, 0.45, 0.38, 0.35, 0.33, 0.31, 0.28, 0.30, 0.33, 0.36], spread: 0.17 };
pub const WEIGHT: Measure =
    Measure { mean: [16.8, 16.5, 16.2, 15.4, 15.1, 15.0, 14.9, 14.8, 14.9, 15.0, 15.1], spread: 0.055 };

/// Levels of a clue with their shares in per cent by period.
pub type Looks<const K: usize> = [(&'static str, [f64; 11]); K];

pub const NICKING_COARSENESS: Looks<4> = [
    ("coarse", [70., 65., 55., 38., 26., 18., 10., 4., 2., 1., 1.]),
    ("medium", [25., 29., 36., 48., 52., 52., 45., 30., 18., 12., 8.]),
    ("fine", [2., 3., 5., 10., 18., 26., 41., 62., 72., 70., 58.]),
    ("absent", [3., 3., 4., 4., 4., 4., 4., 4., 8., 17., 33.]),
];
pub const NICKING_REGULARITY: Looks<3> = [
    ("irregular", [84., 81., 74., 60., 48., 38., 24., 10., 5., 3., 3.]),
    ("fair", [15., 18., 25., 38., 47., 52., 52., 40., 25., 17., 12.]),
    ("even", [1., 1., 1., 2., 5., 10., 24., 50., 70., 80., 85.]),
];
pub const HOSEL_JOIN: Looks<3> = [
    ("sharp", [75., 70., 60., 45., 30., 20., 12., 6., 4., 3., 2.]),
    ("soft", [20., 24., 30., 38., 42., 40., 33., 24., 18., 14., 12.]),
    ("curve", [5., 6., 10., 17., 28., 40., 55., 70., 78., 83., 86.]),
];
pub const PIN_DIRECTION: Looks<4> = [
    ("front_back", [80., 70., 40., 6., 2., 1., 1., 1., 1., 1., 1.]),
    ("oblique", [12., 12., 8., 2., 1., 1., 1., 1., 1., 1., 1.]),
    ("side_side", [6., 15., 48., 90., 95., 96., 96., 96., 95., 93., 90.]),
    ("none_visible", [2., 3., 4., 2., 2., 2., 2., 2., 3., 5., 8.]),
];
pub const HAMMER_WELD: Looks<3> = [
    ("open", [65., 55., 38., 18., 10., 7., 4., 2., 1., 1., 1.]),
    ("trace", [25., 30., 35., 34., 28., 23., 16., 8., 5., 3., 2.]),
    ("none_seen", [10., 15., 27., 48., 62., 70., 80., 90., 94., 96., 97.]),
];
pub const FACE_SCORING: Looks<6> = [
    ("smooth", [96., 96., 96., 95., 95., 94., 88., 52., 16., 4., 2.]),
    ("hand_lines", [2., 2., 2., 2.5, 2.5, 3., 5., 12., 7., 2., 1.]),
    ("hand_dots", [1., 1., 1., 1.5, 1.5, 2., 5., 16., 12., 4., 2.]),
    ("stamped_dots", [0.4, 0.4, 0.4, 0.4, 0.4, 0.4, 1., 12., 33., 30., 18.]),
    ("stamped_lines", [0.4, 0.4, 0.4, 0.4, 0.4, 0.4, 0.8, 7.8, 26., 56., 76.5]),
    ("deep_ribs", [0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 6., 4., 0.5]),
];
pub const FACE_HOLLOW: Looks<3> = [
    ("dished", [70., 66., 55., 34., 25., 16., 8., 3., 2., 2., 2.]),
    ("slight", [22., 24., 30., 40., 40., 36., 26., 14., 8., 6., 6.]),
    ("flat", [8., 10., 15., 26., 35., 48., 66., 83., 90., 92., 92.]),
];
pub const MARKS: Looks<3> = [
    ("absent", [91., 89., 83., 55., 38., 24., 12., 6., 3., 1., 1.]),
    ("one_mark", [8., 10., 16., 43., 56., 62., 45., 30., 22., 18., 18.]),
    ("two_marks", [1., 1., 1., 2., 6., 14., 43., 64., 75., 81., 81.]),
];
pub const NAME_OR_NUMBER: Looks<3> = [
    ("absent", [99., 99., 99., 97.5, 95.5, 90.5, 79., 59., 36., 20., 13.]),
    ("club_name", [0.5, 0.5, 0.5, 2., 4., 9., 20., 40., 62., 57., 32.]),
    ("number", [0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 1., 1., 2., 23., 55.]),
];
pub const HEAD_FINISH: Looks<4> = [
    ("bare", [99., 99., 99., 99., 99., 98.6, 96.6, 94.5, 91., 66., 29.]),
    ("nickel", [0.5, 0.5, 0.5, 0.5, 0.5, 1., 3., 5., 8., 8., 5.]),
    ("chrome", [0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.3, 7., 35.]),
    ("rustless", [0.3, 0.3, 0.3, 0.3, 0.3, 0.2, 0.2, 0.3, 0.7, 19., 31.]),
];
