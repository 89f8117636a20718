//! Invents one club: its year, workshop and grade first, then everything that follows from them.

use crate::looks_by_period::{
    FACE_HOLLOW, FACE_SCORING, HAMMER_WELD, HEAD_FINISH, HOSEL_DIAMETER, HOSEL_JOIN, HOSEL_LENGTH, Looks, MARKS,
    Measure, NAME_OR_NUMBER, NICKING_COARSENESS, NICKING_REGULARITY, PIN_DIRECTION, SOLE_WIDTH, TOP_EDGE, WEIGHT, at,
};
use rand::RngExt as _;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

/// Columns of the collection, in the order of the cells that `invent` returns.
pub const COLUMNS: [&str; 23] = [
    "id",
    "made_from",
    "made_to",
    "date_grade",
    "club_type",
    "loft",
    "blade_height",
    "hosel_to_crease",
    "hosel_top_diameter",
    "top_edge",
    "sole_width",
    "head_weight",
    "nicking_coarseness",
    "nicking_regularity",
    "hosel_join",
    "pin_direction",
    "hammer_weld",
    "face_scoring",
    "face_hollow",
    "marks_on_head",
    "name_or_number",
    "head_finish",
    "note",
];

/// The three workshops of the scenario: share of the clubs, and years by which each lags behind the fashion.
const WORKSHOPS: [(&str, f64, f64); 3] =
    [("Quay Forge", 0.45, -3.0), ("Upper Yard", 0.35, 3.0), ("Whin Smithy", 0.20, 9.0)];

struct Club {
    /// Year of the fashion that the club follows: its own less the workshop's lag and the smith's.
    fashion: f64,
    /// Made down to a price: bare, unmarked, smooth for longer, seams left.
    budget: bool,
    kind: &'static str,
    loft: f64,
    height: f64,
    /// Heavy-handed or light-handed work: moves all measures together.
    hand: f64,
}

/// Cells of one club made in a year from..=to.
pub fn invent(random: &mut ChaCha8Rng, number: usize, (from, to): (i32, i32)) -> Vec<String> {
    let year = random.random_range(from..=to);
    let (workshop, lag) = workshop(random);
    let club = Club::draw(random, f64::from(year) - lag);
    let (made_from, made_to, grade) = dated(random, year);
    let mut cells = vec![format!("W{number:03}"), made_from.to_string(), made_to.to_string(), grade.to_string()];
    cells.push(club.kind.to_owned());
    cells.push(or_gap(random, 0.1, format!("{:.0}", club.loft)));
    cells.push(or_gap(random, 0.1, format!("{:.2}", club.height)));
    cells.extend(measures(random, &club));
    cells.extend(looks(random, &club));
    cells.push(format!("Invented for the demo; {workshop}, Wrackness"));
    cells
}

fn normal(random: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(random)
}

fn workshop(random: &mut ChaCha8Rng) -> (&'static str, f64) {
    let mut left: f64 = random.random();
    for (name, share, lag) in WORKSHOPS {
        if left < share {
            return (name, lag);
        }
        left -= share;
    }
    (WORKSHOPS[0].0, WORKSHOPS[0].2)
}

impl Club {
    fn draw(random: &mut ChaCha8Rng, fashion: f64) -> Self {
        let (kind, loft, height) = match random.random_range(0..10) {
            0..5 => ("long", 22.0, 1.45),
            5..8 => ("lofting", 36.0, 1.75),
            _ => ("trouble", 46.0, 2.1),
        };
        let budget = random.random_bool(if fashion < 1890.0 { 0.08 } else { 0.28 });
        Self {
            fashion: fashion + 3.0 * normal(random),
            budget,
            kind,
            loft: loft + 3.0 * normal(random),
            height: height * (0.05 * normal(random)).exp(),
            hand: normal(random),
        }
    }

    fn is_trouble(&self) -> bool {
        self.kind == "trouble"
    }
}

/// A date as the day books give it: the year, a few years, or, before they begin, a guess of decades.
fn dated(random: &mut ChaCha8Rng, year: i32) -> (i32, i32, u8) {
    let widest = if year < 1850 { 24 } else { 8 };
    let exact = random.random_bool(if year < 1850 { 0.2 } else { 0.6 });
    if exact {
        return (year, year, random.random_range(1..=2));
    }
    let width = random.random_range(2..=widest);
    let before = random.random_range(0..=width);
    let (from, to) = ((year - before).max(1780), (year - before + width).min(1939));
    (from, to, random.random_range(2..=4))
}

fn or_gap(random: &mut ChaCha8Rng, chance: f64, cell: String) -> String {
    if random.random_bool(chance) { String::new() } else { cell }
}

