//! Questions about answers: what they hang on, why not another time, what to look at next, which club is older.

pub mod beyond_the_collection;
pub mod counts_by_decade;
pub mod grounds;
pub mod like;
pub mod next_look;
pub mod opinion_change;
pub mod other_priors;
pub mod overview;
pub mod sensitivity;
pub mod side_by_side;
pub mod specialist_reason;
pub mod warning;
pub mod which_is_older;
pub mod why_not;
