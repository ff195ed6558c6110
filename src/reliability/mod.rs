//! How likely it is that an attachment's strength is exceeded, and what that hangs on.

mod bar;
#[cfg(test)]
mod tests;
