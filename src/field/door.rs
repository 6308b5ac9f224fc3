//! The one door for coordinates: from the declared system of a file to WGS 84 degrees.

use std::cell::Cell;
use std::rc::Rc;

use proj::Proj;

use super::place::LonLat;
use super::ways::way_between;
use crate::findings::{Place, Problem, Refusal, clean};
use crate::inputs::{CoordinateSystem, RawPoint};

/// Coordinates that show the sizes that each kind of system has.
const ALLOWED_DEGREES: &str =
    "WGS 84 longitude from -180 to 180 and latitude from -90 to 90 degrees, in this order";

/// The system of degrees that everything is moved to.
const WGS84_DEGREES: &str = "EPSG:4326";

/// What the words for an operation hold where PROJ leaves the datum as it is.
const BALLPARK: &str = "Ballpark";

/// A way from the declared system to WGS 84 degrees.
pub(super) struct Door<'s> {
    system: &'s CoordinateSystem,
    proj: Option<Rc<Proj>>,
    /// Whether it was looked at what becomes of the datum.
    datum_seen: Cell<bool>,
}

/// What PROJ does on the way to WGS 84 at one place.
pub(super) struct Shift {
    /// The operation in PROJ's words.
    pub(super) words: String,
    /// How right it is, in metres, where PROJ knows.
    pub(super) accuracy_m: Option<f64>,
    /// What becomes of the datum.
    pub(super) datum: DatumShift,
}

/// What becomes of a datum on the way to WGS 84.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum DatumShift {
    /// It is moved, or is WGS 84.
    Made,
    /// PROJ knows no way at this place and leaves the numbers as they are. The datum is on the
    /// ellipsoid of WGS 84, so it is centred on the Earth as that is, and the two are a few metres
    /// apart at most (common practice).
    NotNeeded,
    /// PROJ knows no way at this place and leaves the numbers as they are, which may be hundreds of
    /// metres off.
    Ignored,
}

impl<'s> Door<'s> {
    /// Opens the door for a system.
    ///
    /// # Errors
    /// Refuses a system that PROJ does not know.
    pub(super) fn open(system: &'s CoordinateSystem, place: &Place) -> Result<Self, Refusal> {
        let proj = match system {
            CoordinateSystem::Wgs84Degrees => None,
            CoordinateSystem::Declared(text) => {
                Some(way_between(text.trim(), WGS84_DEGREES).map_err(|error| {
                    Problem::at(
                        place.clone(),
                        format!(
                            "the coordinate system `{}` is not known to PROJ ({})",
                            clean(text),
                            clean(&error.to_string()),
                        ),
                    )
                    .allowed(
                        "an authority's code such as `EPSG:32615`, the text of a .prj file, or a \
                         PROJ string that ends in `+type=crs`",
                    )
                    .hint("look the code up with whoever made the file; leave the system out if the numbers are WGS 84 degrees")
                })?)
            }
        };
        Ok(Self { system, proj, datum_seen: Cell::new(false) })
    }

    /// Moves points, each with its own place for the case that it cannot be moved.
    ///
    /// # Errors
    /// Refuses, listing every point that is outside the range of degrees, or that the declared
    /// system cannot hold; and a system whose datum PROJ cannot move to WGS 84.
    pub(super) fn move_points(
        &self,
        points: &[RawPoint],
        place_of: impl Fn(usize) -> Place,
    ) -> Result<Vec<LonLat>, Refusal> {
        let mut problems = Vec::new();
        let mut moved = Vec::with_capacity(points.len());
        for (index, &[x, y]) in points.iter().enumerate() {
            let (lon_deg, lat_deg) = match &self.proj {
                None => (x, y),
                Some(proj) => proj.convert((x, y)).unwrap_or((f64::INFINITY, f64::INFINITY)),
            };
            if (-180.0..=180.0).contains(&lon_deg) && (-90.0..=90.0).contains(&lat_deg) {
                moved.push(LonLat { lon_deg, lat_deg });
            } else {
                problems.push(self.out_of_range(place_of(index), x, y));
            }
        }
        Refusal::unless_clean(problems, ())?;
        if let (Some(&first), false) = (points.first(), self.datum_seen.get()) {
            self.refuse_ignored_datum(first, place_of(0))?;
            self.datum_seen.set(true);
        }
        Ok(moved)
    }

    /// Where a pair of numbers is, if the system can hold it and its datum can be moved.
    pub(super) fn place_of(&self, point: RawPoint) -> Option<LonLat> {
        self.move_points(&[point], |_| Place::default()).ok()?.pop()
    }

    /// The same door for tests of projections alone, which name an ellipsoid and no datum.
    #[cfg(test)]
    pub(super) fn whatever_the_datum(self) -> Self {
        self.datum_seen.set(true);
        self
    }

