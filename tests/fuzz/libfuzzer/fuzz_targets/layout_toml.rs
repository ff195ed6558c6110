//! The target `layout_toml`, led by coverage.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| barkline_fuzz::targets::layout_toml(bytes));
