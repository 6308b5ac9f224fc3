//! Which column of a table holds what: by the job's own mapping, or by common headers.

use super::likeness::{Header, Likeness, begins_with_letter};
use crate::findings::{Place, Problem};
use crate::inputs::CoordinateSystem;
use crate::inputs::ids::bare;
use crate::inputs::job::MappedColumns;
use crate::inputs::table::Promise;
use crate::units::{PhMedium, SoilAttribute, SoilValue};

/// What a column can hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    Id,
    /// The sample id in the laboratory's file.
    LabId,
    Lon,
    Lat,
    Easting,
    Northing,
    Zone,
    Ph,
    /// What the pH was read in.
    PhMethod,
    /// When a meter read each sample.
    MeasuredAt,
    BufferPh,
    Value(SoilValue),
    Texture,
    Depth,
    DepthTop,
    DepthBottom,
}

impl Role {
    /// What is read of a sample, beside its name.
    pub(super) const READ: [Self; 11] = [
        Self::Lon,
        Self::Lat,
        Self::Easting,
        Self::Northing,
        Self::Ph,
        Self::BufferPh,
        Self::Value(SoilValue::Acidity),
        Self::Value(SoilValue::Cec),
        Self::Depth,
        Self::DepthTop,
        Self::DepthBottom,
    ];

    /// The column of an attribute.
    pub(super) fn of_attribute(attribute: SoilAttribute) -> Self {
        match attribute {
            SoilAttribute::Ph => Self::Ph,
            SoilAttribute::BufferPh => Self::BufferPh,
            SoilAttribute::Value(value) => Self::Value(value),
            SoilAttribute::Texture => Self::Texture,
        }
    }

    /// East and north in a coordinate system.
    pub(super) fn of_axes(system: &CoordinateSystem) -> (Self, Self) {
        match system {
            CoordinateSystem::Wgs84Degrees => (Self::Lon, Self::Lat),
            CoordinateSystem::Declared(_) => (Self::Easting, Self::Northing),
        }
    }

    /// The column that the job maps to it.
    pub(super) fn mapped(self, columns: &MappedColumns) -> Option<&str> {
        let column = match self {
            Self::Id | Self::LabId => return None,
            Self::PhMethod => &columns.ph_medium,
            Self::MeasuredAt => &columns.measured_at,
            Self::Lon => &columns.lon,
            Self::Lat => &columns.lat,
            Self::Easting => &columns.easting,
            Self::Northing => &columns.northing,
            Self::Zone => &columns.zone,
            Self::Ph => &columns.ph,
            Self::BufferPh => &columns.buffer_ph,
            Self::Value(value) => return columns.values.get(&value).map(String::as_str),
            Self::Texture => &columns.texture,
            Self::Depth => &columns.depth,
            Self::DepthTop => &columns.depth_top,
            Self::DepthBottom => &columns.depth_bottom,
        };
        column.as_deref()
    }

    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Id | Self::LabId => "sample id",
            Self::Lon => "longitude",
            Self::Lat => "latitude",
            Self::Easting => "easting",
            Self::Northing => "northing",
            Self::Zone => "zone of each point",
            Self::Ph => "soil pH",
            Self::PhMethod => "medium of the pH",
            Self::MeasuredAt => "time or running number of the readings",
            Self::BufferPh => "buffer pH",
            Self::Value(value) => value.words(),
            Self::Texture => "texture class",
            Self::Depth => "depth",
            Self::DepthTop => "upper end of the depth",
            Self::DepthBottom => "lower end of the depth",
        }
    }

    /// The key by which a job maps the column.
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::Id => "samples.key",
            Self::LabId => "samples.lab_key",
            Self::Lon => "samples.columns.lon",
            Self::Lat => "samples.columns.lat",
            Self::Easting => "samples.columns.easting",
            Self::Northing => "samples.columns.northing",
            Self::Zone => "samples.columns.zone",
            Self::Ph => "samples.columns.ph",
            Self::PhMethod => "samples.columns.ph_medium",
            Self::MeasuredAt => "samples.columns.measured_at",
            Self::BufferPh => "samples.columns.buffer_ph",
            Self::Value(value) => column_key(value),
            Self::Texture => "samples.columns.texture",
            Self::Depth => "samples.columns.depth",
            Self::DepthTop => "samples.columns.depth_top",
            Self::DepthBottom => "samples.columns.depth_bottom",
        }
    }

    /// Headers in use, folded; common practice. The first is the role's own name.
    pub(super) fn headers(self) -> &'static [&'static str] {
        match self {
            Self::Id | Self::LabId => {
                &["sampleid", "sample", "sampleno", "samplenumber", "samplename", "pointid", "id"]
            }
            Self::Lon => &["lon", "longitude", "long", "lng"],
            Self::Lat => &["lat", "latitude"],
            Self::Easting => &["easting", "east"],
            Self::Northing => &["northing", "north"],
            // Many things are called a zone; the job says which column it is.
            Self::Zone => &[],
            Self::Ph => &[
                "ph", "soilph", "waterph", "phwater", "phw", "phh2o", "phcacl2", "phca", "phkcl",
                "saltph",
            ],
            Self::PhMethod => &[
                "phmethod",
                "phmedium",
                "phextract",
                "methodph",
                "phmeasuredin",
                "medium",
                "method",
            ],
            Self::MeasuredAt => &["measuredat", "readat", "time", "datetime", "timestamp"],
            Self::BufferPh => &[
                "bufferph",
                "bph",
                "phbuffer",
                "smp",
                "smpph",
                "smpbufferph",
                "sikoraph",
                "buffer",
                "bufph",
                "limeindex",
                "bufferindex",
                "limetestindex",
                "bi",
                "lti",
            ],
            Self::Value(value) => value_headers(value),
            Self::Texture => &["texture", "textureclass", "soiltexture", "texturalclass"],
            Self::Depth => &["depth", "sampledepth", "sampleddepth", "layer"],
            Self::DepthTop => &["depthtop", "topdepth", "top", "upperdepth", "depthupper"],
            Self::DepthBottom => {
                &["depthbottom", "bottomdepth", "bottom", "lowerdepth", "depthlower"]
            }
        }
    }
}

