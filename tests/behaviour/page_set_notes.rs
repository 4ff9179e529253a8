//! What whoever prints an evening is told of it beforehand: dates that are over, targets that are not in the sky.

use evenfall_core::sheet::LeafKind;

use super::pages::{Pages, demo, texts};

#[test]
fn targets_of_the_demonstration_planned_elsewhere_are_told_on_staff_pages() {
    let (mut park, prepared, pages) = demo();
    let told = |pages: &Pages| {
        let card = texts(pages.page(LeafKind::HandOver)).join(" ").contains("invented");
        (pages.sheet.findings.iter().any(|finding| finding.contains("invented")), card)
    };
    assert_eq!(told(&pages), (false, false));
    park.site.name = "A park of somebody's own".into();
    assert_eq!(told(&Pages::of(&park, &prepared)), (true, true));
    park.catalogue.name = "Their own".into();
    assert_eq!(told(&Pages::of(&park, &prepared)), (false, false));
}

#[test]
fn next_dates_that_are_over_are_not_printed_as_next() {
    let (mut park, prepared, _) = demo();
    park.evening.next_dates = vec!["Saturday 6 March 2027, 19:00".into(), "Saturday 3 April 2027".into()];
    let pages = Pages::of(&park, &prepared);
    for kind in [LeafKind::Handbill, LeafKind::HandbillEasy] {
        let said = texts(pages.page(kind)).join(" ");
        assert!(said.contains("3 April 2027") && !said.contains("6 March 2027"), "{said}");
    }
    assert!(
        pages
            .sheet
            .findings
            .iter()
            .any(|finding| finding.starts_with("Caution: ") && finding.contains("6 March 2027"))
    );
}
