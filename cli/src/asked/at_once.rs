//! Two halves of an account at once.

/// Runs two pieces of work on two cores, where there are two.
pub fn at_once(first: &(dyn Fn() + Sync), second: &(dyn Fn() + Sync)) {
    rayon::join(first, second);
}
