//! Every page, on nights of every kind.

use super::leaves;
use crate::sheet::demo::Demo;
use crate::sheet::{FOOTER, LeafKind};

#[test]
fn every_page_is_there_with_the_stamp_and_the_footer_of_the_run_sheet() {
    for date in ["2027-03-13", "2027-06-21"] {
        let (demo, prepared) = Demo::on(date).drafted();
        let sheet = demo.sheet(&prepared);
        let leaves = leaves(&demo.evening, &prepared, &demo.materials(), &sheet);
        assert_eq!(leaves.first().map(|leaf| leaf.kind), Some(LeafKind::Handbill));
        assert!(leaves.len() == 12 && leaves.is_sorted_by_key(|leaf| leaf.kind));
        for leaf in leaves {
            assert!(leaf.footer == FOOTER && leaf.stamp == sheet.stamp && !leaf.blocks.is_empty());
        }
    }
}
