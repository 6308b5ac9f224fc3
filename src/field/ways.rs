//! PROJ's ways from one coordinate system to another, kept for the next field that needs them.
//!
//! Opening one reads PROJ's database, which takes longer than all else that is done for a field. A
//! way belongs to its thread, as PROJ wants it.

use std::cell::RefCell;
use std::rc::Rc;

use proj::{Proj, ProjCreateError};

/// Ways that a thread keeps: a run of many fields has a few systems, the files of one job at most
/// as many as it names.
const KEPT: usize = 8;

/// A way, with the systems that it leads from and to.
struct Way {
    from: String,
    to: String,
    proj: Rc<Proj>,
}

thread_local! {
    /// The ways of this thread, the one that was asked for last at the end.
    static WAYS: RefCell<Vec<Way>> = const { RefCell::new(Vec::new()) };
}

/// The way from one system to another, x to the east before y to the north in both.
///
/// # Errors
/// Returns what PROJ says of a system that it does not know.
pub(super) fn way_between(from: &str, to: &str) -> Result<Rc<Proj>, ProjCreateError> {
    WAYS.with_borrow_mut(|ways| {
        let way = match ways.iter().position(|way| way.from == from && way.to == to) {
            Some(at) => ways.remove(at),
            None => Way {
                from: from.to_owned(),
                to: to.to_owned(),
                proj: Rc::new(Proj::new_known_crs(from, to, None)?),
            },
        };
        if ways.len() == KEPT {
            ways.remove(0);
        }
        let proj = Rc::clone(&way.proj);
        ways.push(way);
        Ok(proj)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_is_opened_once_and_the_one_not_asked_for_longest_goes_first() {
        let first = way_between("EPSG:32615", "EPSG:4326").unwrap();
        assert!(Rc::ptr_eq(&first, &way_between("EPSG:32615", "EPSG:4326").unwrap()));
        for zone in 16..16 + KEPT - 1 {
            way_between(&format!("EPSG:326{zone}"), "EPSG:4326").unwrap();
        }
        assert!(Rc::ptr_eq(&first, &way_between("EPSG:32615", "EPSG:4326").unwrap()));
        for zone in 30..30 + KEPT {
            way_between(&format!("EPSG:326{zone}"), "EPSG:4326").unwrap();
        }
        assert!(!Rc::ptr_eq(&first, &way_between("EPSG:32615", "EPSG:4326").unwrap()));
        WAYS.with_borrow(|ways| assert_eq!(ways.len(), KEPT));
        assert!(way_between("EPSG:1", "EPSG:4326").is_err());
    }

    #[test]
    fn a_way_that_was_used_moves_a_place_as_a_new_one_does() {
        // NAD83, whose operation is chosen by the place.
        let places = [[500_000.0, 4_650_000.0], [350_000.0, 5_300_000.0], [500_000.0, 4_650_000.0]];
        for place in places {
            let place = (place[0], place[1]);
            let kept = way_between("EPSG:26915", "EPSG:4326").unwrap();
            let new = Proj::new_known_crs("EPSG:26915", "EPSG:4326", None).unwrap();
            assert_eq!(kept.convert(place).unwrap(), new.convert(place).unwrap());
            assert_eq!(kept.proj_info().description, new.proj_info().description);
        }
    }
}
