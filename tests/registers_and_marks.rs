//! Numbers of registers and years of marks, against what offices and histories publish.
//!
//! Sources: first numbers of each year of US patents: US Patent and Trademark Office, table of issue years and patent
//! numbers (a US government work); of UK registered designs: a collector's table, unverified, its start cross-checked
//! by The National Archives (UK), guide to registered designs 1839-1991 (Open Government Licence). Rows from memory are
//! not asserted.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_model::reading::register::{RegisteredIn, lag_chance};
use agewright_model::{Axis, Cell, Part, Posterior, Register};
use external_checks::{STARTER, club, date_readings};

fn only_year(register: Register, number: &str) -> i32 {
    match register.years(number).unwrap()[..] {
        [RegisteredIn { year, share }] => {
            assert!((share - 1.0).abs() < 1e-12);
            year
        }
        ref years => panic!("{number}: {years:?}"),
    }
}

/// The first number of a year is of that year, the one before it of the year before.
#[test]
fn published_first_numbers_are_found() {
    let tables = [
        (Register::UkDesigns, include_str!("../model/src/reading/registers/uk_designs.csv")),
        (Register::UsPatents, include_str!("../model/src/reading/registers/us_patents.csv")),
    ];
    for (register, table) in tables {
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let mut asserted = 0;
        for row in reader.records().map(Result::unwrap).filter(|row| &row[2] == "sourced") {
            let (year, first): (i32, u64) = (row[0].parse().unwrap(), row[1].parse().unwrap());
            assert_eq!(only_year(register, &first.to_string()), year, "{register:?} {first}");
            if first > 1 {
                assert_eq!(only_year(register, &(first - 1).to_string()), year - 1, "{register:?} {first} - 1");
            }
            asserted += 1;
        }
        assert!(asserted > 80, "{asserted}");
    }
}

/// Numbers that stand for themselves: a design registered on 23 January 1884 (The National Archives), and patents known
/// by their number and day (US Patent Office; numbers and days from memory): the telephone 1876, the lamp 1880, the
/// flying machine 1906.
#[test]
fn well_known_numbers_fall_in_their_years() {
    assert_eq!(only_year(Register::UkDesigns, "Rd No 675"), 1884);
    assert_eq!(only_year(Register::UsPatents, "174,465"), 1876);
    assert_eq!(only_year(Register::UsPatents, "Pat. 223,898"), 1880);
    assert_eq!(only_year(Register::UsPatents, "821393"), 1906);
}

/// British numbers began again every year from 1852 to 1915 (UK Patent Office): alone they say nothing.
#[test]
fn british_numbers_need_their_year() {
    assert!(Register::GbPatents.years("10811").is_err());
    assert_eq!(only_year(Register::GbPatents, "10811/97"), 1897);
    assert_eq!(only_year(Register::GbPatents, "10811/1897"), 1897);
    assert_eq!(only_year(Register::GbPatents, "1/15"), 1915);
    assert!(Register::GbPatents.years("100001/16").is_err(), "from 1916 one series");
}

/// Every year that an unread digit leaves open, in its share, by going through all ten digits by hand.
#[test]
fn an_unread_digit_gives_every_year_that_fits() {
    let years = Register::UkDesigns.years("4?8640").unwrap();
    for digit in 0..10 {
        let year = only_year(Register::UkDesigns, &format!("4{digit}8640"));
        let share = years.iter().find(|registered| registered.year == year).unwrap().share;
        let n = (0..10).filter(|d| only_year(Register::UkDesigns, &format!("4{d}8640")) == year).count();
        #[expect(clippy::cast_precision_loss, reason = "ten digits")]
        let want = n as f64 / 10.0;
        assert!((share - want).abs() < 1e-12, "{year}: {share}, not {want}");
    }
}

fn by(readings: &[(&str, &str)]) -> Posterior {
    date_readings(&STARTER, readings, Some("flat")).posterior
}

