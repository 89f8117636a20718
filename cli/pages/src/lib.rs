//! What agewright tells: words, text for a terminal, JSON, charts and write-ups. Values in, text out; no page sees
//! another, all see the words, and what is laid out in rows and sentences for several of them.
//!
//! ```
//! use agewright_model::{Accounting, Asked, Part};
//! use agewright_pages::terminal::date_text::{DateText, date_text};
//! use agewright_pages::terminal::page::Page;
//! use agewright_pages::words::answered::Answered;
//!
//! let calibration = agewright_files::built_in().unwrap().calibration;
//! let club = calibration.catalogue().club("cleek", &[("face_scoring", "smooth")]).unwrap();
//! let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
//! let parts = [Answered::new(asked, Accounting::default())];
//! let text = date_text(Page::default(), &DateText { parts: &parts, before: None, detail: false, like: false });
//! assert!(text.contains("A smooth face is not old by itself"));
//! assert!(text.contains("made of rules of thumb"));
//! ```
#![warn(missing_docs)]

pub mod charts;
pub mod drawings;
pub mod json;
pub mod laid_out;
pub mod terminal;
pub mod words;
pub mod write_up;
