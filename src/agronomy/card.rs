//! What there is to say about a method, as plain data.

use super::by_volume::CHARGE_BY_VOLUME;
use super::rise::classes_of;
use super::rule_words::rule_in_words;
use super::table::{Between, Example, MethodTable, NeedUnit};
use super::{Aim, AlExtract, Buffer, LAB_RECOMMENDATION, ReadSet, Reads, Target};
use crate::sources::{Source, source};
use crate::units::{Length, PhMedium, TextureClass, bound, ph_words, plain};

/// All that there is to say about a method, for a user who has to choose and to defend one.
#[derive(Clone, Debug, PartialEq)]
pub struct MethodCard {
    /// The name under which it is asked for.
    pub id: String,
    /// What it is, in a few words.
    pub title: String,
    /// The readings that decide the need.
    pub reads: ReadSet,
    /// The buffer it was made for, where it reads one.
    pub buffer: Option<Buffer>,
    /// The extract of the aluminium that it was made for, where it reads aluminium.
    pub al_extract: Option<AlExtract>,
    /// The texture classes that it has needs for, where it goes by texture.
    pub textures: Vec<TextureClass>,
    /// The medium of the soil pH, the targets and the trigger.
    pub ph_medium: MethodMedium,
    /// The depth that its needs are stated for, or `None` where the source does not say.
    pub depth: Option<Length>,
    /// The same as it is written: `6 in`, `not stated`.
    pub depth_words: String,
    /// The publication that states the depth, where it is not `source`, and where in it.
    pub depth_source: Option<Citation>,
    /// The material that its needs are stated in.
    pub basis: Basis,
    /// The unit that its needs are printed in.
    pub need_unit: NeedUnit,
    /// What holds between two rows, where there are rows.
    pub between: Option<Between>,
    /// Lowest and highest reading with a printed need, where there are rows.
    pub printed_range: Option<(f64, f64)>,
    /// The lines or the equation in words, one sentence each, where there are no rows.
    pub rule: Vec<String>,
    /// Where the derived line reaches zero, and why it may be drawn; where there is one.
    pub derived: Option<(f64, String)>,
    /// What it limes to.
    pub aim: Aim,
    /// The target pH of its columns, rising; between two of them is served as well.
    pub targets: Vec<f64>,
    /// The highest target that an equation serves, where no columns are printed.
    pub target_at_most: Option<f64>,
    /// Lowest and highest target of a rule that serves all between them: a pH, or a saturation in
    /// percent.
    pub target_range: Option<(f64, f64)>,
    /// The pH at and above which the source limes nothing, where it states one.
    pub trigger: Option<f64>,
    /// Where it was made.
    pub region: String,
    /// The soils it was made on.
    pub soils: String,
    /// The publication.
    pub source: Citation,
    /// The file that it was read from, where it is a user's own table.
    pub own_table: Option<String>,
    /// Whether its numbers were written from memory; such a method runs only when it is allowed
    /// by name.
    pub from_memory: bool,
    /// What a user has to know beside the numbers, the notes on single rows included.
    pub notes: Vec<String>,
    /// Printed cells and worked examples, which
    /// [`work_example`](super::work_example) computes anew.
    pub examples: Vec<Example>,
}

impl MethodCard {
    /// Whose the numbers are, for everything that is made from them, where they are not those of a
    /// publication that this program has seen.
    pub fn caveat(&self) -> Option<String> {
        if let Some(file) = &self.own_table {
            return Some(format!("Lime need by the user's own table {file}: {}", self.title));
        }
        if self.id == LAB_RECOMMENDATION {
            return Some("Lime need as the laboratory recommends it".to_owned());
        }
        self.from_memory.then(|| {
            format!("Lime need by {}, whose numbers were written from memory, not seen", self.id)
        })
    }