/// The key by which a job maps the column of a value.
fn column_key(value: SoilValue) -> &'static str {
    match value {
        SoilValue::Acidity => "samples.columns.acidity",
        SoilValue::Cec => "samples.columns.cec",
        SoilValue::Aluminium => "samples.columns.aluminium",
        SoilValue::Calcium => "samples.columns.calcium",
        SoilValue::Magnesium => "samples.columns.magnesium",
        SoilValue::Potassium => "samples.columns.potassium",
        SoilValue::Sodium => "samples.columns.sodium",
        SoilValue::PotentialAcidity => "samples.columns.potential_acidity",
        SoilValue::OrganicCarbon => "samples.columns.organic_carbon",
        SoilValue::OrganicMatter => "samples.columns.organic_matter",
        SoilValue::Clay => "samples.columns.clay",
        SoilValue::BufferCapacity => "samples.columns.buffer_capacity",
        SoilValue::LabRecommendation => "samples.columns.lab_recommendation",
    }
}

/// Headers in use, folded; common practice.
fn value_headers(value: SoilValue) -> &'static [&'static str] {
    match value {
        SoilValue::Acidity => {
            &["acidity", "exchangeableacidity", "exchacidity", "exacidity", "exchangeacidity"]
        }
        SoilValue::Cec => &["cec", "cationexchangecapacity", "cationexchcapacity"],
        SoilValue::Aluminium => &[
            "aluminium",
            "aluminum",
            "al",
            "exchangeableal",
            "exchal",
            "exal",
            "exchangeablealuminium",
            "exchangeablealuminum",
            "reactiveal",
            "alkcl",
            "kclal",
        ],
        SoilValue::Calcium => &["calcium", "ca", "exchangeablecalcium", "exchca", "exca"],
        SoilValue::Magnesium => &["magnesium", "mg", "exchangeablemagnesium", "exchmg", "exmg"],
        SoilValue::Potassium => &["potassium", "k", "exchangeablepotassium", "exchk", "exk"],
        SoilValue::Sodium => &["sodium", "na", "exchangeablesodium", "exchna", "exna"],
        SoilValue::PotentialAcidity => &["potentialacidity", "hal", "totalacidity"],
        SoilValue::OrganicCarbon => &["organiccarbon", "oc", "orgc", "toc", "soc", "corg"],
        SoilValue::OrganicMatter => &["organicmatter", "om", "som", "orgmatter"],
        SoilValue::Clay => &["clay", "clayfraction", "claycontent"],
        SoilValue::BufferCapacity => {
            &["buffercapacity", "limebuffercapacity", "lbc", "lbceq", "phbc", "phbuffercapacity"]
        }
        // What a laboratory calls lime may be for any target and depth: the job says which column.
        SoilValue::LabRecommendation => &[],
    }
}

