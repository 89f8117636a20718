//! Checks of agewright against things outside the project; each file under tests/ is one source.
