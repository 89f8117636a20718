//! The readings of one club that speak of one part, as likelihoods over years.

use crate::evidence::block::Block;
use crate::evidence::copied::Copied;
use crate::evidence::joined_evidence::JoinedEvidence;
use crate::evidence::joined_parts::JoinedParts;
use crate::evidence::on_shelf::OnShelf;
use crate::evidence::own_evidence::{OwnEvidence, UsedClue};
use crate::evidence::weighed::{AfterTheAxis, BySet, Weighed};
use crate::numbers::axis::Axis;
use crate::numbers::ln_sums::scaled_from_ln;
use crate::numbers::shared_lag::{LagNode, SharedLag, lag_nodes};
use crate::reading::part::Part;
use crate::tables::prior::Prior;
use std::borrow::Cow;
use std::sync::Arc;

/// The readings of one club that speak of one part, as likelihoods over years.
///
/// Clues stand in the order of their ids, so that no answer depends on the order of the catalogue or of the record.
/// ```
/// use agewright_model::{Asked, Part};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let readings = [("pin_direction", "side_side"), ("hosel_to_crease", "3 1/2 in")];
/// let club = calibration.catalogue().club("iron", &readings).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
/// let evidence = asked.evidence();
/// assert_eq!(evidence.clue_ids(), ["hosel_to_crease", "pin_direction"], "in the order of their ids");
/// // By year, in ln: of all clues, and of the hosel alone.
/// let (all, hosel) = (evidence.ln_likelihood(|_| true), evidence.ln_likelihood(|clue| clue == 0));
/// assert_eq!(all.len(), calibration.catalogue().axis().n_years());
/// assert!(all[0] < all[150] && hosel[0] < hosel[150]);
/// ```
#[derive(Debug, Clone)]
pub struct Evidence {
    pub(crate) axis: Axis,
    pub(crate) clues: Vec<UsedClue>,
    pub(crate) blocks: Vec<Weighed<Block>>,
    /// The votes of the dated clubs most like it, over the same clues.
    pub(crate) shelf: Option<Weighed<OnShelf>>,
    /// What is fixed to the part, where something of it was read.
    pub(crate) joined: Option<JoinedEvidence>,
    /// The lead or lag that the clues of fashion share.
    pub(crate) lag: SharedLag,
    /// What is known of a part of after the axis.
    pub(super) after: After,
}

/// A part of after the axis: which years it copies, and the lag of what is fixed to it.
#[derive(Debug, Clone)]
pub(super) struct After {
    /// Chances of the years of fashion that it copies; of a head (`None`) as often as there are any, by the prior.
    pub copies: Option<Vec<f64>>,
    pub lags: Vec<LagNode>,
}

impl From<OwnEvidence> for Evidence {
    fn from(own: OwnEvidence) -> Self {
        let single = |Weighed { places, weight, evidence }| {
            let evidence = Block::OneClue(evidence);
            Weighed { places, weight, evidence }
        };
        let mut blocks: Vec<Weighed<Block>> = own.singles.into_iter().map(single).collect();
        blocks.extend(own.measures.map(|Weighed { places, weight, evidence }| {
            let evidence = Block::Measures(evidence);
            Weighed { places, weight, evidence }
        }));
        Self {
            axis: own.axis,
            clues: own.clues,
            blocks,
            shelf: own.shelf,
            joined: None,
            lag: SharedLag::normal(own.axis.n_years(), 0.0, own.axis.step()),
            after: After { copies: None, lags: lag_nodes(0.0, own.axis.step()) },
        }
    }
}

impl Evidence {
    /// The same with clues of fashion that lead or lag together.
    pub(crate) fn with_lag(mut self, lag: SharedLag) -> Self {
        self.lag = lag;
        self
    }