/// What a header promises by itself, for whoever looks for the header of a table.
///
/// Any cell of the first rows may be asked about, so one that begins with no letter is not looked at
/// twice: no role has such a name.
pub(in crate::inputs) fn promise_of(header: &str) -> Promise {
    if !begins_with_letter(header) {
        return Promise::Nothing;
    }
    let header = Header::of(header);
    if header.likeness(Role::Id).is_some() {
        Promise::Names
    } else if Role::READ.into_iter().any(|role| header.likeness(role).is_some()) {
        Promise::Something
    } else {
        Promise::Nothing
    }
}

/// Whether a header of a buffer column speaks of an index: a buffer pH times ten.
pub(super) fn names_an_index(header: &str) -> bool {
    let name = bare(header.split(['(', '[', '{']).next().unwrap_or(header));
    name.contains("index") || name == "bi" || name == "lti"
}

/// The column that the job maps to `role`, or the one whose header names it best.
///
/// # Errors
/// Returns a problem where a mapped column does not exist, and where several headers name the role
/// equally well.
pub(super) fn find_column(
    headers: &[String],
    role: Role,
    mapped: Option<&str>,
    place: &Place,
) -> Result<Option<usize>, Problem> {
    if let Some(wanted) = mapped {
        let exact = headers.iter().position(|header| header == wanted.trim());
        let folded = || headers.iter().position(|header| bare(header) == bare(wanted));
        // A unit may have been joined to the header from the row below it.
        let is_it = |header: &String| header.split(" (").next().is_some_and(|name| name == wanted);
        let without_unit = || {
            headers.iter().position(is_it).filter(|&at| headers.iter().rposition(is_it) == Some(at))
        };
        return exact.or_else(folded).or_else(without_unit).map(Some).ok_or_else(|| {
            Problem::at(
                place.clone(),
                format!("there is no column `{wanted}`, which `{}` names", role.key()),
            )
            .allowed(quoted(headers.iter().map(String::as_str)))
            .hint("copy the name from the head of the table")
        });
    }
    match candidates(headers, role).as_slice() {
        [] => Ok(None),
        [only] => Ok(Some(*only)),
        several => {
            let names = quoted(several.iter().map(|&index| headers[index].as_str()));
            Err(Problem::at(
                place.clone(),
                format!("several columns could hold the {}: {names}", role.words()),
            )
            .allowed("one column for each")
            .hint(format!("say which one in the job file with `{}`", role.key())))
        }
    }
}

/// The columns whose headers name the role best: none, the one, or several that do so equally well.
pub(super) fn candidates(headers: &[String], role: Role) -> Vec<usize> {
    let mut likest: Vec<(Likeness, usize)> = headers
        .iter()
        .enumerate()
        .filter_map(|(index, header)| Some((Header::of(header).likeness(role)?, index)))
        .collect();
    likest.sort_unstable();
    let Some(&(best, _)) = likest.first() else { return Vec::new() };
    let equals: Vec<usize> =
        likest.iter().filter(|(likeness, _)| *likeness == best).map(|&(_, index)| index).collect();
    // A role's own name wins over the other names in use.
    let own: Vec<usize> = equals
        .iter()
        .copied()
        .filter(|&index| bare(&headers[index]) == role.headers()[0])
        .collect();
    if own.len() == 1 { own } else { equals }
}

/// The medium that a pH header speaks of, where it names a liquid.
pub(super) fn liquid_named(header: &str) -> Option<&'static str> {
    let folded = bare(header);
    if folded.contains("cacl2") || folded == "phca" {
        Some("CaCl2")
    } else if folded.contains("kcl") {
        Some("KCl")
    } else if folded.contains("water") || folded.contains("h2o") || folded == "phw" {
        Some("water")
    } else {
        None
    }
}

/// The buffer that a header speaks of, as job files write it, where it names one.
pub(super) fn buffer_named(header: &str) -> Option<&'static str> {
    let folded = bare(header);
    let names = [
        ("smp", "smp"),
        ("sikora", "sikora"),
        ("mehlich", "mehlich"),
        ("adams", "adams-evans"),
        ("woodruff", "woodruff"),
    ];
    names.iter().find(|(part, _)| folded.contains(part)).map(|&(_, buffer)| buffer)
}

/// The proportion of soil to water that a header speaks of, such as `1:2.5`.
pub(super) fn proportion_named(header: &str) -> Option<&'static str> {
    // The longest first: `1:2` stands in `1:2.5` too.
    ["1:2.5", "1:1", "1:2", "1:5"].into_iter().find(|proportion| header.contains(proportion))
}

