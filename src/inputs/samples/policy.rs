//! What a job says of cells that hold no reading.

/// How a reading that is only known to lie below or above a limit counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Censored {
    /// As the limit itself.
    Limit,
    /// As half the limit, where it is a most and half of it means something.
    Half,
}

impl Censored {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Limit, Self::Half];

    /// As jobs write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Limit => "limit",
            Self::Half => "half",
        }
    }
}

/// What becomes of a sample without a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Missing {
    /// It is left out, and named.
    LeaveOut,
}

impl Missing {
    /// The only one.
    pub const ALL: [Self; 1] = [Self::LeaveOut];

    /// As jobs write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::LeaveOut => "leave out",
        }
    }
}

/// What becomes of ground of the limed depth that was not sampled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LayerGaps {
    /// The layer nearest to it in depth stands for it.
    NearestLayer,
}

impl LayerGaps {
    /// The only one.
    pub const ALL: [Self; 1] = [Self::NearestLayer];

    /// As jobs write it.
    pub fn words(self) -> &'static str {
        match self {
            Self::NearestLayer => "nearest layer",
        }
    }
}

/// What a job says of cells that hold no reading; without a word such cells are refused.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CellPolicy {
    /// Of `<5.0` and `>7.5`.
    pub censored: Option<Censored>,
    /// Of blanks, `ND`, `n/a` and the like.
    pub missing: Option<Missing>,
}
