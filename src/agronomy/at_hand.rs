//! Whether what a laboratory read is what a method reads.

use super::{Buffer, MethodCard, Reads};

impl MethodCard {
    /// The readings that the method goes by and that are not at hand, in the method's order. A
    /// soil's own pH is in every table of samples and never among them.
    pub fn lacking(&self, at_hand: impl Fn(Reads) -> bool) -> Vec<Reads> {
        self.reads.iter().filter(|reads| *reads != Reads::Ph && !at_hand(*reads)).collect()
    }

    /// Whether the method may be given the readings of this buffer: the one that it was made for,
    /// or any where it reads none.
    pub fn takes_buffer(&self, ran: Option<Buffer>) -> bool {
        self.buffer.is_none_or(|made_for| ran == Some(made_for))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::agronomy::method;
    use crate::units::SoilValue;

    #[test]
    fn what_is_lacking_is_told_in_the_order_of_the_method() {
        let victoria = method("texture-victoria").unwrap().card();
        let carbon = Reads::Value(SoilValue::OrganicCarbon);
        assert_eq!(victoria.lacking(|_| false), [Reads::Texture, carbon]);
        assert_eq!(victoria.lacking(|reads| reads == carbon), [Reads::Texture]);
        assert_eq!(method("ph-uk-grass").unwrap().card().lacking(|_| false), []);
    }

    #[test]
    fn a_buffer_is_never_taken_for_another() {
        let iowa = method("smp-iowa").unwrap().card();
        for buffer in Buffer::ALL {
            assert_eq!(iowa.takes_buffer(Some(buffer)), buffer == Buffer::Smp, "{buffer:?}");
            assert!(method("ph-uk-grass").unwrap().card().takes_buffer(Some(buffer)));
        }
        assert!(!iowa.takes_buffer(None));
    }
}
