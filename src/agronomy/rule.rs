//! The rule that a method comes down to for one job: rows, lines or an equation.

use super::equation::Equation;
use super::lines::Lines;
use super::lookup::Column;
use super::need::Need;
use super::table::Reads;
use crate::units::bound;

/// One of the few shapes, fitted to one job.
#[derive(Clone, Debug)]
pub(super) enum Rule {
    /// The printed rows of one target.
    Rows(Column),
    /// A few straight lines.
    Lines(Lines),
    /// An equation in soil pH and buffer pH.
    Equation(Equation),
}

impl Rule {
    /// The need of a soil of pH `ph`, in the method's own medium, at the reading that decides.
    pub(super) fn look_up(&self, ph: f64, reading: f64) -> Need {
        match self {
            Self::Rows(column) => column.look_up(reading),
            Self::Lines(lines) => lines.look_up(ph, reading),
            Self::Equation(equation) => equation.look_up(ph, reading),
        }
    }

    /// The least reading from which on nothing is needed, whatever the pH; where there is one.
    pub(super) fn zero_need_reading(&self) -> Option<f64> {
        match self {
            Self::Rows(column) => column.zero_need_reading(),
            // More acidity needs more, and no printed acidity is low enough to need nothing.
            Self::Lines(_) => None,
            Self::Equation(equation) => Some(equation.table().no_acidity_at),
        }
    }

    /// Lowest and highest reading covered. Lines and equations end only where the input does.
    pub(super) fn range(&self, reads: Reads) -> (f64, f64) {
        match self {
            Self::Rows(column) => column.range(),
            Self::Lines(_) | Self::Equation(_) => {
                let bounds = match reads {
                    Reads::Ph => &bound::SOIL_PH,
                    Reads::BufferPh => &bound::BUFFER_PH,
                    Reads::Acidity => &bound::ACIDITY,
                };
                (bounds.least, bounds.most)
            }
        }
    }
}
