//! Which material neutralises for the least money: cost per effective CaCO3, and the order that
//! follows from it, with the reason in words.

use super::{Price, PriceAt};
use crate::units::{EffectiveFraction, Money, ProductMass, plain};

/// What `money` for `product` comes to for each kilogram of effective CaCO3 in it; `None` for no
/// product.
pub fn cost_per_effective(
    money: Money,
    product: ProductMass,
    effective: EffectiveFraction,
) -> Option<Money> {
    let kilograms = (product * effective).to_kilograms();
    (kilograms > 0.0).then(|| money / kilograms)
}

impl Price {
    /// What a kilogram of effective CaCO3 costs where the price holds.
    pub fn per_effective(&self, effective: EffectiveFraction) -> Option<Money> {
        cost_per_effective(self.amount, self.per, effective)
    }
}

/// A material that may be chosen, with what its order costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate<'a> {
    /// What it is called.
    pub name: &'a str,
    /// The part of it, as spread, that counts as pure CaCO3.
    pub effective: EffectiveFraction,
    /// The money for a kilogram of effective CaCO3 at each place that a price can hold at, in the
    /// order of [`PriceAt::ALL`], each where it is known.
    pub costs: [Option<Money>; 3],
    /// Whether the supplier has as much of it as is to be ordered.
    pub supply_suffices: bool,
}

/// Where a candidate stands among the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Rank {
    /// From 1 for the one to choose by cost; `None` where its cost cannot be compared.
    pub place: Option<usize>,
    /// Why it stands there, as full sentences.
    pub reason: String,
}

/// What candidates are ranked by.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// Where the costs hold that are compared; `None` where nothing can be compared.
    pub by: Option<PriceAt>,
    /// One for each candidate, in the order in which they came.
    pub ranks: Vec<Rank>,
}

