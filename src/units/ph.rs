//! Readings on a pH scale, by what was measured.

/// Declares a reading on a pH scale.
macro_rules! ph {
    ($(#[$meta:meta])* $name:ident) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// The reading.
            ///
            /// # Panics
            /// If the number is not finite.
            pub fn new(reading: f64) -> Self {
                assert!(reading.is_finite(), concat!(stringify!($name), " must be a finite number"));
                Self(reading)
            }

            /// The reading as a number on the pH scale.
            pub fn reading(self) -> f64 {
                self.0
            }
        }
    };
}

ph! {
    /// pH of a soil in water.
    WaterPh
}
ph! {
    /// pH of a soil in a salt solution (0.01 M CaCl2, 1 M `KCl`).
    SaltPh
}
ph! {
    /// pH of a soil in a buffer solution: a measure of its reserve acidity, not of its pH.
    BufferPh
}

/// The liquid, and its proportion to the soil, in which a pH was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PhMedium {
    /// One part of soil in one of water.
    Water1To1,
    /// One part of soil in two of water.
    Water1To2,
    /// One part of soil in two and a half of water.
    Water1To2Point5,
    /// One part of soil in five of water.
    Water1To5,
    /// 0.01 M calcium chloride.
    CalciumChloride,
    /// What a laboratory reports that adds 0.6 to each reading in 0.01 M calcium chloride, so that
    /// it stands on a scale like water's: no reading in water.
    CalciumChlorideRaised,
    /// 1 M potassium chloride, the proportion not stated.
    PotassiumChloride,
    /// One part of soil in two and a half of 1 M potassium chloride.
    PotassiumChloride1To2Point5,
    /// One part of soil in five of 1 M potassium chloride.
    PotassiumChloride1To5,
}

impl PhMedium {
    /// All of them, in the order in which they are listed to a user.
    pub const ALL: [Self; 9] = [
        Self::Water1To1,
        Self::Water1To2,
        Self::Water1To2Point5,
        Self::Water1To5,
        Self::CalciumChloride,
        Self::CalciumChlorideRaised,
        Self::PotassiumChloride,
        Self::PotassiumChloride1To2Point5,
        Self::PotassiumChloride1To5,
    ];

    /// As it is written in job files and reports.
    pub fn words(self) -> &'static str {
        match self {
            Self::Water1To1 => "water 1:1",
            Self::Water1To2 => "water 1:2",
            Self::Water1To2Point5 => "water 1:2.5",
            Self::Water1To5 => "water 1:5",
            Self::CalciumChloride => "CaCl2 0.01 M",
            Self::CalciumChlorideRaised => "CaCl2 0.01 M + 0.6",
            Self::PotassiumChloride => "KCl 1 M",
            Self::PotassiumChloride1To2Point5 => "KCl 1 M 1:2.5",
            Self::PotassiumChloride1To5 => "KCl 1 M 1:5",
        }
    }

    /// The medium written so, blanks and case aside.
    pub fn from_words(words: &str) -> Option<Self> {
        let folded = fold(words);
        Self::ALL.into_iter().find(|medium| fold(medium.words()) == folded)
    }

    /// Whether the liquid is water, in whatever proportion.
    pub fn is_water(self) -> bool {
        matches!(self, Self::Water1To1 | Self::Water1To2 | Self::Water1To2Point5 | Self::Water1To5)
    }

    /// Whether the liquid is potassium chloride, in whatever proportion.
    pub fn is_potassium_chloride(self) -> bool {
        matches!(
            self,
            Self::PotassiumChloride
                | Self::PotassiumChloride1To2Point5
                | Self::PotassiumChloride1To5
        )
    }

    /// `reading` in this medium.
    pub fn reading(self, reading: f64) -> PhReading {
        if self.is_water() {
            PhReading::Water(self, WaterPh::new(reading))
        } else {
            PhReading::Salt(self, SaltPh::new(reading))
        }
    }
}

fn fold(words: &str) -> String {
    words.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}

/// A soil pH together with the medium it was read in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PhReading {
    /// Read in water of the stated proportion.
    Water(PhMedium, WaterPh),
    /// Read in the stated salt solution.
    Salt(PhMedium, SaltPh),
}

impl PhReading {
    /// The medium it was read in.
    pub fn medium(self) -> PhMedium {
        match self {
            Self::Water(medium, _) | Self::Salt(medium, _) => medium,
        }
    }

    /// The number read, whatever the medium.
    pub fn number(self) -> f64 {
        match self {
            Self::Water(_, ph) => ph.reading(),
            Self::Salt(_, ph) => ph.reading(),
        }
    }
}
