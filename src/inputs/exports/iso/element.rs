//! The attributes of one element.

use quick_xml::XmlVersion;
use quick_xml::events::BytesStart;

use super::faults::Faults;
use crate::findings::{Place, clean};

/// Attributes that an element must have (`ISO11783_Common_V4-3.xsd`). The value of a variable is
/// not among them, since the template of a grid may leave it out.
const REQUIRED: &[(&str, &[&str])] = &[
    (
        "ISO11783_TaskData",
        &[
            "VersionMajor",
            "VersionMinor",
            "ManagementSoftwareManufacturer",
            "ManagementSoftwareVersion",
            "DataTransferOrigin",
        ],
    ),
    ("CTR", &["A", "B"]),
    ("FRM", &["A", "B"]),
    ("PFD", &["A", "C", "D"]),
    ("PDT", &["A", "B"]),
    ("VPN", &["A", "B", "C", "D"]),
    ("TSK", &["A", "G"]),
    ("TZN", &["A"]),
    ("PDV", &["A"]),
    ("GRD", &["A", "B", "C", "D", "E", "F", "G", "I"]),
    ("PLN", &["A"]),
    ("LSG", &["A"]),
    ("PNT", &["A", "C", "D"]),
    ("XFR", &["A", "B"]),
];

/// Attributes of one element at the most: twice as many as any element of the standard has.
const MOST_ATTRIBUTES: usize = 32;

/// An element that was opened.
pub(super) struct Element {
    pub(super) name: String,
    attributes: Vec<(String, String)>,
    pub(super) place: Place,
}

impl Element {
    /// Reads the attributes of an element and tells of those that are missing.
    ///
    /// # Errors
    /// Returns what is wrong with the XML.
    pub(super) fn read(
        start: &BytesStart<'_>,
        place: Place,
        faults: &mut Faults,
    ) -> Result<Self, String> {
        let mut attributes = Vec::new();
        for attribute in start.attributes() {
            if attributes.len() == MOST_ATTRIBUTES {
                return Err(format!("an element has more than {MOST_ATTRIBUTES} attributes"));
            }
            let attribute = attribute.map_err(|error| error.to_string())?;
            let value = attribute
                .normalized_value(XmlVersion::Implicit1_0)
                .map_err(|error| error.to_string())?;
            let key: &str = attribute.key.as_ref();
            attributes.push((key.to_owned(), value.into_owned()));
        }
        let local = start.local_name();
        let name: &str = local.as_ref();
        let element = Self { name: name.to_owned(), attributes, place };
        let required = REQUIRED.iter().find(|(known, _)| *known == name);
        for key in required.map_or(&[] as &[&str], |(_, keys)| keys) {
            if element.get(key).is_none() {
                element.tell(faults, format!("A {name} lacks its attribute {key}."));
            }
        }
        Ok(element)
    }

    /// The value of an attribute; none where it is missing or empty.
    pub(super) fn get(&self, key: &str) -> Option<&str> {
        let found = self.attributes.iter().find(|(known, _)| known == key);
        found.map(|(_, value)| value.as_str()).filter(|value| !value.is_empty())
    }

    pub(super) fn owned(&self, key: &str) -> Option<String> {
        self.get(key).map(str::to_owned)
    }

    /// The number in an attribute within the limits; told where it is another one or no number.
    pub(super) fn number<T>(&self, key: &str, least: T, most: T, faults: &mut Faults) -> Option<T>
    where
        T: std::str::FromStr + PartialOrd + std::fmt::Display + Copy,
    {
        let text = self.get(key)?;
        match text.trim().parse::<T>() {
            Ok(number) if number >= least && number <= most => Some(number),
            _ => {
                let text = format!(
                    "The attribute {key} of a {} is `{}`, not a number from {least} to {most}.",
                    self.name,
                    clean(text)
                );
                self.tell(faults, text);
                None
            }
        }
    }

    fn tell(&self, faults: &mut Faults, text: String) {
        faults.tell("iso_attribute", self.place.clone(), text);
    }
}
