//! The bench page: one HTML file that holds the whole model and dates a club while the calliper is in the hand.
//!
//! ```text
//! page (taps, keys)  ->  worker  ->  exports: JSON in  ->  engine  ->  files, model, pages
//!                                     JSON out: the answer's numbers and ready pieces of HTML and SVG
//! ```
//!
//! The page asks and shows; what is said of a club is written by the same code as the program's own pages.

mod club_asked;
mod clubs_together;
mod clue_cards;
pub mod engine;
mod exports;
pub mod page_file;
pub mod request;
mod wrong;
