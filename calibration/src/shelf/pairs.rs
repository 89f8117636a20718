//! Every dated club laid beside every other: distances, shifts, and where each may vote.

use crate::dated::folds::evenly_spaced;
use crate::shelf::allowance::Allowance;
use crate::shelf::side_by_side::SideBySide;
use agewright_model::numbers::normal::normal_density;
use agewright_model::tables::shelf::PRIOR_SHARE;
use rayon::prelude::*;
use std::f64::consts::PI;

/// Clubs that are laid beside one another at the most: evenly spaced in their order by date.
const MOST_CLUBS: usize = 600;

/// Ten standard deviations, squared.
const FAR: f64 = 100.0;

/// Pairs of dated clubs: the first is laid beside the second.
pub(crate) struct Pairs {
    pub n_clubs: usize,
    pub worths: Vec<f64>,
    /// Clue of each row of distances.
    pub clue_of_row: Vec<usize>,
    sets: Vec<usize>,
    /// `[i][row][j]`.
    distances: Vec<f64>,
    /// How much later i is than j by its readings: `[i][j]`.
    shifts: Vec<f64>,
    /// Places in z of each club's date, all alike.
    places: Vec<Vec<f64>>,
    /// Density of the prior at each club's date.
    pub densities: Vec<f64>,
}

/// What one club's date would be given by the others: density, and its slopes.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Votes {
    /// Mean of N(e, h) over the places of both clubs, e = z_i - z_j - g s_ij.
    pub density: f64,
    /// Mean of N(e, h) e.
    pub by_place: f64,
    /// Mean of N(e, h) e^2.
    pub by_square: f64,
}

/// exp(-u^2/2), and 0 from ten standard deviations on, where it is nothing beside the prior's share.
fn bell(u: f64) -> f64 {
    let square = u * u;
    if square < FAR { (-0.5 * square).exp() } else { 0.0 }
}

impl Pairs {
    /// Lays the clubs, or an evenly spaced sample of them, beside one another.
    #[expect(clippy::cast_precision_loss, reason = "five places at the most")]
    pub fn new(clubs: &SideBySide<'_>, allowance: &Allowance) -> Self {
        let chosen: Vec<usize> = evenly_spaced(clubs.n_clubs(), MOST_CLUBS).collect();
        let rows = clubs.rows();
        let of_club = |&i: &usize| {
            let row = |row: &(usize, usize)| chosen.iter().map(|&j| clubs.distance(*row, i, j)).collect::<Vec<f64>>();
            rows.iter().flat_map(row).collect::<Vec<f64>>()
        };
        let shifts = |&i: &usize| chosen.iter().map(|&j| allowance.shift(clubs, i, j)).collect::<Vec<f64>>();
        let places: Vec<Vec<f64>> = chosen.iter().map(|&club| clubs.places[club].clone()).collect();
        let density = |places: &Vec<f64>| places.iter().map(|z| normal_density(*z)).sum::<f64>() / places.len() as f64;
        Self {
            n_clubs: chosen.len(),
            worths: chosen.iter().map(|&club| clubs.worths[club]).collect(),
            clue_of_row: rows.iter().map(|(clue, _)| *clue).collect(),
            sets: chosen.iter().map(|&club| clubs.sets[club]).collect(),
            distances: chosen.par_iter().flat_map_iter(of_club).collect(),
            shifts: chosen.par_iter().flat_map_iter(shifts).collect(),
            densities: places.iter().map(density).collect(),
            places,
        }
    }

    pub fn n_rows(&self) -> usize {
        self.clue_of_row.len()
    }

    /// Whether club j may vote on club i: those of its own set may not.
    pub fn may_vote(&self, i: usize, j: usize) -> bool {
        self.sets[i] != self.sets[j]
    }

    /// Distances of a row from club i to every club.
    pub fn distances(&self, row: usize, i: usize) -> &[f64] {
        let first = (i * self.n_rows() + row) * self.n_clubs;
        &self.distances[first..first + self.n_clubs]
    }

    /// Shifts of club i against every club.
    pub fn shifts(&self, i: usize) -> &[f64] {
        &self.shifts[i * self.n_clubs..(i + 1) * self.n_clubs]
    }

    /// Density of club i's date by the vote of club j, moved by so much and so wide: mean of
    /// N(z_i - z_j - moved, width) over the places of both clubs.
    pub fn density(&self, i: usize, j: usize, moved: f64, width: f64) -> f64 {
        let mut sum = 0.0;
        self.for_places(i, j, |off| sum += bell((off - moved) / width));
        sum * self.scale(i, j, width)
    }

    /// Density of club i's date by the vote of club j, and its slopes, with an allowance g and a width h.
    pub fn votes(&self, i: usize, j: usize, allowance: f64, width: f64) -> Votes {
        let moved = allowance * self.shifts(i)[j];
        let mut sums = [0.0; 3];
        self.for_places(i, j, |off| {
            let off = off - moved;
            let density = bell(off / width);
            sums[0] += density;
            sums[1] += density * off;
            sums[2] += density * off * off;
        });
        let [density, by_place, by_square] = sums.map(|sum| sum * self.scale(i, j, width));
        Votes { density, by_place, by_square }
    }

    fn for_places(&self, i: usize, j: usize, mut with: impl FnMut(f64)) {
        for a in &self.places[i] {
            for b in &self.places[j] {
                with(a - b);
            }
        }
    }

    /// What makes a density of a sum of [`bell`] over the places of both clubs.
    #[expect(clippy::cast_precision_loss, reason = "five places at the most")]
    fn scale(&self, i: usize, j: usize, width: f64) -> f64 {
        1.0 / ((2.0 * PI).sqrt() * width * (self.places[i].len() * self.places[j].len()) as f64)
    }

    /// Densities of all votes on all dates, without a shift: `[i][j]`.
    pub fn kernel(&self, width: f64) -> Vec<f64> {
        let of_club = |i: usize| (0..self.n_clubs).map(move |j| self.density(i, j, 0.0, width));
        (0..self.n_clubs).into_par_iter().flat_map_iter(of_club).collect()
    }

    /// ln(0.95 density + 0.05 prior) of club i, and the slope by density.
    pub fn ln_mixture(&self, i: usize, density: f64) -> (f64, f64) {
        let mixture = (1.0 - PRIOR_SHARE) * density + PRIOR_SHARE * self.densities[i];
        (mixture.ln(), (1.0 - PRIOR_SHARE) / mixture)
    }

    /// Sum over the rows of worth times distance, from club i to every club.
    pub fn summed(&self, i: usize, worths: &[f64]) -> Vec<f64> {
        let mut sums = vec![0.0; self.n_clubs];
        for (row, worth) in worths.iter().enumerate() {
            sums.iter_mut().zip(self.distances(row, i)).for_each(|(sum, distance)| *sum += worth * distance);
        }
        sums
    }
}