/// The lag is the chance of the year given the number: alone, under the calibration's own prior, a number gives it as
/// it is, half within three years and nine tenths within twelve, but for the chance that it is misread, when it gives
/// the prior. As a likelihood of the lag itself it gave one of 1884 three years 0.32 and twelve 0.75.
///
/// The lag's chances by scipy 1.17.1 (BSD licence): `lognorm(s=log(4)/norm.ppf(0.9), scale=3).cdf`, years 0, 1, 2, 5
/// and 11.
#[test]
fn a_number_alone_gives_the_lag() {
    let by_scipy = [
        (0, 0.154_908_621_622),
        (1, 0.198_984_901_866),
        (2, 0.146_106_476_512),
        (5, 0.057_547_234_780),
        (11, 0.014_853_410_793),
    ];
    for (number, registered) in [("19756", 1885), ("351202", 1900)] {
        let posterior = date_readings(&STARTER, &[("design_number", number)], None).posterior;
        let misread = STARTER.catalogue().clue("design_number").unwrap().misread;
        let prior: Vec<f64> = STARTER.prior(None).unwrap().ln_by_year().iter().map(|ln| ln.exp()).collect();
        let lag = |year: i32| if year < registered { 0.0 } else { lag_chance(year - registered) };
        let axis = posterior.axis();
        let on_axis: f64 = axis.years().map(lag).sum();
        assert!(on_axis > 0.98, "{on_axis}");
        for ((year, got), prior) in axis.years().zip(posterior.on_axis()).zip(&prior) {
            let want = (1.0 - misread) * lag(year) / on_axis + misread * prior;
            assert!((got - want).abs() < 1e-9, "{year}: {got}, not {want}");
        }
        let of = |from, to| (from..=to).map(lag).sum::<f64>();
        assert!((of(registered, registered + 2) - 0.5).abs() < 1e-9);
        assert!((of(registered, registered + 11) - 0.9).abs() < 1e-9);
        for (years, want) in by_scipy {
            assert!((lag(registered + years) - want).abs() < 1e-9, "{years}: {}", lag(registered + years));
        }
    }
    // Whatever prior is asked for, the number is worth the same.
    let ratio = |prior: Option<&str>| {
        let posterior = date_readings(&STARTER, &[("design_number", "19756")], prior).posterior;
        let prior = STARTER.prior(prior).unwrap().ln_by_year().to_vec();
        let of = |year: i32| {
            let ix = posterior.axis().year_ix(year).unwrap();
            posterior.by_year()[ix].ln() - prior[ix]
        };
        of(1886) - of(1860)
    };
    assert!((ratio(None) - ratio(Some("flat"))).abs() < 1e-9);
}

/// A letter among the digits is no digit to be passed over.
#[test]
fn a_letter_for_a_digit_is_refused_with_a_hint() {
    let clue = STARTER.catalogue().clue("design_number").unwrap();
    let refused = Cell::from_text(clue, "4O8640", false).unwrap_err().to_string();
    assert!(refused.contains("letter, O,") && refused.contains("or ? where it cannot be read"), "{refused}");
    assert!(Cell::from_text(clue, "Rd No 4?8640", false).is_ok());
}

/// Use in the years of a mark, halving after them, little before: ratios of two years are those of the marks file.
#[test]
fn marks_halve_after_their_years_and_leak_before() {
    let posterior = by(&[("royal_device", "edward_vii")]);
    let years = posterior.by_year();
    let of = |year: i32| years[posterior.axis().year_ix(year).unwrap()];
    assert!((of(1901) / of(1910) - 1.0).abs() < 1e-9, "1901 to 1910 alike");
    // Misread, one in ten, adds the same to every year: taken off by differences.
    let floor = of(1850);
    let step = |a: i32, b: i32| (of(a) - floor) / (of(b) - floor);
    assert!((step(1920, 1915) - 0.5).abs() < 0.02, "half every five years: {}", step(1920, 1915));
    assert!(of(1900) < of(1901) / 5.0 && of(1900) > 0.0);
}