    /// The same for a part that may be of after the axis: the chances of the years of fashion that it then copies (of a
    /// head none: as the prior has them), and those of its lag.
    pub(crate) fn with_after(mut self, copies: Option<&[f64]>, lags: Vec<LagNode>) -> Self {
        self.after = After { copies: copies.map(<[f64]>::to_vec), lags };
        self
    }

    /// The same with what is fixed to the part: `fixed` are its readings, in the order that the joined parts take them
    /// in.
    pub(crate) fn with_fixed(mut self, part: Part, fixed: &[UsedClue], parts: Arc<JoinedParts>) -> Self {
        let places = (self.clues.len()..self.clues.len() + fixed.len()).collect();
        self.clues.extend_from_slice(fixed);
        self.joined = Some(JoinedEvidence::new(places, part, parts));
        self.sorted_by_id()
    }

    /// The same with its clues in the order of their ids.
    fn sorted_by_id(mut self) -> Self {
        let mut order: Vec<usize> = (0..self.clues.len()).collect();
        order.sort_by(|&a, &b| self.clues[a].id.cmp(&self.clues[b].id));
        let mut place_of = vec![0; order.len()];
        for (place, &old) in order.iter().enumerate() {
            place_of[old] = place;
        }
        self.clues = order.iter().map(|&old| self.clues[old].clone()).collect();
        let of_joined = self.joined.iter_mut().map(|joined| &mut joined.places);
        let of_shelf = self.shelf.iter_mut().map(|shelf| &mut shelf.places);
        let of_blocks = self.blocks.iter_mut().map(|block| &mut block.places);
        for place in of_blocks.chain(of_shelf).chain(of_joined).flatten() {
            *place = place_of[*place];
        }
        self
    }

    /// The axis of years.
    #[must_use]
    pub fn axis(&self) -> Axis {
        self.axis
    }

    /// Whether anything of it is a sign of the date by itself.
    #[must_use]
    pub fn has_clue_of_date(&self) -> bool {
        self.clues.iter().any(|clue| !clue.adjusts)
    }

    /// Number of clues that count.
    #[must_use]
    pub fn n_clues(&self) -> usize {
        self.clues.len()
    }

    /// Ids of the clues that count, sorted.
    #[must_use]
    pub fn clue_ids(&self) -> Vec<&str> {
        self.clues.iter().map(|clue| clue.id.as_str()).collect()
    }

    /// Tempered ln likelihood by year of the clues for which `keep` says yes (by place among the clues that count):
    /// ln(K * exp(sum of the clues of fashion)) + sum of marks and numbers, K the lag that fashion shares, times what
    /// is fixed to the part.
    #[must_use]
    pub fn ln_likelihood(&self, keep: impl Fn(usize) -> bool) -> Vec<f64> {
        let [fashion, making] = self.ln_sides(&keep);
        self.by_making(fashion, keep).iter().zip(&making).map(|(f, m)| f + m).collect()
    }

    /// The two sums by year of the part's own clues: of fashion, by the year of fashion; of marks and numbers, by the
    /// year of making.
    pub(super) fn ln_sides(&self, keep: impl Fn(usize) -> bool) -> [Vec<f64>; 2] {
        let mut sides = self.ln_sides_of_tables(&keep);
        if let Some(shelf) = &self.shelf {
            shelf.add_to_side(&mut sides, keep);
        }
        sides
    }

    /// The same of the tables alone, marks and numbers among them.
    fn ln_sides_of_tables(&self, keep: impl Fn(usize) -> bool) -> [Vec<f64>; 2] {
        let mut sides = [vec![0.0; self.axis.n_years()], vec![0.0; self.axis.n_years()]];
        self.blocks.iter().for_each(|block| block.add_to_side(&mut sides, &keep));
        sides
    }