    /// What PROJ does to `point`; nothing where the numbers are degrees already.
    pub(super) fn shift_at(&self, point: RawPoint) -> Option<Shift> {
        let proj = self.proj.as_ref()?;
        // PROJ chooses among operations by place, and tells of the one that it used last.
        proj.convert((point[0], point[1])).ok()?;
        let info = proj.proj_info();
        let words = info.description.unwrap_or_default();
        let accuracy_m = Some(info.accuracy).filter(|&metres| metres >= 0.0);
        let datum = match self.system {
            _ if !words.contains(BALLPARK) => DatumShift::Made,
            CoordinateSystem::Declared(text) if is_on_modern_ellipsoid(text) => {
                DatumShift::NotNeeded
            }
            _ => DatumShift::Ignored,
        };
        Some(Shift { words, accuracy_m, datum })
    }

    fn refuse_ignored_datum(&self, point: RawPoint, place: Place) -> Result<(), Refusal> {
        match (self.system, self.shift_at(point)) {
            (CoordinateSystem::Declared(text), Some(shift))
                if shift.datum == DatumShift::Ignored =>
            {
                let what = format!(
                    "no shift to WGS 84 is known for the datum of the coordinate system `{}`",
                    clean(text)
                );
                Err(Problem::at(Place { feature: None, line: None, sample: None, ..place }, what)
                    .allowed("a system whose datum PROJ can move to WGS 84 without further files")
                    .hint(
                        "export the file again in WGS 84 degrees (EPSG:4326) with the program it \
                         came from, or state the authority's code of its system",
                    )
                    .into())
            }
            _ => Ok(()),
        }
    }

    fn out_of_range(&self, place: Place, x: f64, y: f64) -> Problem {
        match self.system {
            CoordinateSystem::Wgs84Degrees => {
                let swapped = x.abs() <= 90.0 && y.abs() <= 180.0;
                let what = format!("({x}, {y}) is no longitude and latitude in degrees");
                Problem::at(place, what).allowed(ALLOWED_DEGREES).hint(if swapped {
                    "longitude and latitude look exchanged: longitude comes first"
                } else {
                    "these look like projected coordinates (metres or feet): name their system, \
                     for example `EPSG:32615`, or export the file as WGS 84 degrees"
                })
            }
            CoordinateSystem::Declared(text) => Problem::at(
                place,
                format!("({x}, {y}) is no place in the declared system `{}`", clean(text)),
            )
            .allowed(
                "coordinates inside the area that the system serves, x (east) before y (north)",
            )
            .hint("check the system, its zone and its unit, and the order of the two numbers"),
        }
    }

    /// Whether straight lines in the file's numbers are to be taken as straight: true of a
    /// projected system, while between degrees the geodesic is meant. Numbers that all lie within
    /// the range of degrees are taken as degrees.
    pub(super) fn is_projected(&self, points: &[RawPoint]) -> bool {
        self.proj.is_some() && points.iter().any(|[x, y]| x.abs() > 360.0 || y.abs() > 90.0)
    }
}

/// The way from WGS 84 degrees to the numbers of a system.
pub(super) struct WayBack(Option<Rc<Proj>>);

impl WayBack {
    /// Opens the way; none where PROJ does not know the system.
    pub(super) fn open(system: &CoordinateSystem) -> Option<Self> {
        match system {
            CoordinateSystem::Wgs84Degrees => Some(Self(None)),
            CoordinateSystem::Declared(text) => {
                way_between(WGS84_DEGREES, text.trim()).ok().map(|proj| Self(Some(proj)))
            }
        }
    }

    /// The numbers of a place, where the system has any for it.
    pub(super) fn numbers_of(&self, place: LonLat) -> Option<RawPoint> {
        let (lon, lat) = (place.lon_deg, place.lat_deg);
        let Some(proj) = &self.0 else { return Some([lon, lat]) };
        let (x, y) = proj.convert((lon, lat)).ok()?;
        (x.is_finite() && y.is_finite()).then_some([x, y])
    }
}

/// Whether the datum of the system is on an ellipsoid with the size of GRS 80 or WGS 84
/// (6,378,137 m, flattening 1/298.257), as all datums are that were measured by satellites.
fn is_on_modern_ellipsoid(system: &str) -> bool {
    let wkt = Proj::new(system.trim()).ok().and_then(|system| system.as_wkt(None, None).ok());
    let numbers = wkt.as_deref().and_then(|wkt| {
        let after = wkt.split_once("ELLIPSOID[\"")?.1.split_once("\",")?.1;
        let mut numbers = after.split([',', ']']).map(|number| number.trim().parse::<f64>());
        Some((numbers.next()?.ok()?, numbers.next()?.ok()?))
    });
    numbers.is_some_and(|(axis_m, inverse_flattening)| {
        (axis_m - 6_378_137.0).abs() < 0.5 && (inverse_flattening - 298.257).abs() < 0.001
    })
}
