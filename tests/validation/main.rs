//! Published and derived values, each beside its source.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp
)]

mod broms;
mod limit_load;
mod record;
mod winkler;

use record::{Record, Standing};

#[test]
fn every_value_is_matched() {
    let records: Vec<Record> = [winkler::records(), broms::records(), limit_load::records()]
        .into_iter()
        .flatten()
        .collect();
    assert!(records.len() >= 45, "{} records", records.len());
    for Record {
        id,
        source,
        quantity,
        unit,
        printed,
        computed,
        tolerance,
        standing,
    } in records
    {
        assert!(
            !source.is_empty()
                && standing != Standing::Implementation
                && standing != Standing::Memory
        );
        let difference = (computed - printed).abs();
        assert!(
            difference <= tolerance,
            "{id} {quantity}: {computed} {unit} against {printed}, off by {difference:e} ({standing:?})"
        );
    }
}
