//! Weights of the years that a part may be of, as its clues speak of them.

use crate::numbers::shared_lag::moved;

/// Weights by the year of fashion, by the year of making, and of the cell after the axis; not normalised.
#[derive(Debug, Clone)]
pub(crate) struct OwnYears {
    pub fashion: Vec<f64>,
    pub making: Vec<f64>,
    pub cell: f64,
}

impl OwnYears {
    /// None yet, on an axis of so many years.
    pub fn new(n_years: usize) -> Self {
        Self { fashion: vec![0.0; n_years], making: vec![0.0; n_years], cell: 0.0 }
    }

    /// Of years of one kind, which stand for both: nothing lags.
    pub fn of_years(years: Vec<f64>) -> Self {
        Self { fashion: years.clone(), making: years, cell: 0.0 }
    }

    /// With weights of the years of making, and of the cell behind them where there is one, under a lead or lag.
    pub fn add(&mut self, ahead: i32, weights: &[f64]) {
        let n_years = self.making.len();
        for (year, weight) in weights.iter().take(n_years).enumerate() {
            self.fashion[moved(year, ahead, n_years)] += weight;
            self.making[year] += weight;
        }
        self.cell += weights.get(n_years).copied().unwrap_or(0.0);
    }

    /// Weight of all years of the axis.
    pub fn on_axis(&self) -> f64 {
        self.making.iter().sum()
    }

    /// Sum over years of their weight times something by the year of fashion, or of making.
    pub fn sum(&self, is_fashion: bool, by_year: &[f64]) -> f64 {
        let weights = if is_fashion { &self.fashion } else { &self.making };
        weights.iter().zip(by_year).map(|(weight, value)| weight * value).sum()
    }
}