/// The years of the reigns are those between accessions (20 June 1837, 22 January 1901, 6 May 1910, 20 January 1936:
/// history books), the forms not before their patents of 1890 and 1891.
#[test]
fn bounds_are_those_of_history() {
    let uses = |mark: &str| {
        let found = STARTER.marks().iter().find(|used| used.mark == mark).unwrap();
        assert!(!found.source.is_empty() && !found.standing.is_empty());
        (found.used_from, found.used_to)
    };
    assert_eq!([uses("victoria"), uses("edward_vii"), uses("george_v")], [(1837, 1901), (1901, 1910), (1910, 1936)]);
    assert_eq!((uses("brazed_socket").0, uses("short_through_hosel").0), (1890, 1891));
    assert_eq!(uses("registered_trade_mark").0, 1876);
}

/// What history bounds is rare before its bound in the tables: a quarter of its commonest at the
/// most.
#[test]
fn looks_that_history_bounds_are_rare_before() {
    let bounds = [
        // US Tariff Act of 1890, in force on 1 March 1891: imports show their country.
        ("country_wording", "country", 1890),
        // Faces are scored as the wound ball comes in, about 1904 (common practice, no source).
        ("face_scoring", "stamped_dots", 1900),
        // Commercial chromium plate 1924 to 1926 (histories of plating).
        ("head_finish", "chrome", 1920),
        // Rustless steel is of 1913 (histories of steel).
        ("head_finish", "rustless", 1910),
        // Numbered sets from about 1924 (histories of the craft).
        ("name_or_number", "number", 1910),
        // Steel shafts allowed in the USA in 1924, in Britain in November 1929 (newspapers).
        ("shaft_wood", "metal", 1910),
    ];
    let axis = STARTER.catalogue().axis();
    for (clue, level, bound) in bounds {
        let ix = STARTER.catalogue().clue_ix(clue).unwrap();
        let k = STARTER.catalogue().clues()[ix].levels.iter().position(|l| l.id == level).unwrap();
        let table = STARTER.tables().level_table(clue).unwrap();
        // Among clubs: the table's own shares have misreadings in them.
        let misread = STARTER.catalogue().clues()[ix].misread;
        let share = |row: usize| table.true_shares(misread, &table.rows[row])[k];
        let most = (0..axis.n_rows()).map(share).fold(0.0, f64::max);
        for row in (0..axis.n_rows()).filter(|&row| axis.row_years(row).1 < bound) {
            assert!(share(row) < 0.25 * most, "{clue} {level}, {:?}: {} of {most}", axis.row_years(row), share(row));
            assert!(share(row) >= 0.0 && table.rows[row].shares[k] > 0.0);
        }
    }
}

/// A number registered after all years of the calibration must be a misreading, and no answer breaks.
#[test]
fn a_number_from_beyond_the_years_says_nothing() {
    let clue = STARTER.catalogue().clue("design_number").unwrap();
    assert!(Cell::from_text(clue, "882949", false).is_ok(), "of 1957");
    let posterior = by(&[("design_number", "882949")]);
    let axis: Axis = posterior.axis();
    for p in posterior.on_axis() {
        assert!((p - 1.0 / f64::from(axis.to() - axis.from())).abs() < 1e-12);
    }
    assert_eq!(
        club(STARTER.catalogue(), &[("design_number", "4?8640 (?)")]).cells.len(),
        STARTER.catalogue().clues().len()
    );
    assert!(STARTER.parts_dated().contains(&Part::Head));
}

/// A number is out of step with other clues of date, never with the prior alone: what only describes the club is no
/// rest.
#[test]
fn a_number_by_itself_is_out_of_step_with_nothing() {
    let told = |readings: &[(&str, &str)]| {
        let dating = date_readings(&STARTER, readings, None);
        dating.out_of_step.into_iter().map(|odd| odd.clue).collect::<Vec<_>>()
    };
    let number = ("design_number", "351202");
    assert_eq!(told(&[number, ("club_type", "long")]), [""; 0]);
    let early = [
        ("hosel_to_crease", "6"),
        ("pin_direction", "front_back"),
        ("top_edge", "0.4"),
        ("nicking_coarseness", "coarse"),
        ("nicking_regularity", "irregular"),
        ("hosel_join", "sharp"),
        ("hammer_weld", "open"),
    ];
    let with_early = [&[number, ("club_type", "long")][..], &early].concat();
    assert!(told(&with_early).contains(&"design_number".to_owned()), "{:?}", told(&with_early));
}