    /// Tempered ln likelihood of the clues that are kept on a part made after the axis ends, on the scale of
    /// [`Self::ln_likelihood`]. A prior of the years that a head copies is asked for.
    pub(crate) fn ln_after(&self, prior: &Prior, keep: impl Fn(usize) -> bool) -> f64 {
        let copied = self.copied(&keep);
        let own = match &self.after.copies {
            Some(chances) => copied.ln_of_years(chances),
            None => copied.ln_by(prior.ln_by_year(), &self.lag),
        };
        let fixed = self.joined.as_ref().map(|joined| (joined, joined.set_of(keep))).filter(|(_, set)| *set != 0);
        own + fixed.map_or(0.0, |(joined, set)| joined.ln_after(set, &self.after.lags))
    }

    /// The part's own clues that are kept, on a part made after the axis ends.
    pub(super) fn copied(&self, keep: impl Fn(usize) -> bool) -> Copied {
        let mut copied = Copied::new(self.axis.n_years());
        self.blocks.iter().for_each(|block| copied.add(block, &keep));
        if let Some(shelf) = &self.shelf {
            copied.add(shelf, |place| keep(place) && self.after_of(place).is_none());
        }
        copied
    }

    /// What the rules say of one of the part's own clues (by its place) after the axis; `None` where they do not.
    pub(crate) fn after_of(&self, clue: usize) -> Option<AfterTheAxis> {
        let own = |block: &&Weighed<Block>| block.places.contains(&clue);
        self.blocks.iter().find(own)?.evidence.after()
    }

    /// How likely the reading of a clue (by its id) is on a part of after the axis, before its exponent; `None` where
    /// the rules do not say.
    pub(crate) fn likelihood_after(&self, clue: &str) -> Option<f64> {
        let place = self.clues.iter().position(|used| used.id == clue)?;
        Some(self.after_of(place)?.ln.exp())
    }

