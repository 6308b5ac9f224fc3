//! The weights of the sites at many query points.

use crate::units::Length;

/// About how many sites count at a query point.
const NEIGHBOURS: usize = 6;

/// Where a query point lies with respect to the outline of the sites.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Standing {
    /// Within the sites' convex hull.
    Inside,
    /// On the outline of the sites or beyond it; the value is that of the outline's nearest point.
    Beyond {
        /// To the nearest point of the outline; zero on it.
        distance: Length,
    },
}

impl Standing {
    pub(super) fn beyond_m(distance_m: f64) -> Self {
        Self::Beyond { distance: Length::from_metres(distance_m) }
    }
}

/// The weights of the sites at many query points, and where these lie.
///
/// At every query point the weights are 0 or more and sum to 1 within rounding.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Weights {
    /// One more than there are queries: where the entries of each begin.
    offsets: Vec<usize>,
    /// Site numbers, which the triangulation keeps below 2^32 as well.
    sites: Vec<u32>,
    shares: Vec<f64>,
    standings: Vec<Standing>,
    guarded: usize,
}

impl Weights {
    pub(super) fn none() -> Self {
        Self::for_queries(0)
    }

    /// None yet, with room for those of so many queries.
    pub(super) fn for_queries(queries: usize) -> Self {
        let mut offsets = Vec::with_capacity(queries + 1);
        offsets.push(0);
        let entries = queries * NEIGHBOURS;
        Self {
            offsets,
            sites: Vec::with_capacity(entries),
            shares: Vec::with_capacity(entries),
            standings: Vec::with_capacity(queries),
            guarded: 0,
        }
    }

    /// One site alone at every query point, with where that point lies: for values that are not
    /// interpolated.
    pub fn of_single_sites(sites: impl IntoIterator<Item = (usize, Standing)>) -> Self {
        let mut weights = Self::none();
        for (site, standing) in sites {
            weights.push(&[(site, 1.0)], standing, false);
        }
        weights
    }

    pub(super) fn push(&mut self, entries: &[(usize, f64)], standing: Standing, guarded: bool) {
        self.sites.extend(entries.iter().map(|entry| entry.0 as u32));
        self.shares.extend(entries.iter().map(|entry| entry.1));
        self.offsets.push(self.sites.len());
        self.standings.push(standing);
        self.guarded += usize::from(guarded);
    }

    /// The queries of many sets, one after the other.
    pub(super) fn joined(mut parts: Vec<Self>) -> Self {
        if parts.len() == 1 {
            return parts.remove(0);
        }
        let entries = parts.iter().map(|part| part.sites.len()).sum();
        let queries = parts.iter().map(Self::len).sum();
        let mut all = Self {
            offsets: Vec::with_capacity(queries + 1),
            sites: Vec::with_capacity(entries),
            shares: Vec::with_capacity(entries),
            standings: Vec::with_capacity(queries),
            guarded: 0,
        };
        all.offsets.push(0);
        for part in &parts {
            let start = all.sites.len();
            all.offsets.extend(part.offsets[1..].iter().map(|offset| start + offset));
            all.sites.extend_from_slice(&part.sites);
            all.shares.extend_from_slice(&part.shares);
            all.standings.extend_from_slice(&part.standings);
            all.guarded += part.guarded;
        }
        all
    }

    /// Some of the queries, by their numbers.
    ///
    /// # Panics
    /// If there is no such query.
    #[must_use]
    pub fn picked(&self, queries: &[usize]) -> Self {
        let mut some = Self::for_queries(queries.len());
        for &query in queries {
            let span = self.offsets[query]..self.offsets[query + 1];
            some.sites.extend_from_slice(&self.sites[span.clone()]);
            some.shares.extend_from_slice(&self.shares[span]);
            some.offsets.push(some.sites.len());
            some.standings.push(self.standings[query]);
        }
        some
    }

    /// How many query points there are.
    pub fn len(&self) -> usize {
        self.standings.len()
    }

    /// Whether there is no query point.
    pub fn is_empty(&self) -> bool {
        self.standings.is_empty()
    }

    /// The sites that count at a query point, each with its weight.
    ///
    /// # Panics
    /// If there is no such query.
    pub fn entries(&self, query: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let span = self.offsets[query]..self.offsets[query + 1];
        let sites = self.sites[span.clone()].iter().map(|&site| site as usize);
        sites.zip(self.shares[span].iter().copied())
    }

    /// The value at a query point, from one value a site; never outside the range of the values
    /// that count there.
    ///
    /// # Panics
    /// If there is no such query, or fewer values than sites.
    pub fn value(&self, query: usize, site_values: &[f64]) -> f64 {
        weighted_value(self.entries(query), site_values)
    }

    /// Where a query point lies.
    ///
    /// # Panics
    /// If there is no such query.
    pub fn standing(&self, query: usize) -> Standing {
        self.standings[query]
    }

    /// How many query points inside had weights that failed their check and took those of the
    /// triangle of sites around them.
    pub fn guarded(&self) -> usize {
        self.guarded
    }
}

/// The weighted mean, held within the range of its values, which rounding would leave by a bit.
pub(super) fn weighted_value(
    entries: impl Iterator<Item = (usize, f64)>,
    site_values: &[f64],
) -> f64 {
    let (mut sum, mut least, mut greatest) = (0.0, f64::INFINITY, f64::NEG_INFINITY);
    for (site, weight) in entries {
        let value = site_values[site];
        sum += weight * value;
        least = least.min(value);
        greatest = greatest.max(value);
    }
    sum.max(least).min(greatest)
}
