//! Published values against what the library computes: one module per source, one record per value.
//!
//! `docs/validation.md` is written from the records. `BARKLINE_BLESS=1 cargo test --test validation` rewrites it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]
#![allow(unreachable_pub, reason = "the modules of a test have no outside")]

mod page;
mod record;

mod aisc;
mod asce7;
mod awc_examples;
mod broms;
mod drilled_stems;
mod duration;
mod dynamics;
mod en1991;
mod eurocode5;
mod limit_load;
mod nds;
mod reliability;
mod statics;
mod timber;
mod tr12;
mod trees;
mod winkler;

use record::Record;
use std::collections::BTreeSet;

/// Every record, in the order of the page.
fn all() -> Vec<Record> {
    [
        tr12::records(),
        nds::records(),
        awc_examples::records(),
        eurocode5::records(),
        aisc::records(),
        duration::records(),
        asce7::records(),
        en1991::records(),
        dynamics::records(),
        statics::records(),
        timber::records(),
        drilled_stems::records(),
        trees::records(),
        winkler::records(),
        broms::records(),
        limit_load::records(),
        reliability::records(),
    ]
    .concat()
}

#[test]
fn every_record_of_every_source_agrees() {
    record::assert_all_agree(&all());
}

#[test]
fn every_record_agrees() {
    record::assert_all_agree(&all());
}

#[test]
fn no_two_records_share_an_id_and_a_quantity() {
    let records = all();
    let ids: BTreeSet<(&str, &str)> = records
        .iter()
        .map(|r| (r.id.as_str(), r.quantity.as_str()))
        .collect();
    assert_eq!(ids.len(), records.len());
}

#[test]
fn the_validation_page_says_what_the_records_say() {
    page::compare_or_bless("docs/validation.md", &page::render(&all()));
}
