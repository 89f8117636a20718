//! The shelf: how alike dated clubs are, by what foretells their dates best.

pub(crate) mod allowance;
pub(crate) mod pairs;
pub(crate) mod refinement;
pub(crate) mod search;
pub mod shelf_fit;
pub(crate) mod side_by_side;
pub(crate) mod width;
pub(crate) mod worth;
