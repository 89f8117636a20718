//! Charts: the posterior and the ledger, as SVG; the PNG is made from that one drawing.

mod canvas;
mod drawing;
mod ledger_bars;
mod pit_columns;
mod png;
mod posterior_panel;

pub use drawing::{ChartClub, Shown, draw};
pub use pit_columns::draw_pit;
pub use png::png;