    pub(super) fn new(
        table: &MethodTable,
        ph_medium: MethodMedium,
        depth: Option<Length>,
        basis: Basis,
    ) -> Self {
        let readings = || table.rows.iter().map(|row| row.reading);
        let mut textures = table.textures.clone();
        textures.extend(classes_of(&table.rises));
        let mut notes = table.notes.clone();
        for row in table.classes.iter().flat_map(|classes| &classes.rows) {
            let class = row.ph_up_to.map_or_else(
                || "The highest class of pH".to_owned(),
                |end| format!("The class up to pH {}", ph_words(end)),
            );
            notes.extend(row.note.iter().map(|note| format!("{class}: {note}")));
        }
        for row in &table.rows {
            notes.extend(row.note.iter().map(|note| format!("Row {}: {note}", row.reading)));
        }
        Self {
            id: table.id.clone(),
            title: table.title.clone(),
            reads: table.reads.clone(),
            buffer: table.buffer,
            al_extract: table.al_extract,
            textures,
            ph_medium,
            depth,
            depth_words: table.depth.clone(),
            depth_source: table.depth_source.as_ref().map(|key| Citation {
                key: key.clone(),
                locator: table.depth_locator.clone().unwrap_or_default(),
            }),
            basis,
            need_unit: table.need_unit,
            between: table.between,
            printed_range: readings()
                .map(|reading| (reading, reading))
                .reduce(|range, (reading, _)| (range.0.min(reading), range.1.max(reading))),
            rule: rule_in_words(table),
            derived: table
                .derived
                .as_ref()
                .map(|line| (line.zero_at, line.why.clone()))
                .or_else(|| table.carried.as_ref().map(|end| (end.zero_at, end.why.clone()))),
            aim: table.shape.aim(),
            targets: table.targets.clone(),
            target_at_most: table.equation.as_ref().map(|equation| equation.ph_without_acidity),
            target_range: table.target_range.map(|[least, most]| (least, most)),
            trigger: table.trigger,
            region: table.region.clone(),
            soils: table.soils.clone(),
            source: Citation { key: table.source.clone(), locator: table.locator.clone() },
            own_table: None,
            from_memory: table.from_memory,
            notes,
            examples: table.examples.clone(),
        }
    }

    /// The readings that decide the need, in a sentence, each with the unit in which the method
    /// counts it.
    pub fn reads_in_words(&self) -> String {
        let words = |reads: Reads| match (self.aim, reads) {
            (Aim::BaseSaturation | Aim::AluminiumSaturation, Reads::Value(value)) => {
                format!("{}, {CHARGE_BY_VOLUME}", value.words())
            }
            _ => reads.words(),
        };
        self.reads.iter().map(words).collect::<Vec<_>>().join(" and ")
    }

    /// Said wherever a method is printed whose source states no material.
    pub const BASIS_NOT_STATED: &'static str =
        "The source does not state the material that its needs are meant for; 100 % CCE is assumed";

    /// Said wherever a method is printed whose source states no depth.
    pub const DEPTH_NOT_STATED: &'static str = "The source states no depth, so nothing is scaled by depth, and a limed depth that is not \
         the sampled depth is refused";

    /// Said wherever a method is printed whose numbers were not all seen in their source.
    pub const WRITTEN_FROM_MEMORY: &'static str = "Numbers of this method were written from memory and not seen in their source; its notes say \
         which";

    /// What is taken for granted because the source does not state it or was not seen, one sentence
    /// each.
    pub fn assumptions(&self) -> Vec<&'static str> {
        let basis = (self.basis == Basis::NotStated).then_some(Self::BASIS_NOT_STATED);
        let depth = self.depth.is_none().then_some(Self::DEPTH_NOT_STATED);
        let memory = self.from_memory.then_some(Self::WRITTEN_FROM_MEMORY);
        basis.into_iter().chain(depth).chain(memory).collect()
    }

    /// Whether the method serves this target; a pH in its own medium.
    pub fn serves(&self, target: Target) -> bool {
        let slack = super::need::SAME_READING;
        if target.aim() != self.aim {
            return false;
        }
        let target = target.in_table();
        if let Some((least, most)) = self.target_range {
            return target >= least - slack && target <= most + slack;
        }
        if let Some(most) = self.target_at_most {
            return target <= most + slack && target >= bound::TARGET_PH.least;
        }
        let (Some(least), Some(most)) = (self.targets.first(), self.targets.last()) else {
            return false;
        };
        target >= least - slack && target <= most + slack
    }

    /// The targets it serves, in words: `pH 6.5 to 6.9`, `10 to 100 % base saturation`.
    pub fn targets_in_words(&self) -> String {
        self.aim.span_words(&self.targets_in_numbers())
    }

    fn targets_in_numbers(&self) -> String {
        if let Some((least, most)) = self.target_range {
            let number = |target: f64| match self.aim {
                Aim::Ph => ph_words(target),
                Aim::BaseSaturation | Aim::AluminiumSaturation => plain(target, 0, 4),
            };
            return format!("{} to {}", number(least), number(most));
        }
        if let Some(most) = self.target_at_most {
            return format!("up to {}", ph_words(most));
        }
        match self.targets.as_slice() {
            [] => String::new(),
            [only] => ph_words(*only),
            [least, .., most] => format!("{} to {}", ph_words(*least), ph_words(*most)),
        }
    }
}

