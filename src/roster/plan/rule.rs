//! The rule by which fields come first, and what to mind.

use super::shape::RulePart;
use crate::agronomy::Citation;

/// Marks what no publication was found for.
const OWN: &str = "the program's own choice; no publication was found that ranks fields so";

/// The rule in words, the weightiest step first.
pub(super) fn rule(years: usize) -> Vec<RulePart> {
    let step = |step: &str, source: String| RulePart { step: step.to_owned(), source };
    let mut rule = vec![
        step(
            "the fields that must get lime, then those with priority, in their order",
            "the list of jobs".to_owned(),
        ),
        step(
            "the most ground where aluminium may harm roots (the limits of the risks are in each \
             field's summary)",
            cited(&[
                ("kansas_liming_wheat", "yields fall below pH 5.5 where aluminium is high"),
                ("myfields_acidity", "below pH 5.2 acidity should have a high priority"),
                ("agriland_acidic_first", "the most acidic fields are to be targeted"),
            ]),
        ),
        step(
            "the most pH gained times area on ground that lies below its trigger: its pH gain is \
             what it lacks to the target, times the part of its need that is supplied (linear, the \
             method's own reading of need)",
            OWN.to_owned(),
        ),
        step("the most of the need met, where nothing is told of a gain", OWN.to_owned()),
        step("the least tons", OWN.to_owned()),
    ];
    if years > 1 {
        rule.pop();
        rule.push(step(
            "earlier before later: risk and gain count once for each year of the plan from the one \
             in which a field is limed on",
            format!(
                "{OWN}; a plan over up to four years with a quarter or more in the first is asked \
                 for by {}",
                cited(&[("teagasc_farm_liming", "at least 25 % in year 1")])
            ),
        ));
    }
    rule
}

/// What to mind.
pub(super) fn cautions(years: usize) -> Vec<String> {
    let mut lines = vec![
        "The plan knows soils and tons, and neither crops nor yields: local advice comes before it, \
         above all where a crop that acid soil harms stands next in a field that waits."
            .to_owned(),
        format!(
            "Half a rate is no cure. A part of the need can take the worst off ({}), but it wears \
             off sooner and must be watched; the plan never thins a rate, it leaves ground out.",
            cited(&[("myfields_acidity", "25 % of the lime to pH 6.8 brings soil below 5.5 to 5.5")])
        ),
        "What a field that waits lacks is held back, not forgotten: do not put it on twice later. \
         Too much lime ties up nutrients and changes how herbicides act."
            .to_owned(),
    ];
    if years > 1 {
        lines.push(
            "How the soil acidifies while it waits is not foreseen: the needs of later years are \
             those of the samples."
                .to_owned(),
        );
    }
    lines
}

fn cited(sources: &[(&str, &str)]) -> String {
    let words = sources.iter().map(|&(key, locator)| {
        Citation { key: key.to_owned(), locator: locator.to_owned() }.words()
    });
    words.collect::<Vec<_>>().join("; ")
}