/// Puts the candidates in the order of their cost per effective CaCO3.
///
/// They are compared at the place, of those that a price can hold at, where the cost of most of them
/// is known; of several such places, the farthest on the way to the spread field. One whose supply does
/// not suffice stands behind all whose supply does. `money` writes an amount for a kilogram of
/// effective CaCO3 as it is to be read.
pub fn rank(candidates: &[Candidate<'_>], money: impl Fn(Money) -> String) -> Ranking {
    let count = |place: usize| candidates.iter().filter(|one| one.costs[place].is_some()).count();
    let by =
        (0..PriceAt::ALL.len()).filter(|&place| count(place) > 0).max_by_key(|&at| (count(at), at));
    let Some(at) = by else {
        let reason = "Not ranked: no cost is known; give it a price and say where that holds.";
        let ranks =
            candidates.iter().map(|_| Rank { place: None, reason: reason.to_owned() }).collect();
        return Ranking { by: None, ranks };
    };
    let mut order: Vec<(usize, Money)> = candidates
        .iter()
        .enumerate()
        .filter_map(|(number, one)| Some((number, one.costs[at]?)))
        .collect();
    order.sort_by(|(a, cost_of_a), (b, cost_of_b)| {
        let short = |number: usize| !candidates[number].supply_suffices;
        short(*a).cmp(&short(*b)).then(cost_of_a.total_cmp(cost_of_b)).then(a.cmp(b))
    });
    let place_of = |number: usize| order.iter().position(|&(other, _)| other == number);
    let words = PriceAt::ALL[at].words();
    let ranks = candidates
        .iter()
        .enumerate()
        .map(|(number, one)| match place_of(number) {
            None => Rank { place: None, reason: not_ranked(one, words) },
            Some(place) => Rank {
                place: Some(place + 1),
                reason: reason(candidates, &order, place, words, &money),
            },
        })
        .collect();
    Ranking { by: Some(PriceAt::ALL[at]), ranks }
}

fn not_ranked(one: &Candidate<'_>, words: &str) -> String {
    if one.costs.iter().all(Option::is_none) {
        return "Not ranked: its cost is not known; give it a price and say where that holds."
            .to_owned();
    }
    format!(
        "Not ranked: the others are compared by their cost {}, and of this one that is not \
         known.",
        in_a_sentence(words)
    )
}

fn reason(
    candidates: &[Candidate<'_>],
    order: &[(usize, Money)],
    place: usize,
    words: &str,
    money: &impl Fn(Money) -> String,
) -> String {
    let (number, cost) = order[place];
    let one = &candidates[number];
    let (first, least) = order[0];
    let cheapest = order.iter().map(|&(_, cost)| cost).fold(cost, Money::min);
    let other = &candidates[first].name;
    let beside = if order.len() == 1 {
        "; there is no other to compare it with.".to_owned()
    } else if place == 0 && cost <= cheapest {
        let misled = dearer_by_the_ton(candidates, order, cost);
        let misled = misled.map_or_else(String::new, |words| format!(" {words}"));
        format!(", the least of {}.{misled}", order.len())
    } else if place == 0 {
        ", the least of those whose supply suffices.".to_owned()
    } else if cost < least {
        format!(", less than {other}.")
    } else {
        let (more, part) = (cost - least, 100.0 * ((cost - least) / least));
        let share =
            if part.is_finite() { format!(" ({} %)", plain(part, 0, 1)) } else { String::new() };
        format!(", {}{share} more than {other}.", money(more))
    };
    let short = if one.supply_suffices {
        ""
    } else {
        " Its supply does not cover the order, so it stands behind those that do."
    };
    format!("{} {}{beside}{short}", money(cost), in_a_sentence(words))
}

fn in_a_sentence(place: &str) -> &str {
    if place == PriceAt::Plant.words() { "at the plant" } else { place }
}

/// Where the cheapest by what it does is not the cheapest by the ton, which is what misleads.
fn dearer_by_the_ton(
    candidates: &[Candidate<'_>],
    order: &[(usize, Money)],
    cost: Money,
) -> Option<String> {
    let (first, _) = order[0];
    let by_the_ton = |number: usize, cost: Money| cost * candidates[number].effective.to_number();
    let of_first = by_the_ton(first, cost);
    let (other, _) = order
        .iter()
        .filter(|&&(number, cost)| by_the_ton(number, cost) < of_first)
        .min_by(|a, b| by_the_ton(a.0, a.1).total_cmp(&by_the_ton(b.0, b.1)))?;
    let percent = |number: usize| plain(candidates[number].effective.to_percent(), 0, 1);
    Some(format!(
        "It costs more by the ton than {}, and more of it neutralises: {} % against {} %.",
        candidates[*other].name,
        percent(first),
        percent(*other)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Currency;

    fn candidate(name: &str, effective: f64, costs: [Option<f64>; 3]) -> Candidate<'_> {
        Candidate {
            name,
            effective: EffectiveFraction::from_number(effective).expect("in range"),
            costs: costs.map(|cost| cost.map(Money::from_units)),
            supply_suffices: true,
        }
    }

    fn shown(money: Money) -> String {
        format!("{:.2} $/t", money.to_units())
    }

    fn places(ranking: &Ranking) -> Vec<Option<usize>> {
        ranking.ranks.iter().map(|rank| rank.place).collect()
    }

    #[test]
    fn the_dearer_ton_that_does_more_wins_as_its_source_prints() {
        // Cemle (an Australian supplier), Cost of lime per tonne: fineness 70 and neutralising
        // value 96 at 70 $/t cost 104.17 a tonne of what neutralises (104.15 is printed); 99 and 96
        // at 90 $/t cost 94.70.
        let cost = |number: f64, effective: f64| {
            let price = Price {
                amount: Money::from_units(number),
                per: ProductMass::from_tonnes(1.0),
                currency: Currency::from_words("AUD").expect("a code"),
                at: PriceAt::Delivered,
            };
            let effective = EffectiveFraction::from_number(effective).expect("in range");
            (price.per_effective(effective).expect("above nothing") * 1_000.0).to_units()
        };
        let (coarse, fine) = (cost(70.0, 0.70 * 0.96), cost(90.0, 0.99 * 0.96));
        assert!((coarse - 104.17).abs() < 0.005 && (coarse - 104.15).abs() < 0.025, "{coarse}");
        assert!((fine - 94.70).abs() < 0.005, "{fine}");
        let ranking = rank(
            &[
                candidate("Coarse", 0.672, [None, Some(coarse), None]),
                candidate("Fine", 0.9504, [None, Some(fine), None]),
            ],
            shown,
        );
        assert_eq!(ranking.by, Some(PriceAt::Delivered));
        assert_eq!(places(&ranking), [Some(2), Some(1)]);
        let first = &ranking.ranks[1].reason;
        assert!(first.contains("94.70 $/t") && first.contains("the least of 2"), "{first}");
        assert!(first.contains("costs more by the ton than Coarse"), "{first}");
        assert!(first.contains("95 % against 67.2 %"), "{first}");
        let second = &ranking.ranks[0].reason;
        assert!(second.contains("9.47 $/t (10 %) more than Fine"), "{second}");
    }

    #[test]
    fn they_are_compared_where_most_can_be_and_the_rest_say_so() {
        let all = [Some(1.0), Some(2.0), Some(3.0)];
        let ranking = rank(
            &[
                candidate("A", 0.5, all),
                candidate("B", 0.5, [None, Some(1.5), Some(2.5)]),
                candidate("C", 0.5, [None, None, Some(0.5)]),
                candidate("D", 0.5, [Some(0.1), None, None]),
                candidate("E", 0.5, [None; 3]),
            ],
            shown,
        );
        assert_eq!(ranking.by, Some(PriceAt::Spread));
        assert_eq!(places(&ranking), [Some(3), Some(2), Some(1), None, None]);
        assert!(ranking.ranks[3].reason.contains("compared by their cost spread"));
        assert!(ranking.ranks[4].reason.contains("its cost is not known"));
        let delivered = rank(
            &[candidate("A", 0.5, [Some(1.0), Some(2.0), None]), candidate("B", 0.5, all)],
            shown,
        );
        assert_eq!(delivered.by, Some(PriceAt::Delivered), "the farthest that both have");
        assert_eq!(places(&delivered), [Some(1), Some(2)], "equals stand as they came");
        let none = rank(&[candidate("A", 0.5, [None; 3])], shown);
        assert_eq!((none.by, places(&none)), (None, vec![None]));
    }

    #[test]
    fn a_supply_that_falls_short_stands_behind_and_says_so() {
        let short = Candidate {
            supply_suffices: false,
            ..candidate("Cheap", 0.5, [None, Some(1.0), None])
        };
        let ranking = rank(&[short, candidate("Dear", 0.5, [None, Some(2.0), None])], shown);
        assert_eq!(places(&ranking), [Some(2), Some(1)]);
        assert!(ranking.ranks[1].reason.contains("the least of those whose supply suffices"));
        assert!(ranking.ranks[0].reason.contains("less than Dear"), "{ranking:?}");
        assert!(ranking.ranks[0].reason.contains("does not cover the order"));
        let alone = rank(&[short], shown);
        assert!(alone.ranks[0].reason.contains("no other to compare"), "{alone:?}");
    }

    #[test]
    fn nothing_of_a_product_has_no_cost_for_what_it_does() {
        let effective = EffectiveFraction::from_number(0.5).expect("in range");
        let cost = cost_per_effective(Money::from_units(7.0), ProductMass::ZERO, effective);
        assert_eq!(cost, None);
        // Of nothing that costs nothing the share is left out.
        let free = [None, Some(0.0), None];
        let dear = [None, Some(2.0), None];
        let ranking = rank(&[candidate("Free", 0.5, free), candidate("Dear", 0.5, dear)], shown);
        assert!(ranking.ranks[1].reason.contains("2.00 $/t more than Free"), "{ranking:?}");
    }
}
