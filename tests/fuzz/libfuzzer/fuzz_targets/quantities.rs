//! The target `quantities`, led by coverage.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| barkline_fuzz::targets::quantities(bytes));