fn measure(random: &mut ChaCha8Rng, club: &Club, measure: &Measure, share_of_hand: f64, factor: f64) -> f64 {
    let own = normal(random) * (1.0 - share_of_hand * share_of_hand).sqrt();
    let wild = if random.random_bool(0.02) { 1.0 + 0.35 * normal(random).signum() } else { 1.0 };
    at(&measure.mean, club.fashion) * factor * (measure.spread * (share_of_hand * club.hand + own)).exp() * wild
}

/// Measures, written as people write them: mostly decimals, some eighths, some millimetres, some left out.
fn measures(random: &mut ChaCha8Rng, club: &Club) -> Vec<String> {
    let longer = match (club.is_trouble(), club.fashion) {
        (false, _) => 1.0,
        (true, year) if year < 1885.0 => 1.11,
        (true, year) if year < 1905.0 => 1.08,
        (true, _) => 1.06,
    };
    // Thinner by 0.012 in for each 5 degrees over 25 and 0.01 in for each quarter inch of height over 1 1/2.
    let thinner = 0.012 * ((club.loft - 25.0) / 5.0).max(0.0) + 0.01 * ((club.height - 1.5) / 0.25).max(0.0);
    let edge_mean = at(&TOP_EDGE.mean, club.fashion);
    let edge_factor = ((edge_mean - thinner) / edge_mean).max(0.45);
    let heavier = if club.is_trouble() { 1.14 } else { 1.0 };
    let hosel = measure(random, club, &HOSEL_LENGTH, 0.5, longer);
    let diameter = measure(random, club, &HOSEL_DIAMETER, 0.6, 1.0);
    let edge = measure(random, club, &TOP_EDGE, 0.4, edge_factor);
    let sole = measure(random, club, &SOLE_WIDTH, 0.4, 1.0);
    let weight = measure(random, club, &WEIGHT, 0.5, heavier);
    let hosel = written(random, hosel);
    vec![
        or_gap(random, 0.06, hosel),
        or_gap(random, 0.12, format!("{diameter:.2}")),
        or_gap(random, 0.1, format!("{edge:.3}")),
        or_gap(random, 0.15, format!("{sole:.2}")),
        or_gap(random, 0.3, format!("{weight:.1}")),
    ]
}

fn written(random: &mut ChaCha8Rng, inches: f64) -> String {
    match random.random_range(0..10) {
        0..6 => format!("{inches:.2}"),
        6..9 => in_eighths(inches),
        _ => format!("{:.0} mm", inches * 25.4),
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a few inches")]
fn in_eighths(inches: f64) -> String {
    let eighths = (inches * 8.0).round() as i64;
    let (whole, rest) = (eighths / 8, eighths % 8);
    match rest {
        0 => format!("{whole} in"),
        2 | 6 => format!("{whole} {}/4 in", rest / 2),
        4 => format!("{whole} 1/2 in"),
        _ => format!("{whole} {rest}/8 in"),
    }
}

/// A level by the shares of the period; misread with the chance given, doubtful now and then, sometimes left out.
fn look<const K: usize>(random: &mut ChaCha8Rng, looks: &Looks<K>, year: f64, misread: f64, gap: f64) -> String {
    let shares: Vec<f64> = looks.iter().map(|(_, row)| at(row, year)).collect();
    let total: f64 = shares.iter().sum();
    let mut left = random.random::<f64>() * total;
    let mut level = K - 1;
    for (k, share) in shares.iter().enumerate() {
        if left < *share {
            level = k;
            break;
        }
        left -= share;
    }
    let wrong = random.random_bool(misread);
    if wrong {
        level = random.random_range(0..K);
    }
    let doubtful = random.random_bool(if wrong { 0.3 } else { 0.03 });
    let cell = format!("{}{}", looks[level].0, if doubtful { "?" } else { "" });
    if random.random_bool(0.04) { "unreadable".to_owned() } else { or_gap(random, gap, cell) }
}

fn looks(random: &mut ChaCha8Rng, club: &Club) -> Vec<String> {
    let year = club.fashion;
    // A budget line keeps the old way of finishing for a dozen years longer.
    let plain = if club.budget { year - 12.0 } else { year };
    let coarse = look(random, &NICKING_COARSENESS, plain, 0.1, 0.05);
    let regular = if coarse == "absent" { String::new() } else { look(random, &NICKING_REGULARITY, plain, 0.1, 0.08) };
    vec![
        coarse,
        regular,
        look(random, &HOSEL_JOIN, year, 0.15, 0.08),
        look(random, &PIN_DIRECTION, year, 0.03, 0.1),
        look(random, &HAMMER_WELD, plain, 0.12, 0.15),
        look(random, &FACE_SCORING, plain, 0.05, 0.03),
        look(random, &FACE_HOLLOW, if club.is_trouble() { year - 15.0 } else { year }, 0.08, 0.15),
        look(random, &MARKS, if club.budget { year - 40.0 } else { year }, 0.1, 0.08),
        look(random, &NAME_OR_NUMBER, plain, 0.05, 0.1),
        look(random, &HEAD_FINISH, plain, 0.03, 0.05),
    ]
}
