//! What a person chose as text: margins, the way of travel, what savings are worked out with.

use tautbook_core::survey::{Factor, Factors, Margin, RecordSet, Travel};
use tautbook_core::units::{Style, show_number};

use super::words::{joined, word};

/// How much less the new setup may hold, than what, and when that was chosen.
pub(super) fn margin(margin: &Margin, all: &RecordSet) -> String {
    let against = all
        .setups
        .iter()
        .find(|setup| setup.id == margin.against)
        .map_or("a setup of another visit", |setup| setup.name.as_str());
    format!(
        "at most {} less than {against} by the {}, chosen {}",
        margin.force.text,
        word(&margin.method),
        margin.chosen.date_time().format("%Y-%m-%d %H:%M")
    )
}

/// The way of travel and the friction; blank while neither was asked.
pub(super) fn travel(travel: &Travel) -> String {
    let way = travel.transport.as_ref().map(word).unwrap_or_default();
    let friction = travel
        .friction
        .map(|friction| format!("friction {}", number(friction)))
        .unwrap_or_default();
    joined(&[&way, &friction], ", ")
}

/// Each figure with its source and year; blank while none was typed.
pub(super) fn factors(factors: &Factors) -> String {
    let code = &factors.currency;
    let hour = joined(&[code, "an hour"], " ");
    let tonne = joined(&[code, "a tonne levy"], " ");
    let told = [
        (&factors.roll_change, "minutes a roll change"),
        (&factors.film_break, "minutes a film break"),
        (&factors.labour, &hour),
        (&factors.co2e, "kg CO2e a kg of film"),
        (&factors.levy, &tonne),
        (&factors.levy_free_from, "of recycled content frees of it"),
    ]
    .map(|(factor, what)| factor.as_ref().map(|factor| told(factor, what)));
    let told: Vec<String> = told.into_iter().flatten().collect();
    told.join("; ")
}

fn told(factor: &Factor, what: &str) -> String {
    let year = factor.year.map(|year| year.to_string());
    let from = joined(&[&factor.source, &year.unwrap_or_default()], ", ");
    let figure = joined(&[&number(factor.value), what], " ");
    if from.is_empty() {
        figure
    } else {
        format!("{figure} ({from})")
    }
}

fn number(value: f64) -> String {
    show_number(value, &Style::default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use tautbook_core::survey::{FactorUnit, Transport};

    #[test]
    fn what_is_blank_is_not_told() {
        assert_eq!(travel(&Travel::default()), "");
        assert_eq!(factors(&Factors::default()), "");
        let way = Travel {
            transport: Some(Transport::RailShunting),
            friction: Some(0.3),
        };
        assert_eq!(travel(&way), "rail shunting, friction 0.30");
        let figures = Factors {
            currency: "EUR".to_owned(),
            labour: Some(Factor::new(
                32.5,
                FactorUnit::MoneyPerHour,
                "the site",
                Some(2026),
            )),
            roll_change: Some(Factor::new(4.0, FactorUnit::Minutes, "", None)),
            ..Factors::default()
        };
        assert_eq!(
            factors(&figures),
            "4 minutes a roll change; 32.50 EUR an hour (the site, 2026)"
        );
    }
}
