//! Lists by year that are asked for again and again, with clues left out one after another, and made once.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// So many lists are kept at the most: six megabytes on an axis of two hundred years.
const MOST_KEPT: usize = 4096;

/// Lists by what they are of. Each is what it would be if it were made anew; copies share them.
#[derive(Debug, Clone)]
pub(crate) struct Remembered<K>(Arc<Mutex<BTreeMap<K, Arc<[f64]>>>>);

impl<K> Default for Remembered<K> {
    fn default() -> Self {
        Self(Arc::new(Mutex::new(BTreeMap::new())))
    }
}

impl<K: Ord> Remembered<K> {
    /// The list of a key, made where it is not known yet.
    pub fn or_made(&self, key: K, make: impl FnOnce() -> Vec<f64>) -> Arc<[f64]> {
        let locked = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = locked().get(&key) {
            return Arc::clone(known);
        }
        let made: Arc<[f64]> = make().into();
        let mut kept = locked();
        if kept.len() < MOST_KEPT {
            kept.insert(key, Arc::clone(&made));
        }
        made
    }
}
