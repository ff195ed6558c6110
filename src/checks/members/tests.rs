//! Tests of the member checks.