/// Whether a header that names `liquid` fits a pH that the job says was read in `medium`.
pub(super) fn fits_medium(liquid: &str, medium: PhMedium) -> bool {
    match liquid {
        "CaCl2" => {
            matches!(medium, PhMedium::CalciumChloride | PhMedium::CalciumChlorideRaised)
        }
        "KCl" => medium.is_potassium_chloride(),
        _ => medium.is_water(),
    }
}

pub(super) fn quoted<'t>(names: impl Iterator<Item = &'t str>) -> String {
    names.map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find(headers: &[&str], role: Role) -> Result<Option<usize>, Problem> {
        let headers: Vec<String> = headers.iter().map(|&header| header.to_owned()).collect();
        find_column(&headers, role, None, &Place::default())
    }

    #[test]
    fn an_exact_name_wins_over_a_longer_one() {
        assert_eq!(find(&["pH_ISE", "pH"], Role::Ph), Ok(Some(1)));
        assert_eq!(find(&["pH_ISE", "Clay"], Role::Ph), Ok(Some(0)));
        assert_eq!(find(&["sample", "sample_id"], Role::Id), Ok(Some(1)));
    }

    #[test]
    fn case_blanks_and_units_do_not_matter() {
        assert_eq!(find(&["Sample ID", "LAT [deg]", " Lon (deg)"], Role::Lat), Ok(Some(1)));
        assert_eq!(find(&["Sample ID", "LAT [deg]", "Lon (deg)"], Role::Lon), Ok(Some(2)));
        assert_eq!(find(&["pH (1:1 water)"], Role::Ph), Ok(Some(0)));
        assert_eq!(find(&["Buffer pH"], Role::BufferPh), Ok(Some(0)));
        assert_eq!(
            find(&["Exch. Acidity (meq/100 g)"], Role::Value(SoilValue::Acidity)),
            Ok(Some(0))
        );
    }

    #[test]
    fn equals_are_refused_and_strangers_are_not_taken() {
        let problem = find(&["waterpH", "soil pH"], Role::Ph).expect_err("two equals");
        assert!(problem.hint.contains("samples.columns.ph"), "{problem}");
        for stranger in ["phosphorus", "pH_buffer", "BpH", "P", "ph_target"] {
            assert_eq!(find(&[stranger], Role::Ph), Ok(None), "{stranger}");
        }
    }

    #[test]
    fn a_header_that_names_a_liquid_is_held_against_the_job() {
        assert_eq!(liquid_named("pH_CaCl2"), Some("CaCl2"));
        assert!(!fits_medium("CaCl2", PhMedium::Water1To1));
        assert!(fits_medium("water", PhMedium::Water1To5));
        assert_eq!(liquid_named("pH"), None);
        assert_eq!(buffer_named("Sikora pH"), Some("sikora"));
        assert_eq!(buffer_named("BpH"), None);
        assert_eq!(proportion_named("pH (1:2.5 water)"), Some("1:2.5"));
        assert_eq!(proportion_named("pH"), None);
    }

    #[test]
    fn every_name_begins_with_a_letter_and_texts_that_do_not_promise_nothing() {
        let roles = Role::READ.into_iter().chain([Role::Id]);
        assert!(roles.flat_map(Role::headers).all(|name| begins_with_letter(name)));
        for header in ["-93.2146238", "6.4", "(1) pH", ""] {
            assert_eq!(promise_of(header), Promise::Nothing, "{header}");
        }
        assert_eq!(promise_of("[pH]"), Promise::Something);
        assert_eq!(promise_of("Sample ID"), Promise::Names);
        assert_eq!(promise_of("depth_cm"), Promise::Something);
        assert_eq!(promise_of("HF-01"), Promise::Nothing);
    }

    #[test]
    fn the_headers_that_the_readme_lists_are_known() {
        let readme = include_str!("../../../README.md");
        let list = readme.split("Columns are known by their headers").nth(1).unwrap();
        let list = list.split("Others are named").next().unwrap();
        let listed: Vec<&str> = list.split('`').skip(1).step_by(2).collect();
        assert!(listed.len() > 20, "{listed:?}");
        for header in listed.into_iter().filter(|header| !header.starts_with("samples.")) {
            assert_ne!(promise_of(header), Promise::Nothing, "{header}");
        }
        assert_eq!(promise_of("clay"), Promise::Nothing);
    }
}
