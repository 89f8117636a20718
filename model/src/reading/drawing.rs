//! A drawing of what a level looks like, or of where a measure is taken: strokes of a few pens, built on others.

use serde::{Deserialize, Serialize};

/// Width and height of the field that every drawing is made on; x runs to the right and y down.
pub const FIELD: [u32; 2] = [96, 72];

/// A drawing, as a catalogue names it.
///
/// ```
/// use agewright_model::reading::drawing::{Drawing, Pen, Stroke};
///
/// let rim = Stroke { pen: Pen::Marked, path: "M28 38 H68".into(), at: Vec::new() };
/// let drawing = Drawing { id: "bare_rim".into(), of: vec!["part_shaft_in_rim".into()], strokes: vec![rim] };
/// assert_eq!(drawing.strokes[0].places(), [[0.0, 0.0]]);
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Drawing {
    /// Short name: a-z, 0-9 and `_`.
    pub id: String,
    /// Drawings that it is built on, laid down first, in their order: earlier ones of the catalogue, or built-in ones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub of: Vec<String>,
    /// What is laid on them, one above another.
    pub strokes: Vec<Stroke>,
}

/// One path of one pen, laid down once or more.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Stroke {
    /// The pen.
    pub pen: Pen,
    /// Path data of SVG (W3C 2011, SVG 1.1, section 8.3) on a field of 96 x 72.
    pub path: String,
    /// Places that it is moved to, `[x, y]` each; once, as it stands, without them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub at: Vec<[f64; 2]>,
}

impl Stroke {
    /// Places that it is laid down at.
    #[must_use]
    pub fn places(&self) -> &[[f64; 2]] {
        if self.at.is_empty() { &[[0.0, 0.0]] } else { &self.at }
    }
}

/// What a stroke is drawn with. Tones are for what a thing is made of; one colour marks what decides, and a reader of
/// grey sees it by its weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Pen {
    /// Tone of iron.
    Metal,
    /// Tone of wood.
    Wood,
    /// Tone of leather, cloth or plate.
    Cover,
    /// White: a gap, a tool.
    Hollow,
    /// Black: a hole, a shadow.
    Solid,
    /// Tone that marks what decides.
    MarkedSolid,
    /// Contour.
    Outline,
    /// Thin line: grain, tools, steps.
    Fine,
    /// Broken thin line: what is only thought.
    Dashed,
    /// Heavy line that marks what decides.
    Marked,
    /// Thinner marking line: measures, small detail.
    Measure,
    /// Broken marking line: where something was looked for and is not there.
    Sought,
}
