//! The coordinate systems that one is taken for by mistake.

use proj::Proj;

use super::place::LonLat;
use crate::findings::clean;
use crate::inputs::CoordinateSystem;

/// Zones of the universal transverse Mercator grid.
const ZONES: u32 = 60;
/// Metres of the Mercator projection of the sphere, in which maps on the web are drawn.
const WEB_MERCATOR: &str = "EPSG:3857";

/// Systems that numbers said to be in `own` may be in instead, each in words: that of the other
/// file, degrees, the grid zone of the place `near` which the other file lies, the same zone in the
/// other hemisphere, the neighbouring zones, and the numbers next to its own in the EPSG list, where
/// the zones of one grid follow one another. A dozen at the most.
pub(super) fn other_systems(
    own: &CoordinateSystem,
    of_the_other_file: &CoordinateSystem,
    near: LonLat,
) -> Vec<(String, CoordinateSystem)> {
    let mut list: Vec<(String, CoordinateSystem)> = Vec::new();
    let mut add = |words: String, system: CoordinateSystem| {
        if system != *own && list.iter().all(|(_, known)| *known != system) {
            list.push((words, system));
        }
    };
    match of_the_other_file {
        CoordinateSystem::Wgs84Degrees => {}
        CoordinateSystem::Declared(text) => {
            add(format!("`{}`, as the other file is", shortened(text)), of_the_other_file.clone());
        }
    }
    add("WGS 84 longitude and latitude in degrees".to_owned(), CoordinateSystem::Wgs84Degrees);
    let own = if let CoordinateSystem::Declared(text) = own { text.trim() } else { "" };
    let south = near.lat_deg < 0.0;
    let zone = ((near.lon_deg + 180.0) / 6.0).floor().clamp(0.0, 59.0) as u32 + 1;
    let mut zones = vec![(zone, south)];
    if let Some((zone, south)) = utm_zone(own) {
        zones.push((zone, !south));
        zones.extend([zone % ZONES + 1, (zone + ZONES - 2) % ZONES + 1].map(|next| (next, south)));
    }
    for (zone, south) in zones {
        let (half, first) = if south { ("south", 32_700) } else { ("north", 32_600) };
        let code = format!("EPSG:{}", first + zone);
        add(format!("UTM zone {zone} {half} ({code})"), CoordinateSystem::Declared(code));
    }
    if let Some(code) = epsg_code(own) {
        for next in [code + 1, code.saturating_sub(1)] {
            let code = format!("EPSG:{next}");
            add(code.clone(), CoordinateSystem::Declared(code));
        }
    }
    add(format!("Web Mercator ({WEB_MERCATOR})"), CoordinateSystem::Declared(WEB_MERCATOR.into()));
    list
}

/// A system's text as a sentence can hold it.
fn shortened(text: &str) -> String {
    const LONGEST: usize = 60;
    let text = clean(text.trim());
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text,
    }
}

fn epsg_code(text: &str) -> Option<u32> {
    let (name, code) = text.rsplit_once(':')?;
    name.to_uppercase().contains("EPSG").then(|| code.parse().ok())?
}

/// The zone of a universal transverse Mercator system and whether it is a southern one, by the name
/// that PROJ knows it by.
fn utm_zone(system: &str) -> Option<(u32, bool)> {
    if system.is_empty() {
        return None;
    }
    let wkt = Proj::new(system).ok()?.as_wkt(None, None).ok()?;
    let name = wkt.split('"').nth(1)?.to_uppercase().replace('_', " ");
    let (_, zone) = name.rsplit_once("UTM ZONE ")?;
    let digits = zone.find(|c: char| !c.is_ascii_digit()).unwrap_or(zone.len());
    let (number, half) = zone.split_at(digits);
    let number = number.parse().ok().filter(|number| (1..=ZONES).contains(number))?;
    Some((number, half.trim_start().starts_with('S')))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn declared(text: &str) -> CoordinateSystem {
        CoordinateSystem::Declared(text.to_owned())
    }

    #[test]
    fn zones_are_known_by_code_and_by_the_names_of_prj_files() {
        assert_eq!(utm_zone("EPSG:32722"), Some((22, true)));
        assert_eq!(utm_zone("EPSG:26915"), Some((15, false)));
        assert_eq!(utm_zone("EPSG:31983"), Some((23, true)));
        let prj = "PROJCS[\"WGS_1984_UTM_Zone_16N\",GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\",\
                   SPHEROID[\"WGS_1984\",6378137.0,298.257223563]],PRIMEM[\"Greenwich\",0.0],\
                   UNIT[\"Degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],\
                   PARAMETER[\"False_Easting\",500000.0],PARAMETER[\"False_Northing\",0.0],\
                   PARAMETER[\"Central_Meridian\",-87.0],PARAMETER[\"Scale_Factor\",0.9996],\
                   PARAMETER[\"Latitude_Of_Origin\",0.0],UNIT[\"Meter\",1.0]]";
        assert_eq!(utm_zone(prj), Some((16, false)));
        assert_eq!(utm_zone("EPSG:2154"), None);
    }

    #[test]
    fn the_neighbours_of_a_zone_run_around_the_earth_and_the_list_is_short() {
        let near = LonLat { lon_deg: 179.0, lat_deg: -17.0 };
        let list = other_systems(&declared("EPSG:32760"), &declared("EPSG:3460"), near);
        let systems: Vec<&CoordinateSystem> = list.iter().map(|(_, system)| system).collect();
        for expected in ["EPSG:3460", "EPSG:32660", "EPSG:32701", "EPSG:32759", "EPSG:3857"] {
            assert!(systems.contains(&&declared(expected)), "{expected}: {list:?}");
        }
        assert!(!systems.contains(&&declared("EPSG:32760")), "{list:?}");
        assert!(list.len() <= 12, "{list:?}");
    }
}
