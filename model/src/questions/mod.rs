//! Questions about answers: what they hang on, why not another time, what to look at next, which club is older.

pub mod counts_by_decade;
pub mod next_look;
pub mod sensitivity;
pub mod side_by_side;
pub mod weight_of_evidence;
pub mod which_is_older;
pub mod why_not;
