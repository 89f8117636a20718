//! Charts: the posterior and the ledger, as SVG; the PNG is made from that one drawing.

mod canvas;
mod club_bars;
mod drawing;
mod ledger_bars;
mod pit_columns;
mod png;
mod posterior_panel;
mod year_scale;

pub use club_bars::draw_bars;
pub use drawing::{ChartClub, Shown, draw, with_words};
pub use pit_columns::draw_pit;
pub use png::png;
pub use posterior_panel::posterior_figure;