    /// The lag, with the readings that are kept of what is fixed to the part.
    pub(super) fn lag_with(&self, keep: impl Fn(usize) -> bool) -> Cow<'_, SharedLag> {
        match &self.joined {
            Some(joined) => joined.weighed(&self.lag, joined.set_of(keep)),
            None => Cow::Borrowed(&self.lag),
        }
    }

    /// ln likelihood by the year of making, from one by the year of fashion and what is kept that is fixed to the part.
    fn by_making(&self, ln_fashion: Vec<f64>, keep: impl Fn(usize) -> bool) -> Vec<f64> {
        let lag = self.lag_with(keep);
        // What says nothing says nothing of any year.
        let is_lag_alone = matches!(lag, Cow::Borrowed(_));
        if is_lag_alone && (lag.without_lag().is_some() || ln_fashion.iter().all(|v| *v == 0.0)) {
            return ln_fashion;
        }
        lag.blurred_ln(&ln_fashion)
    }

    /// Tempered ln likelihood of the part's own clues that are kept, by the year of fashion: of looks and measures
    /// before any lag; of marks and numbers what they leave of it, each year of making as likely as its lag to that
    /// year of fashion. By the tables alone.
    pub(crate) fn ln_by_fashion(&self, keep: impl Fn(usize) -> bool) -> Vec<f64> {
        let [mut fashion, making] = self.ln_sides_of_tables(keep);
        if making.iter().any(|v| *v != 0.0) {
            let ones = vec![1.0; making.len()];
            let (sums, all) = (self.lag.by_fashion(&scaled_from_ln(&making), &ones), self.lag.by_fashion(&ones, &ones));
            for (ln, (sum, all)) in fashion.iter_mut().zip(sums.iter().zip(&all)) {
                // A year of fashion that no lag leads to is none.
                *ln += if *all > 0.0 { (sum / all).ln() } else { f64::NEG_INFINITY };
            }
        }
        fashion
    }

    /// Whether anything speaks that leads or lags with the rest: marks and numbers alone do not.
    #[must_use]
    pub fn has_fashion(&self) -> bool {
        let of_joined = |clue: usize| self.joined.as_ref().is_some_and(|joined| joined.places.contains(&clue));
        (0..self.clues.len()).any(|clue| !self.clues[clue].adjusts && (of_joined(clue) || self.is_fashion(clue)))
    }

    /// Whether a clue (by its place) speaks of the year of fashion; a mark, a number and what is fixed to the part
    /// speak of that of making.
    pub(crate) fn is_fashion(&self, clue: usize) -> bool {
        let by_table = self.blocks.iter().find(|block| block.places.contains(&clue));
        by_table.map_or_else(
            || self.shelf.as_ref().is_some_and(|shelf| shelf.places.contains(&clue)),
            |block| block.evidence.is_fashion(),
        )
    }

    /// The first clue of evidence that is no number, or that holds every year for impossible; only tables of absurd
    /// numbers make such.
    pub(crate) fn not_finite(&self) -> Option<&str> {
        let absurd = |block: &Weighed<Block>| {
            let own = if block.places.is_empty() { None } else { block.evidence.first_absurd(block.places.len()) };
            own.and_then(|clue| block.places.get(clue).copied())
        };
        let of_joined = || {
            let joined = self.joined.as_ref()?;
            let ln = self.by_making(vec![0.0; self.axis.n_years()], |place| joined.places.contains(&place));
            ln.iter().any(|v| !v.is_finite()).then(|| joined.places.first().copied())?
        };
        let place = self.blocks.iter().find_map(absurd).or_else(of_joined);
        place.map(|place| self.clues[place].id.as_str())
    }

    /// ln W_S(y)/W_A(y) by the year of fashion, before its exponent: what the dated clubs most like it say by all clues
    /// that were read; `None` where there is no shelf for the part.
    #[must_use]
    pub fn ln_of_shelf(&self) -> Option<Vec<f64>> {
        self.shelf.as_ref().map(|shelf| shelf.ln_by_year(shelf.all()))
    }

    /// ln likelihood by year of each fitted group of tables, before its exponent: level clues by their id, measures by
    /// `None`.
    #[must_use]
    pub fn ln_by_group(&self) -> Vec<(Option<&str>, Vec<f64>)> {
        let group = |block: &Weighed<Block>| {
            let id = match block.evidence {
                Block::OneClue(_) => block.places.first().map(|&place| self.clues[place].id.as_str()),
                Block::Measures(_) => None,
            };
            (id, block.ln_by_year(block.all()))
        };
        self.blocks.iter().map(group).collect()
    }

    /// One clue's own ln likelihood, alone and before its exponent, by the year of fashion (of making for a mark and a
    /// number); by its place among [`Self::clue_ids`]. Zeros for a place that is not there, and for a level adjuster,
    /// which says nothing alone.
    #[must_use]
    pub fn ln_alone(&self, clue: usize) -> Vec<f64> {
        let own = |block: &Weighed<Block>| {
            let set = block.set_of(|place| place == clue);
            (set != 0).then(|| block.ln_by_year(set))
        };
        let of_joined = || {
            let joined = self.joined.as_ref().filter(|joined| joined.places.contains(&clue))?;
            let set = joined.set_of(|place| place == clue);
            Some(joined.weighed(&self.lag, set).blurred_ln(&vec![0.0; self.axis.n_years()]))
        };
        let own = self.blocks.iter().find_map(own).or_else(of_joined);
        own.unwrap_or_else(|| vec![0.0; self.axis.n_years()])
    }

    /// One clue's own ln likelihood by the year of making: as [`Self::ln_alone`], the lag allowed for.
    pub(crate) fn ln_alone_by_making(&self, clue: usize) -> Vec<f64> {
        let alone = self.ln_alone(clue);
        if self.is_fashion(clue) { self.by_making(alone, |_| false) } else { alone }
    }

    /// ln likelihood by year of all measures together, the adjusting ones among them; `None` where nothing was
    /// measured.
    pub(crate) fn ln_measures_together(&self) -> Option<Vec<f64>> {
        self.blocks.iter().find_map(|block| match &block.evidence {
            Block::Measures(measures) => Some(measures.ln_all_together()),
            _ => None,
        })
    }
}
