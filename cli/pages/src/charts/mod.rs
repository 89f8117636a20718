//! Charts: the posterior and the ledger, as SVG; the PNG is made from that one drawing.

mod canvas;
pub mod club_bars;
pub mod drawing;
mod face;
mod ledger_bars;
pub mod like_rows;
pub mod outlined;
pub mod pit_columns;
#[cfg(feature = "png")]
pub mod png;
pub mod posterior_panel;
mod year_scale;
