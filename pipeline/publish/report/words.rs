//! Figures in words, alike wherever the page says them.

use maud::{Markup, html};
use rust_decimal::Decimal;

use super::view::GroupView;
use crate::publish::column::money;
use crate::publish::tables::CrossrefRow;
use crate::publish::terminal::inert;

/// A confidence as a percentage, rounded down so that nothing short of certain reads 100 %.
pub fn confidence(confidence: f64) -> String {
    format!("{:.0} %", (confidence * 100.0).floor())
}

/// An amount of the home currency, to the hundredth.
pub fn amount(amount: Decimal, currency: &str) -> String {
    format!("{} {currency}", money(amount.round_dp(2)))
}

/// `1 group`, `2 groups`.
pub fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}

/// An offer as a buyer would name it: the supplier and its number.
pub fn offer_name(offer: &CrossrefRow) -> Markup {
    html! {
        strong { (inert(&offer.supplier)) }
        @if !offer.supplier_sku.is_empty() { " " span .code { (inert(&offer.supplier_sku)) } }
    }
}

/// A group by its name without the engine codes in it, leading to it.
pub fn group_link(view: &GroupView<'_>) -> Markup {
    html! { a href={ "#" (view.anchor) } { (inert(&without_codes(&view.group.name))) } }
}

/// The codes stand in brackets; a line of the page is too short for them, and the group itself says them.
fn without_codes(name: &str) -> String {
    match (name.find(" ("), name.rfind(')')) {
        (Some(open), Some(close)) if open < close => format!("{}{}", &name[..open], &name[close + 1..]),
        _ => name.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_name_leaves_the_codes_out() {
        assert_eq!(
            without_codes("Fan shroud, large, 337-442 cc (190F, 188F ...), 4 holes"),
            "Fan shroud, large, 337-442 cc, 4 holes"
        );
        assert_eq!(without_codes("Fan shroud :)("), "Fan shroud :)(");
    }

    #[test]
    fn only_the_certain_is_a_hundred_per_cent() {
        assert_eq!(confidence(0.9999), "99 %");
        assert_eq!(confidence(1.0), "100 %");
    }
}
