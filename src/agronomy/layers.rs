//! Which part of the limed depth each layer of a soil stands for.

use super::Placement;
use crate::sources::source;
use crate::units::{DepthInterval, Length};

/// The part of the limed depth that each of `layers` stands for; `None` for one that lies below it.
///
/// The layers stand from the top down and do not overlap. Each stands for its own ground. Ground of
/// the limed depth that lies in none goes to the layer nearest to it where `nearest_fills`, from
/// the middle between two.
///
/// # Errors
/// Returns the intervals of the limed depth that lie in no layer, where none may fill them.
pub fn parts_of_limed_depth(
    layers: &[DepthInterval],
    limed: Length,
    nearest_fills: bool,
) -> Result<Vec<Option<DepthInterval>>, Vec<DepthInterval>> {
    let slack = same_depth_within();
    let mut gaps = Vec::new();
    let mut note_gap = |top: Length, bottom: Length| {
        let bottom = bottom.min(limed);
        if bottom - top > slack {
            gaps.extend(DepthInterval::new(top, bottom));
        }
    };
    // Where each layer's part begins: at the end of the one above it, or half way to it.
    let mut begins = Vec::with_capacity(layers.len());
    let mut above = None;
    for layer in layers {
        note_gap(above.unwrap_or(Length::ZERO), layer.top());
        begins.push(match above {
            None => Length::ZERO,
            Some(end) if (layer.top() - end).abs() <= slack => end,
            Some(end) => end + (layer.top() - end) * 0.5,
        });
        above = Some(layer.bottom());
    }
    note_gap(above.unwrap_or(Length::ZERO), limed);
    if !(gaps.is_empty() || nearest_fills) {
        return Err(gaps);
    }
    let counted = begins.iter().filter(|&&begin| begin + slack < limed).count();
    let part = |at: usize| {
        let end = if at + 1 < counted { begins[at + 1] } else { limed };
        DepthInterval::new(begins[at], end).filter(|_| at < counted)
    };
    Ok((0..layers.len()).map(part).collect())
}

/// Depths closer than this are the same depth, written in inches and in centimetres (ours).
pub fn same_depth_within() -> Length {
    Length::from_centimetres(0.5)
}

impl Placement {
    /// How deep lime acts that is placed so; `None` where it is worked in.
    ///
    /// Lime laid on ground that is not tilled acts on the upper inches: established forage and
    /// no-till are sampled to 4 inches, says [`reach_source`](Self::reach_source).
    pub fn reach(self) -> Option<Length> {
        match self {
            Self::Tilled => None,
            Self::NoTill | Self::EstablishedStand => Some(Length::from_inches(4.0)),
        }
    }

    /// The publication that says so.
    pub fn reach_source() -> String {
        source("tri_state_1995_e2567").map(ToString::to_string).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn interval([top, bottom]: [f64; 2]) -> DepthInterval {
        DepthInterval::new(Length::from_centimetres(top), Length::from_centimetres(bottom)).unwrap()
    }

    fn shown(interval: DepthInterval) -> [f64; 2] {
        [interval.top(), interval.bottom()]
            .map(|depth| (depth.to_centimetres() * 1e6).round() / 1e6)
    }

    fn parts(layers: &[[f64; 2]], limed: f64, fills: bool) -> Result<Vec<[f64; 2]>, Vec<[f64; 2]>> {
        let layers: Vec<_> = layers.iter().copied().map(interval).collect();
        let found = parts_of_limed_depth(&layers, Length::from_centimetres(limed), fills);
        found
            .map(|parts| parts.into_iter().flatten().map(shown).collect())
            .map_err(|gaps| gaps.into_iter().map(shown).collect())
    }

    /// The depths of the Rothamsted liming experiment, 1963 (see `tests/data/liming_trial`).
    const ROTHAMSTED: [[f64; 2]; 3] = [[0.0, 18.0], [18.0, 30.0], [30.0, 46.0]];

    #[test]
    fn each_layer_stands_for_what_of_it_is_limed() {
        assert_eq!(parts(&ROTHAMSTED, 23.0, false), Ok(vec![[0.0, 18.0], [18.0, 23.0]]));
        assert_eq!(parts(&ROTHAMSTED, 46.0, false), Ok(ROTHAMSTED.to_vec()));
        assert_eq!(parts(&ROTHAMSTED, 10.0, false), Ok(vec![[0.0, 10.0]]));
    }

    #[test]
    fn ground_in_no_layer_is_refused_or_goes_to_the_nearest() {
        let apart = [[5.0, 10.0], [16.0, 20.0]];
        assert_eq!(parts(&apart, 30.0, false), Err(vec![[0.0, 5.0], [10.0, 16.0], [20.0, 30.0]]));
        assert_eq!(parts(&apart, 30.0, true), Ok(vec![[0.0, 13.0], [13.0, 30.0]]));
        assert_eq!(parts(&apart, 12.0, false), Err(vec![[0.0, 5.0], [10.0, 12.0]]));
        assert_eq!(parts(&apart, 12.0, true), Ok(vec![[0.0, 12.0]]));
        // What lies below the limed depth is no gap of it.
        assert_eq!(parts(&[[0.0, 10.0], [16.0, 20.0]], 10.0, false), Ok(vec![[0.0, 10.0]]));
    }

    #[test]
    fn inches_and_centimetres_of_one_depth_leave_no_sliver() {
        let inches = |depth: f64| depth * 2.54;
        let six = [[0.0, inches(6.0)], [inches(6.0), inches(12.0)]];
        assert_eq!(parts(&six, 15.0, false), Ok(vec![[0.0, 15.0]]));
        assert_eq!(parts(&[[0.0, 15.0], [15.0, 30.0]], inches(6.0), false), Ok(vec![[0.0, 15.24]]));
        assert_eq!(parts(&[[0.0, 15.0]], inches(6.0), false), Ok(vec![[0.0, 15.24]]));
        let mixed = [[0.0, inches(6.0)], [15.0, 30.0]];
        assert_eq!(parts(&mixed, 30.0, false), Ok(vec![[0.0, 15.24], [15.24, 30.0]]));
        let reach = Placement::NoTill.reach().unwrap().to_centimetres();
        assert_eq!(parts(&[[0.0, 10.0], [10.0, 20.0]], reach, false), Ok(vec![[0.0, 10.16]]));
    }
}