/// A publication and a place in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Citation {
    /// A key of the bibliography, or the publication in a user's words.
    pub key: String,
    /// Where in it: table, equation, page.
    pub locator: String,
}

impl Citation {
    /// The publication, where it is in the bibliography.
    pub fn source(&self) -> Option<&'static Source> {
        source(&self.key)
    }

    /// The publication and the place in it, in words.
    pub fn words(&self) -> String {
        let publication = self.source().map_or_else(|| self.key.clone(), ToString::to_string);
        if self.locator.is_empty() {
            return publication;
        }
        format!("{publication}; {}", self.locator)
    }
}

/// The medium of a method's soil pH.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MethodMedium {
    /// Water; the source does not state the proportion.
    AnyWater,
    /// Whatever the samples were read in: no pH decides the need.
    Any,
    /// The medium that the source states.
    Stated(PhMedium),
}

impl MethodMedium {
    /// All of them, in the order in which they are listed to a user.
    pub fn all() -> impl Iterator<Item = Self> {
        [Self::AnyWater, Self::Any].into_iter().chain(PhMedium::ALL.into_iter().map(Self::Stated))
    }

    /// As it is written in tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::AnyWater => "water",
            Self::Any => "any",
            Self::Stated(medium) => medium.words(),
        }
    }

    /// The same in a job whose pH was read in `measured_in`.
    pub fn words_in_job(self, measured_in: PhMedium) -> &'static str {
        match self {
            Self::Any => measured_in.words(),
            Self::AnyWater | Self::Stated(_) => self.words(),
        }
    }

    /// A medium in which its pH may be read.
    pub fn example(self) -> PhMedium {
        match self {
            Self::Stated(medium) => medium,
            Self::AnyWater | Self::Any => PhMedium::Water1To1,
        }
    }

    /// Whether its pH is one in water.
    pub fn is_water(self) -> bool {
        match self {
            Self::AnyWater => true,
            Self::Any => false,
            Self::Stated(medium) => medium.is_water(),
        }
    }

    /// The medium written so, blanks and case aside.
    pub fn from_words(words: &str) -> Option<Self> {
        for medium in [Self::AnyWater, Self::Any] {
            if words.trim().eq_ignore_ascii_case(medium.words()) {
                return Some(medium);
            }
        }
        PhMedium::from_words(words).map(Self::Stated)
    }
}

/// The material that a method's needs are stated in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Basis {
    /// Its calcium carbonate equivalent, 1 for pure calcium carbonate.
    Stated(f64),
    /// The source does not say; pure calcium carbonate is assumed.
    NotStated,
}

impl Basis {
    /// The part of a printed need that is pure calcium carbonate.
    pub fn carbonate_share(self) -> f64 {
        match self {
            Self::Stated(share) => share,
            Self::NotStated => 1.0,
        }
    }

    /// As it is printed.
    pub fn words(self) -> String {
        match self {
            // A percent that was divided by 100 need not come back exactly.
            Self::Stated(share) => format!("{} % CCE", (share * 1e8).round() / 1e6),
            Self::NotStated => "not stated, 100 % CCE assumed".to_owned(),
        }
    }
}
