//! One step of a door: an equation from the pH in one medium to the pH in another.

use std::sync::LazyLock;

use super::conversion::{ConversionShape, PhConversion, all_conversions};
use crate::units::PhMedium;

/// What a laboratory adds to its reading in calcium chloride where it reports [`PhMedium`]'s
/// `CaCl2 0.01 M + 0.6`: the laboratory's own rule, and no equation.
const LABORATORY_ADDS: f64 = 0.6;

/// A curve from a pH to a pH.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Curve {
    /// `intercept + slope * pH`
    Line { intercept: f64, slope: f64 },
    /// `intercept + slope * log10(pH)`
    Log10 { intercept: f64, slope: f64 },
    /// `10 ^ ((pH - intercept) / slope)`
    Antilog { intercept: f64, slope: f64 },
}

impl Curve {
    fn along(conversion: &PhConversion) -> Self {
        let (intercept, slope) = (conversion.intercept, conversion.slope);
        match conversion.shape {
            ConversionShape::Line => Self::Line { intercept, slope },
            ConversionShape::Log10 => Self::Log10 { intercept, slope },
        }
    }

    /// The same curve, read from the other end.
    fn against(self) -> Self {
        match self {
            Self::Line { intercept, slope } => {
                Self::Line { intercept: -intercept / slope, slope: 1.0 / slope }
            }
            Self::Log10 { intercept, slope } => Self::Antilog { intercept, slope },
            Self::Antilog { intercept, slope } => Self::Log10 { intercept, slope },
        }
    }

    pub(super) fn convert(self, ph: f64) -> f64 {
        match self {
            Self::Line { intercept, slope } => intercept + slope * ph,
            // No soil has a pH of 0, and its logarithm is no number.
            Self::Log10 { intercept, slope } => {
                intercept + slope * ph.max(f64::MIN_POSITIVE).log10()
            }
            Self::Antilog { intercept, slope } => 10.0_f64.powf((ph - intercept) / slope),
        }
    }
}

/// A way from one medium to another.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DoorStep {
    pub(super) from: PhMedium,
    pub(super) to: PhMedium,
    pub(super) curve: Curve,
    /// Lowest and highest pH in `from` that the equation is taken for, and where that comes from;
    /// `None` for a laboratory's own rule, which holds for every reading.
    pub(super) range: Option<([f64; 2], &'static str)>,
    /// The sentence that tells of it.
    pub(super) told: String,
}

impl DoorStep {
    fn of(conversion: &'static PhConversion) -> Option<[Self; 2]> {
        let (start, end) = (conversion.start()?, conversion.end()?);
        let along = Curve::along(conversion);
        let [low, high] = conversion.range;
        let basis = conversion.range_basis.as_str();
        let line = conversion.in_words();
        let solved = format!("{line}, solved for the pH in {}", start.words());
        let step = |from: PhMedium, to: PhMedium, curve: Curve, line: &str, range| Self {
            from,
            to,
            curve,
            range: Some((range, basis)),
            told: told(conversion, from, to, line),
        };
        let back = [along.convert(low), along.convert(high)];
        Some([
            step(start, end, along, &line, [low, high]),
            step(end, start, along.against(), &solved, back),
        ])
    }

    /// The laboratory's own rule, both ways.
    fn of_the_laboratory() -> [Self; 2] {
        let (read, raised) = (PhMedium::CalciumChloride, PhMedium::CalciumChlorideRaised);
        let rule = format!(
            "the laboratory adds {LABORATORY_ADDS} to what it reads in {}, a rule of its own and \
             no reading in water",
            read.words()
        );
        let up = Curve::Line { intercept: LABORATORY_ADDS, slope: 1.0 };
        let step = |from: PhMedium, to: PhMedium, curve, what: &str| Self {
            from,
            to,
            curve,
            range: None,
            told: format!(
                "pH in {} is converted to pH in {}: {rule}, and it is {what}.",
                from.words(),
                to.words()
            ),
        };
        [step(read, raised, up, "added"), step(raised, read, up.against(), "taken off")]
    }
}

fn told(conversion: &PhConversion, from: PhMedium, to: PhMedium, line: &str) -> String {
    let caution = conversion.caution.as_ref().map_or_else(String::new, |more| format!("; {more}"));
    format!(
        "pH in {} is converted to pH in {} by {line}; the equation holds for {} \
         ({}){caution}.",
        from.words(),
        to.words(),
        conversion.soils,
        conversion.citation().words()
    )
}

static STEPS: LazyLock<Vec<DoorStep>> = LazyLock::new(|| {
    let published = all_conversions().iter().filter_map(DoorStep::of).flatten();
    published.chain(DoorStep::of_the_laboratory()).collect()
});

/// The fewest steps from `from` to a medium that `is_end` takes; `None` where none lead there.
pub(super) fn shortest_way(
    from: PhMedium,
    is_end: impl Fn(PhMedium) -> bool,
) -> Option<Vec<DoorStep>> {
    let mut ways: Vec<(PhMedium, Vec<DoorStep>)> = vec![(from, Vec::new())];
    let mut next = 0;
    while next < ways.len() {
        let (medium, way) = ways[next].clone();
        if is_end(medium) {
            return Some(way);
        }
        for step in STEPS.iter().filter(|step| step.from == medium) {
            if ways.iter().all(|(seen, _)| *seen != step.to) {
                ways.push((step.to, way.iter().chain([step]).cloned().collect()));
            }
        }
        next += 1;
    }
    None
}
