//! Charts: the posterior and the ledger, as SVG; the PNG is made from that one drawing.

mod canvas;
mod drawing;
mod ledger_bars;
mod png;
mod posterior_panel;

pub use drawing::{ChartClub, Shown, draw};
pub use png::png;
