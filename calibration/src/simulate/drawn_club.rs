//! Clubs drawn from a calibration's own tables: a self-check, and a way to see what answers to expect.

use agewright_model::numbers::between::Blend;
use agewright_model::tables::measured_block::MeasuredBlock;
use agewright_model::{Calibration, Catalogue, Cell, Club, Clue, Part, Prior, Reading, Seen};
use nalgebra::{Cholesky, DMatrix, DVector};
use rand::{Rng, RngExt as _};
use rand_distr::{ChiSquared, Distribution as _, StandardNormal, StudentT};

/// A year from the prior and a club as the tables have them in that year: levels with their misreadings, measures from
/// the joint predictive t with none or one of them misread. Clues without a table and adjusting clues stay blank.
///
/// The draw follows the model as it is dated by with all exponents 1 and no lag, so the ranks of the true years in
/// their own posteriors are uniform (S. Talts and others, Validating Bayesian inference algorithms with
/// simulation-based calibration, 2018).
/// ```
/// use agewright_calibration::draw_club;
/// use rand::SeedableRng as _;
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let draw = |seed| {
///     let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(seed);
///     draw_club(&calibration, calibration.prior(None).unwrap(), &mut random)
/// };
/// let (year, club) = draw(1);
/// assert!(calibration.catalogue().axis().year_ix(year).is_some());
/// assert_eq!(club.cells.len(), calibration.catalogue().clues().len());
/// assert_eq!(draw(1), (year, club), "the same seed, the same club");
/// ```
#[must_use]
pub fn draw_club(calibration: &Calibration, prior: &Prior, random: &mut impl Rng) -> (i32, Club) {
    let axis = calibration.catalogue().axis();
    let shares: Vec<f64> = prior.ln_by_year().iter().map(|ln| ln.exp()).collect();
    let year = axis.year_at(draw_index(&shares, random));
    (year, draw_club_by(calibration, |_| year, random))
}

/// A club each of whose clues follows the fashion of a year of its own; the measures of a part all that of the first
/// of them. Years beyond the axis are its first or last.
///
/// ```
/// use agewright_calibration::draw_club_by;
/// use rand::SeedableRng as _;
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(1);
/// // An old-fashioned pin in a club that is otherwise of 1910.
/// let club = draw_club_by(&calibration, |clue| if clue.id == "pin_direction" { 1820 } else { 1910 }, &mut random);
/// assert_eq!(club.cells.len(), calibration.catalogue().clues().len());
/// ```
#[must_use]
pub fn draw_club_by(calibration: &Calibration, fashion: impl Fn(&Clue) -> i32, random: &mut impl Rng) -> Club {
    let axis = calibration.catalogue().axis();
    let blend_of = |clue: &Clue| axis.blend(fashion(clue).clamp(axis.from(), axis.last()));
    let mut club = Club { id: "drawn".to_owned(), ..Club::default() };
    club.cells = vec![Cell::NotExamined; calibration.catalogue().clues().len()];
    for (ix, clue) in calibration.catalogue().clues().iter().enumerate() {
        if let Some(outcomes) = calibration.tables().outcomes(clue) {
            let row = drawn_row(blend_of(clue), random);
            let chance = |reading| calibration.tables().likelihood_rows(clue, reading).map_or(0.0, |rows| rows[row]);
            let chances: Vec<f64> = outcomes.iter().map(chance).collect();
            club.cells[ix] = Cell::Read(outcomes[draw_index(&chances, random)].clone());
        }
    }
    for part in Part::ALL {
        let Some(block) = calibration.tables().block(part) else { continue };
        let first = block.clues.iter().find_map(|table| calibration.catalogue().clue(&table.clue));
        let Some(first) = first else { continue };
        let row = drawn_row(blend_of(first), random);
        for (clue, value) in draw_measures(calibration.catalogue(), block, row, random) {
            if let Some(ix) = calibration.catalogue().clue_ix(&clue) {
                club.cells[ix] = read(Seen::Measure { value, tolerance: None });
            }
        }
    }
    club
}

/// One of the two rows that a year lies between, by its share.
fn drawn_row(blend: Blend, random: &mut impl Rng) -> usize {
    if random.random::<f64>() < blend.high_share { blend.high } else { blend.low }
}

fn read(seen: Seen) -> Cell {
    Cell::Read(Reading { text: "drawn".to_owned(), seen, doubtful: false })
}

fn draw_index(shares: &[f64], random: &mut impl Rng) -> usize {
    let total: f64 = shares.iter().sum();
    let mut left = random.random::<f64>() * total;
    for (ix, share) in shares.iter().enumerate() {
        if left < *share {
            return ix;
        }
        left -= share;
    }
    shares.len() - 1
}

/// Measures of a block at a row, in their units: (clue, value).
fn draw_measures(
    catalogue: &Catalogue,
    block: &MeasuredBlock,
    row: usize,
    random: &mut impl Rng,
) -> Vec<(String, f64)> {
    let clues: Vec<&Clue> = block.clues.iter().filter_map(|table| catalogue.clue(&table.clue)).collect();
    let own: Vec<usize> = (0..clues.len()).filter(|&j| !clues[j].adjusts).collect();
    let scales: Vec<f64> = own.iter().map(|&j| block.scale(j, row)).collect();
    let scale =
        DMatrix::from_fn(own.len(), own.len(), |a, b| block.correlation[own[a]][own[b]] * scales[a] * scales[b]);
    let Some(factor) = Cholesky::new(scale) else { return Vec::new() };
    let normal = DVector::from_fn(own.len(), |_, _| StandardNormal.sample(random));
    let stretch = if block.degrees_of_freedom.is_infinite() {
        1.0
    } else {
        ChiSquared::new(block.degrees_of_freedom)
            .map_or(1.0, |chi: ChiSquared<f64>| (block.degrees_of_freedom / chi.sample(random)).sqrt())
    };
    let off = factor.l() * normal * stretch;
    let mut places: Vec<f64> =
        own.iter().zip(off.iter()).map(|(&j, off)| block.clues[j].rows[row].mean + off).collect();
    // None misread with weight 1, only j with e_j/(1 - e_j).
    let mut cases = vec![1.0];
    cases.extend(own.iter().map(|&j| clues[j].misread / (1.0 - clues[j].misread)));
    let case = draw_index(&cases, random);
    if case > 0 {
        let table = &block.clues[own[case - 1]];
        let t: f64 = StudentT::new(3.0_f64).map_or(0.0, |t| t.sample(random));
        places[case - 1] = table.overall_mean + 1.5 * table.overall_sd * t;
    }
    own.iter().zip(places).map(|(&j, place)| (clues[j].id.clone(), clues[j].scale.measure(place))).collect()
}
