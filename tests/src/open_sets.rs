//! The open collections, as several checks read them (sources and licences: reference/SOURCES.md).

use crate::{catalogue, dated_clubs};
use agewright_calibration::DatedClub;
use agewright_model::Catalogue;

/// A collection, its axis and how often a reading is taken to be misread.
#[derive(Debug, Clone, Copy)]
pub struct OpenSet {
    /// First year, first year after, and years of a row.
    pub axis: [i32; 3],
    /// Chance that a reading is misread.
    pub misread: f64,
}

impl OpenSet {
    fn read(self, name: &str, clues: &str, table: &str) -> (Catalogue, Vec<DatedClub>) {
        let Self { axis: [from, to, step], .. } = self;
        let text = format!("name = \"{name}\"\nyears = {{ from = {from}, to = {to} }}\nstep = {step}\n{clues}");
        let catalogue = catalogue(&text);
        let clubs = dated_clubs(table, &catalogue);
        (catalogue, clubs)
    }

    fn clue(self, id: &str, kind: &str) -> String {
        format!("[[clue]]\nid = \"{id}\"\n{kind}\npart = \"head\"\nmisread = {:?}\n", self.misread)
    }

    /// Four measures of 150 Egyptian skulls of five epochs.
    #[must_use]
    pub fn skulls(self) -> (Catalogue, Vec<DatedClub>) {
        let clues = ["mb", "bh", "bl", "nh"].map(|id| self.clue(id, "kind = \"measured\"")).concat();
        self.read("skulls", &clues, include_str!("../data/egyptian_skulls.csv"))
    }

    /// Five measures, cylinders and origin of 392 cars.
    #[must_use]
    pub fn cars(self) -> (Catalogue, Vec<DatedClub>) {
        let measured = |id| self.clue(id, "kind = \"measured\"\nscale = \"log\"");
        let levels = |id: &str, levels: &str| self.clue(id, &format!("kind = \"levels\"\nlevels = [{levels}]"));
        let clues = ["mpg", "displacement", "horsepower", "weight", "acceleration"].map(measured).concat()
            + &levels("cylinders", "\"n3\", \"n4\", \"n5\", \"n6\", \"n8\"")
            + &levels("origin", "\"o1\", \"o2\", \"o3\"");
        self.read("cars", &clues, include_str!("../data/car_model_years.csv"))
    }
}
